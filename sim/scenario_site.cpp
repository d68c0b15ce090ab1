#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "sim/scenario_parts.hpp"

namespace restwell {
namespace {

constexpr double leveler_discharge_coefficient = 0.60;  // thin insert, see models/rating.hpp
constexpr double structured_alpha_per_m = 12.0;

BoxOutletConfig read_outlet(const Record& map, double box_diameter_m, double discharge_coefficient,
                            Findings& findings) {
  BoxOutletConfig o;
  o.name = word(map, "name").value_or("");
  o.pit = word(map, "to").value_or("");
  o.capped = yes(map, "capped").value_or(false);
  o.check_valve = yes(map, "check_valve").value_or(false);
  o.opening = {number_or(map, "diameter", box_diameter_m), discharge_coefficient};
  o.placement.invert_m = number_or(map, "invert", 0);
  o.placement.x_m = number_or(map, "x", 0);
  o.placement.y_m = number_or(map, "y", 0);
  o.placement.lip_growth_m = number_or(map, "lip_growth", 0);
  if (const Record* leveler = find(map, "leveler"); leveler != nullptr && leveler->sound) {
    o.placement.leveler_eccentricity_m = number_or(*leveler, "eccentricity", 0);
    o.placement.leveler_angle_rad = number_or(*leveler, "angle", 0);
    o.opening.discharge_coefficient = leveler_discharge_coefficient;
  }
  o.placement.raised_m = number_or(map, "raised", 0);
  if (!o.capped && find(map, "to") == nullptr)
    add_problem(findings, map, "needs to, the name of the pit it leads to, or capped: yes");
  return o;
}

// seen: names so far.
void check_names_differ(const std::vector<Record>& list, std::set<std::string>& seen,
                        Findings& findings) {
  for (const Record& r : list) {
    const auto name = word(r, "name");
    if (name && !seen.insert(*name).second)
      add_problem(findings, *find(r, "name"), fmt::format("{} stands twice", *name),
                  "give every one its own name");
  }
}

// ---- soil --------------------------------------------------------------------------------------
// One layer, or the soil's single values.
SoilLayer read_layer(const Record& map, Findings& findings) {
  const Record* perc = find(map, "perc");
  const Record* conductivity = find(map, "conductivity");
  const Record* texture_given = find(map, "texture");
  const int ways = (perc != nullptr) + (conductivity != nullptr) + (texture_given != nullptr);
  if (ways != 1)
    add_problem(findings, map,
                ways == 0 ? "needs one of perc, conductivity, texture"
                          : "must have only one of perc, conductivity, texture");
  if (find(map, "structure") != nullptr && find(map, "alpha") != nullptr)
    add_problem(findings, *find(map, "alpha"), "cannot stand beside structure",
                "structure is a word for a value of alpha: keep one of the two");

  SoilLayer layer;
  const Texture* texture = nullptr;
  if (const auto name = word(map, "texture")) texture = find_texture(*name);
  layer.soil.alpha_per_m =
      texture != nullptr ? texture->gardner_alpha_per_m : structured_alpha_per_m;
  if (const auto structure = word(map, "structure"))
    layer.soil.alpha_per_m = find_structure(*structure)->alpha_per_m;
  layer.soil.alpha_per_m = number_or(map, "alpha", layer.soil.alpha_per_m);

  const Record* hole = find(map, "hole_diameter");
  const Record* water = find(map, "water_depth");
  for (const Record* of_test : {hole, water})
    if (of_test != nullptr && perc == nullptr)
      add_problem(findings, *of_test, "belongs to a percolation test, but perc is missing");
  if (const auto rate = number(map, "perc")) {
    layer.perc_day_per_m = *rate;
    layer.soil.kfs_m_per_day = kfs_from_percolation_m_per_day(
        {*rate, number_or(map, "hole_diameter", 0.15) / 2, number_or(map, "water_depth", 0.15)},
        layer.soil.alpha_per_m);
    const char* assumed = hole != nullptr && water != nullptr ? ""
                          : hole != nullptr                   ? " (depth assumed)"
                          : water != nullptr                  ? " (hole assumed)"
                                                              : " (hole and depth assumed)";
    layer.basis = fmt::format("{} in a hole of {} with {} of water{}", perc->text,
                              hole != nullptr ? hole->text : preset(map, "hole_diameter"),
                              water != nullptr ? water->text : preset(map, "water_depth"), assumed);
  } else if (const auto k = number(map, "conductivity")) {
    layer.soil.kfs_m_per_day = *k;
    layer.basis = "conductivity " + conductivity->text;
  } else if (texture != nullptr) {
    layer.soil.kfs_m_per_day = field_saturated_share * texture->ks_m_per_day;
    layer.basis = "texture " + texture_given->text;
  }
  return layer;
}

// A layer that says where it begins must begin where the one above ends.
void check_layer_meets(const Record& layer, bool first, double above_m, Findings& findings) {
  constexpr double same_m = 1e-3;  // 4 ft and 1.22 m are the same depth to whoever dug
  const auto from = number(layer, "from");
  if (!from || std::abs(*from - above_m) <= same_m) return;
  const Record& r = *find(layer, "from");
  const std::string ends = quantity_in_unit_of(above_m, Dimension::length, r.text);
  if (first) {
    add_problem(
        findings, r, fmt::format("the first layer begins at the ground, {}, got {}", ends, r.text),
        fmt::format("describe the soil above {} as a layer of its own, or leave out from", r.text));
    return;
  }
  add_problem(findings, r,
              fmt::format("must be the to of the layer above, {}, got {}: {}", ends, r.text,
                          *from > above_m ? "a gap between the two" : "the two overlap"),
              "leave out from, and the layer begins where the one above ends");
}

std::vector<SoilLayer> read_layers(const Record& soil, Findings& findings) {
  const Record* layers = find(soil, "layers");
  if (layers == nullptr) return {read_layer(soil, findings)};
  for (const char* single :
       {"perc", "hole_diameter", "water_depth", "conductivity", "texture", "structure", "alpha"})
    if (const Record* r = find(soil, single))
      add_problem(findings, *r, "cannot stand beside layers", "put it into each layer it is for");
  std::vector<SoilLayer> result;
  double above = 0.0;
  bool above_known = true;
  for (std::size_t i = 0; i < layers->items.size(); ++i) {
    const Record& r = layers->items[i];
    if (!r.sound) {
      above_known = false;
      continue;
    }
    SoilLayer layer = read_layer(r, findings);
    if (above_known) check_layer_meets(r, i == 0, above, findings);
    const Record* to = find(r, "to");
    const bool last = i + 1 == layers->items.size();
    if (last && to != nullptr)
      add_problem(findings, *to, "the last layer has no lower end", "leave out to");
    if (!last && to == nullptr) add_problem(findings, r, "needs to, its lower end below ground");
    if (const auto depth = number(r, "to")) {
      if (*depth <= above)
        add_problem(findings, *to,
                    fmt::format("must be deeper than the layer above, {}, got {}",
                                quantity_in_unit_of(above, Dimension::length, to->text), to->text));
      layer.to_depth_m = above = *depth;
    }
    above_known = number(r, "to").has_value();
    result.push_back(std::move(layer));
  }
  if (result.empty()) result.emplace_back();
  return result;
}

// ---- pits --------------------------------------------------------------------------------------
void read_lining(const Record& map, PitGeometry& g, Findings& findings) {
  const Record* lining = find(map, "lining");
  const Record* stone_given = find(map, "filled_with_stone");
  const bool stone = yes(map, "filled_with_stone").value_or(lining == nullptr);
  if (stone) g.inside_open_share = g.gravel_porosity;
  if (lining == nullptr) {
    if (stone_given == nullptr) {
      add_warning(findings, map,
                  "without lining the pit is taken as filled with stone; for an open hole write "
                  "filled_with_stone: no");
    } else if (!stone) {
      g.lining_inner_radius_m = g.lining_outer_radius_m = g.radius_m;
    }
    return;
  }
  if (!lining->sound) return;
  const auto inner = number(*lining, "inner_diameter");
  const auto outer = number(*lining, "outer_diameter");
  if (inner) g.lining_inner_radius_m = *inner / 2;
  if (outer) g.lining_outer_radius_m = *outer / 2;
  if (inner && outer && *inner >= *outer)
    add_problem(
        findings, *find(*lining, "inner_diameter"),
        fmt::format("must be less than outer_diameter, {}, got {}",
                    find(*lining, "outer_diameter")->text, find(*lining, "inner_diameter")->text));
  if (const auto diameter = number(map, "diameter"); diameter && outer && *outer > *diameter)
    add_problem(findings, *find(*lining, "outer_diameter"),
                fmt::format("must fit into the excavation's diameter, {}, got {}",
                            find(map, "diameter")->text, find(*lining, "outer_diameter")->text));
}

PitStart read_measured(const Record& map, const Record& measured, const PitGeometry& g,
                       Findings& findings) {
  PitStart start;
  start.kind = PitStart::Kind::measured;
  start.level_m = number_or(measured, "level", 0);
  start.drop_m_per_day = number_or(measured, "drop", 0);
  start.observed_in_use = yes(measured, "in_use").value_or(false);
  start.high_water_m = number(measured, "high_water");
  if (!number(map, g.trench ? "gravel_depth" : "depth")) return start;
  const double top = g.depth_m + g.cover_above_inlet_m;
  for (const char* key : {"level", "high_water"}) {
    const auto level = number(measured, key);
    if (!level || *level <= top * (1 + 1e-9)) continue;
    const Record& r = *find(measured, key);
    add_problem(findings, r,
                fmt::format("must be at most the {}, {} over its bottom, got {}",
                            g.trench ? "ground over the trench" : "pit's cover",
                            quantity_in_unit_of(top, Dimension::length, r.text), r.text));
  }
  const auto level = number(measured, "level");
  if (level && start.high_water_m && *start.high_water_m < *level)
    add_problem(findings, *find(measured, "high_water"),
                fmt::format("must be at least the level, {}, got {}", find(measured, "level")->text,
                            find(measured, "high_water")->text));
  return start;
}

PitStart read_pit_start(const Record& map, const PitGeometry& g, Findings& findings) {
  const Record* service = find(map, "in_service");
  const Record* is_new = find(map, "new");
  const Record* measured = find(map, "measured");
  const bool stated_new = yes(map, "new").value_or(false);
  if ((service != nullptr) + (measured != nullptr) + stated_new > 1)
    add_problem(findings, stated_new ? *is_new : *measured,
                "only one of in_service, new, measured can be given");
  if (is_new != nullptr && is_new->sound && !stated_new && service == nullptr &&
      measured == nullptr)
    add_problem(findings, *is_new, "a pit that is not new needs in_service or measured");
  if (measured != nullptr && measured->sound) return read_measured(map, *measured, g, findings);
  PitStart start;
  if (service != nullptr) {
    start.kind = PitStart::Kind::in_service;
    start.service_day = number_or(map, "in_service", 0);
  }
  return start;
}

WhenFull read_when_full(const Record& map, bool box_present, Findings& findings) {
  WhenFull w;
  const Record* given = find(map, "when_full");
  w.kind = box_present ? WhenFull::Kind::box : WhenFull::Kind::house;
  if (given == nullptr || !given->sound) return w;
  const std::string* said = std::get_if<std::string>(&given->data);
  if (said == nullptr) {
    w.kind = WhenFull::Kind::pit;
    w.pit = word(*given, "to").value_or("");
  } else if (*said == "surface") {
    w.kind = WhenFull::Kind::surface;
  } else if (*said == "house") {
    w.kind = WhenFull::Kind::house;
  } else if (!box_present) {
    add_problem(findings, *given, "there is no box to back up to",
                "say surface, house or to: a pit");
  }
  return w;
}

std::optional<WhileResting> read_while_resting(const Record& map) {
  const Record* given = find(map, "while_resting");
  if (given == nullptr || !given->sound) return std::nullopt;
  if (const std::string* said = std::get_if<std::string>(&given->data)) {
    return WhileResting{*said == "haul" ? WhileResting::Kind::haul : WhileResting::Kind::others,
                        ""};
  }
  return WhileResting{WhileResting::Kind::pit, word(*given, "to").value_or("")};
}

void read_common(const Record& map, bool box_present, PitConfig& p, Findings& findings) {
  p.start = read_pit_start(map, p.geometry, findings);
  p.when_full = read_when_full(map, box_present, findings);
  p.while_resting = read_while_resting(map);
  if (const Record* soil = find(map, "soil"); soil != nullptr && soil->sound)
    p.layers = read_layers(*soil, findings);
}

PitConfig read_pit(const Record& map, bool box_present, Findings& findings) {
  PitConfig p;
  p.name = word(map, "name").value_or("");
  PitGeometry& g = p.geometry;
  g.radius_m = number_or(map, "diameter", 2 * g.radius_m) / 2;
  g.depth_m = number_or(map, "depth", g.depth_m);
  p.inlet_depth_m = number_or(map, "inlet_depth", p.inlet_depth_m);
  g.cover_above_inlet_m = number_or(map, "cover_above_inlet", p.inlet_depth_m);
  p.inlet_below_box_m = number_or(map, "inlet_below_box", p.inlet_below_box_m);
  g.gravel_porosity = number_or(map, "gravel_porosity", g.gravel_porosity);
  read_lining(map, g, findings);
  read_common(map, box_present, p, findings);
  return p;
}

PitConfig read_trench(const Record& map, bool box_present, Findings& findings) {
  PitConfig p;
  p.name = word(map, "name").value_or("");
  PitGeometry& g = p.geometry;
  TrenchPlan& trench = g.trench.emplace();
  trench.length_m = number_or(map, "length", trench.length_m);
  trench.width_m = number_or(map, "width", trench.width_m);
  trench.count = static_cast<int>(number_or(map, "number", 1));
  g.depth_m = number_or(map, "gravel_depth", 0.3);
  p.inlet_depth_m = number_or(map, "inlet_depth", 0.6);
  g.cover_above_inlet_m = p.inlet_depth_m;
  p.inlet_below_box_m = number_or(map, "inlet_below_box", p.inlet_below_box_m);
  g.gravel_porosity = number_or(map, "gravel_porosity", g.gravel_porosity);
  read_common(map, box_present, p, findings);
  return p;
}

}  // namespace

BoxConfig read_box(const Record& top, double discharge_coefficient, Findings& findings) {
  BoxConfig box;
  const Record* given = find(top, "box");
  const Record* single = find(top, "single_outlet");
  if (given != nullptr && single != nullptr)
    add_problem(findings, *single, "cannot stand beside box",
                "box for a distribution box, single_outlet for one pipe from tank to pit");
  if (given == nullptr && single == nullptr)
    add_problem(findings, top, "needs box or single_outlet",
                "box for a distribution box, single_outlet for one pipe from tank to pit");
  if (given == nullptr) {
    box.present = false;
    box.outlets.emplace_back();
    box.outlets.front().name = "outlet";
    box.outlets.front().opening.discharge_coefficient = discharge_coefficient;
    if (single != nullptr && single->sound)
      box.outlets.front().pit = word(*single, "to").value_or("");
    return box;
  }
  if (!given->sound) return box;
  const Record& map = *given;
  box.lid = {number_or(map, "lid", box.lid.level_m),
             number_or(map, "lid_perimeter", box.lid.perimeter_m)};
  box.over_lid = word(map, "over_lid") == "house" ? LeavesTo::house : LeavesTo::surface;
  if (const Record* tilt = find(map, "tilt"); tilt != nullptr && tilt->sound) {
    box.tilt_x_rad = number_or(*tilt, "x", 0);
    box.tilt_y_rad = number_or(*tilt, "y", 0);
  }
  const double diameter = number_or(map, "outlet_diameter", 0.1);
  const auto& list = entries(map, "outlets");
  std::set<std::string> names;
  check_names_differ(list, names, findings);
  double highest = -std::numeric_limits<double>::infinity();
  for (const Record& r : list) {
    if (!r.sound) continue;
    box.outlets.push_back(read_outlet(r, diameter, discharge_coefficient, findings));
    const BoxOutletConfig& o = box.outlets.back();
    if (!o.capped)
      highest = std::max(highest, effective_lip_m(o.placement, box.tilt_x_rad, box.tilt_y_rad));
  }
  if (!box.outlets.empty() && std::ranges::all_of(box.outlets, &BoxOutletConfig::capped))
    add_problem(findings, *find(map, "outlets"), "at least one outlet must not be capped");
  const Record* lid = find(map, "lid");
  const bool lid_known = lid == nullptr || lid->sound;
  if (lid_known && box.lid.level_m <= highest) {
    const std::string like = lid != nullptr ? lid->text : preset(map, "lid");
    add_problem(findings, lid != nullptr ? *lid : map,
                fmt::format("the lid must be higher than the highest outlet's lip, {}, got {}",
                            quantity_in_unit_of(highest, Dimension::length, like), like),
                "inverts, tilt, levelers and lip growth all count");
  }
  return box;
}

namespace {

std::optional<WaterTable> read_water_table(const Record& soil, Findings& findings) {
  const Record* given = find(soil, "water_table");
  if (given == nullptr || !given->sound) return std::nullopt;
  WaterTable table;
  if (const auto depth = number(soil, "water_table")) {
    table.mean_m = *depth;
    return table;
  }
  if (given->field->kind == FieldKind::map) {
    table.mean_m = number_or(*given, "mean", 1.0);
    table.amplitude_m = number_or(*given, "amplitude", 0.0);
    table.high = month_day(*given, "high").value_or(table.high);
    const Record* amplitude = find(*given, "amplitude");
    if (number(*given, "mean") && amplitude != nullptr && table.amplitude_m >= table.mean_m)
      add_problem(findings, *amplitude,
                  fmt::format("must be less than mean, {}, got {}: the water table would stand "
                              "above ground",
                              find(*given, "mean")->text, amplitude->text));
    return table;
  }
  for (const Record& r : given->items) {
    const auto day = r.sound ? date(r, "date") : std::nullopt;
    if (!day) continue;
    if (!table.readings.empty() && *day <= table.readings.back().date)
      add_problem(findings, *find(r, "date"),
                  fmt::format("must be later than the reading before, {}, got {}",
                              iso_date(table.readings.back().date), iso_date(*day)),
                  "readings stand in the order of their dates");
    table.readings.push_back({*day, number_or(r, "depth", 1.0)});
  }
  if (table.readings.empty()) return std::nullopt;
  return table;
}

}  // namespace

SoilConfig read_soil(const Record& top, Findings& findings) {
  SoilConfig soil;
  const Record* given = find(top, "soil");
  if (given == nullptr || !given->sound) {
    soil.layers.emplace_back();
    return soil;
  }
  soil.layers = read_layers(*given, findings);
  soil.water_table = read_water_table(*given, findings);
  return soil;
}

std::vector<PitConfig> read_pits(const Record& top, Findings& findings) {
  std::vector<PitConfig> pits;
  const bool box_present = find(top, "box") != nullptr || find(top, "single_outlet") == nullptr;
  const auto& round = entries(top, "pits");
  const auto& fields = entries(top, "trenches");
  if (find(top, "pits") == nullptr && find(top, "trenches") == nullptr)
    add_problem(findings, top, "needs pits or trenches",
                "pits: 1 to 8 dry wells (seepage pits); trenches: drain fields");
  if (round.size() + fields.size() > max_pits)
    add_problem(findings, *find(top, "trenches"),
                fmt::format("at most {} pits and drain fields together, got {}", max_pits,
                            round.size() + fields.size()));
  std::set<std::string> names;
  check_names_differ(round, names, findings);
  check_names_differ(fields, names, findings);
  for (const Record& r : round)
    if (r.sound) pits.push_back(read_pit(r, box_present, findings));
  for (const Record& r : fields)
    if (r.sound) pits.push_back(read_trench(r, box_present, findings));
  return pits;
}

}  // namespace restwell
