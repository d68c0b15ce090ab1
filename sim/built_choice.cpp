#include "sim/built_choice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <variant>

#include "sim/units.hpp"
#include "sim/yaml_text.hpp"

namespace restwell {
namespace {

YamlNode length_word(double length_m, UnitSystem units) {
  return yaml_word(length_text(length_m, units));
}

YamlNode pit_node(const PitConfig& pit, UnitSystem units, bool on_box) {
  const PitGeometry& g = pit.geometry;
  YamlNode node = yaml_map({{"name", yaml_word(pit.name)},
                            {"diameter", length_word(2.0 * g.radius_m, units)},
                            {"depth", length_word(g.depth_m, units)},
                            {"inlet_depth", length_word(pit.inlet_depth_m, units)},
                            {"cover_above_inlet", length_word(g.cover_above_inlet_m, units)},
                            {"inlet_below_box", length_word(pit.inlet_below_box_m, units)}});
  const bool stone = g.inside_open_share < 1.0;
  const bool lined = g.lining_outer_radius_m > g.lining_inner_radius_m;
  if (lined)
    set_entry(node, "lining",
              yaml_map({{"inner_diameter", length_word(2.0 * g.lining_inner_radius_m, units)},
                        {"outer_diameter", length_word(2.0 * g.lining_outer_radius_m, units)}}));
  if (stone || !lined) set_entry(node, "filled_with_stone", yaml_word(stone ? "yes" : "no"));
  set_entry(node, "gravel_porosity",
            yaml_word(quantity_in_unit(g.gravel_porosity, Dimension::percent, "%")));
  set_entry(node, "new", yaml_word("yes"));
  if (!on_box)
    set_entry(node, "when_full",
              yaml_word(pit.when_full.kind == WhenFull::Kind::house ? "house" : "surface"));
  return node;
}

// A name unlike all those taken; it is taken then.
std::string free_name(const std::string& wanted, std::vector<std::string>& taken) {
  std::string name = wanted;
  for (int i = 2; std::ranges::find(taken, name) != taken.end(); ++i)
    name = fmt::format("{} no. {}", wanted, i);
  taken.push_back(name);
  return name;
}

YamlNode work_node(const PlannedWork& work, const Scenario& site) {
  YamlNode node = yaml_map({{"date", yaml_word(iso_date(work.date))},
                            {"outlet", yaml_word(site.box.outlets[work.outlet].name)}});
  if (work.capped) set_entry(node, "capped", yaml_word(*work.capped ? "yes" : "no"));
  if (work.raised_m) set_entry(node, "raised", length_word(*work.raised_m, site.units));
  return node;
}

// The lowest lip of the open outlets: there the new pits' outlets go.
double lowest_lip_m(const BoxConfig& box) {
  double lowest = 1e9;
  for (const BoxOutletConfig& o : box.outlets) {
    if (!o.capped)
      lowest = std::min(lowest, effective_lip_m(o.placement, box.tilt_x_rad, box.tilt_y_rad));
  }
  return lowest;
}

}  // namespace

BuiltChoice build_choice(const LoadedScenario& site, const PitPattern& pattern, const PitSize& size,
                         OldPits old_pits, const std::vector<PlannedWork>& work, double years) {
  const Scenario& s = site.scenario;
  const bool keep = old_pits == OldPits::keep;
  YamlNode root = std::get<YamlNode>(read_yaml_tree(site.text));
  set_entry(
      root, "question",
      yaml_word(fmt::format("Made by restwell size: {} of {} by {}. How long {}?",
                            size.count == 1 ? "a new pit" : fmt::format("{} new pits", size.count),
                            show_text(size.diameter_m, Quantity::level, s.units),
                            show_text(size.depth_m, Quantity::level, s.units),
                            size.count == 1 ? "does it last" : "do they last")));
  set_entry(root, "years", yaml_word(fmt::format("{:.6g}", years)));
  set_entry(root, "units", yaml_word(s.units == UnitSystem::us ? "us" : "metric"));
  set_entry(root, "mode", yaml_word(s.mode == Mode::random ? "random" : "steady"));
  if (s.mode == Mode::random) set_entry(root, "seed", yaml_word(std::to_string(s.seed)));

  const bool on_box = s.box.present || size.count > 1;
  std::vector<std::string> pit_names, outlet_names;
  if (keep) {
    for (const PitConfig& p : s.pits) pit_names.push_back(p.name);
    for (const BoxOutletConfig& o : s.box.outlets) outlet_names.push_back(o.name);
  }
  BuiltChoice built;
  const YamlNode* old_list = keep ? find_entry(root, "pits") : nullptr;
  YamlNode pits = old_list != nullptr ? *old_list : yaml_list({});
  YamlNode outlets = keep ? *find_entry(*find_entry(root, "box"), "outlets") : yaml_list({});
  const double invert_m = keep ? lowest_lip_m(s.box) : 0.0;
  for (int i = 1; i <= size.count; ++i) {
    const std::string name =
        free_name(size.count == 1 ? "new pit" : fmt::format("new pit {}", i), pit_names);
    built.new_pits.push_back(pits.items.size());
    built.new_outlets.push_back(outlets.items.size());
    pits.items.push_back(
        pit_node(new_pit(pattern, size.diameter_m, size.depth_m, name), s.units, on_box));
    outlets.items.push_back(
        yaml_map({{"name", yaml_word(free_name(fmt::format("N{}", i), outlet_names))},
                  {"to", yaml_word(name)},
                  {"invert", length_word(invert_m, s.units)}}));
  }
  drop_entry(root, "plan");
  if (!keep) drop_entry(root, "trenches");
  if (on_box) {
    drop_entry(root, "single_outlet");
    YamlNode box = s.box.present ? *find_entry(root, "box") : yaml_map({});
    if (!keep) drop_entry(box, "tilt");
    set_entry(box, "outlets", std::move(outlets));
    set_entry(root, "box", std::move(box));
  } else {
    set_entry(root, "single_outlet", yaml_map({{"to", yaml_word(pit_names.front())}}));
  }
  set_entry(root, "pits", std::move(pits));
  if (!work.empty()) {
    std::vector<YamlNode> lines;
    for (const PlannedWork& w : work) lines.push_back(work_node(w, s));
    set_entry(root, "plan", yaml_list(std::move(lines)));
  }
  built.text = yaml_text(root);
  built.scenario = parse_scenario(built.text, "the scenario of the best choice").scenario;
  return built;
}

}  // namespace restwell
