#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "sim/assumptions.hpp"
#include "sim/report_tables.hpp"
#include "sim/water_table.hpp"
#include "sim/words.hpp"

namespace restwell {

namespace {

// The parameters that matter most for the pits' dates come first in the list and are shown in full.
constexpr std::size_t shown_in_full = 14;

ReportTable parameters(const Scenario& scenario, bool in_full) {
  ReportTable t;
  t.columns = {
      {"parameter", "parameter"}, {"value", "value"}, {"meaning", "meaning, range, basis"}};
  const std::vector<AssumptionInfo> all = assumption_list(scenario);
  for (std::size_t i = 0; i < all.size(); ++i) {
    if ((i < shown_in_full) == in_full) {
      t.rows.push_back({all[i].key, all[i].value_text, all[i].note});
    }
  }
  return t;
}

}  // namespace

ReportTable clogging_parameters_table(const Scenario& scenario) {
  ReportTable t = parameters(scenario, true);
  t.key = "clogging_parameters";
  t.title = "Assumed of the clogging, expected case (change them under `assumptions:` in the file)";
  return t;
}

ReportTable other_parameters_table(const Scenario& scenario) {
  ReportTable t = parameters(scenario, false);
  t.key = "other_parameters";
  t.title = "Assumed besides (meaning and range of each: --json, or restwell schema)";
  t.compact = true;
  t.note =
      "Fixed: the five constants of a pit's intake (wall's active share .7, next layer .2, near a "
      "water table .22, power 2, narrow band 12), fitted to a numerical solution of the flow; how "
      "suction joins in "
      "behind a clogged layer is partly assumed.";
  if (scenario.soil.layers.size() > 1)
    t.note +=
        " Where soils meet, water spreads over the lower one no further than layer_reach; over "
        "coarse soil fine soil holds it back by suction; how much of it the upper soil "
        "would hold by itself is partly assumed.";
  if (!scenario.assumptions_set.empty()) {
    t.note += " Set in this file: " + list_words(scenario.assumptions_set) + ".";
  }
  return t;
}

namespace {

// "4 ft below", "1 ft over".
std::string shown_against_bottom(double below_m, UnitSystem units) {
  return show_text(std::abs(below_m), Quantity::level, units) +
         (below_m < 0.0 ? " over" : " below");
}

}  // namespace

ReportTable soil_table(const Scenario& scenario) {
  ReportTable t{"soil", "Soil: what the file says and what is made of it", {}, {}, ""};
  t.columns = {{"where", "where"},      {"to_depth", "down to"},  {"basis", "given as"},
               {"kfs", "conductivity"}, {"perc", "as perc rate"}, {"alpha", "capillarity"}};
  const auto add = [&](const std::string& where, const std::vector<SoilLayer>& layers) {
    for (const SoilLayer& layer : layers) {
      const double perc =
          percolation_from_kfs_day_per_m(layer.soil.kfs_m_per_day, {}, layer.soil.alpha_per_m);
      const bool last = &layer == &layers.back();
      t.rows.push_back(
          {where,
           last ? Cell(std::string("no end")) : Cell(Amount{layer.to_depth_m, Quantity::level}),
           layer.basis, Amount{layer.soil.kfs_m_per_day, Quantity::conductivity},
           Amount{perc, Quantity::percolation}, fmt::format("{:.3g} 1/m", layer.soil.alpha_per_m)});
    }
  };
  add("site", scenario.soil.layers);
  for (const PitConfig& p : scenario.pits) {
    if (p.layers) add(pit_label(p), *p.layers);
  }
  t.note =
      "Down to: below ground. Conductivity: field-saturated. As perc rate: what a test in a 6-inch "
      "hole with 6 inches of water would show. Percolation tests overstate conductivity and "
      "scatter; "
      "a second test is worth more than a third digit.";
  if (const auto& table = scenario.soil.water_table) {
    double deepest = 0.0;
    for (const PitConfig& p : scenario.pits) {
      deepest = std::max(deepest, p.inlet_depth_m + p.geometry.depth_m);
    }
    t.note += fmt::format(
        " Water table: {}; at its highest {} the deepest pit's bottom; {} is asked for.",
        table_words(*table, scenario.units),
        shown_against_bottom(shallowest_table_m(*table) - deepest, scenario.units),
        show_text(scenario.separation_m, Quantity::level, scenario.units));
  } else {
    t.note += " Water table: not given, taken as far below.";
  }
  return t;
}

std::vector<std::string> model_simplifications(const Scenario& scenario) {
  std::vector<std::string> s = {
      "The tank's settling follows the flow of the day; solids reach the pits mixed over the clear "
      "zone. Gas, frost, roots, grease from a trade, chemicals and broken pipes are not in it.",
      "Clogging is held over a day, the soil's temperature over a calendar week, what a pit takes "
      "for "
      "up to a week at the clogging expected for its middle (fewer days while it changes fast). "
      "What "
      "a pit spills into the next one is as strong as what the tank sends.",
      scenario.soil.water_table
          ? "The water table is as given, whatever the weather does; on top of it stands the mound "
            "of each pit's own water, in level ground that carries water evenly. The mounds of "
            "neighbouring pits and of other houses are left out. "
            "Pits closer than three diameters take less than shown."
          : "No water table is near, and no mound rises under the pits. The ground between pits is "
            "shared by nobody: pits closer than three diameters take less than shown.",
      "Scum settles down to an inch or so in the model; many tanks grow thicker mats. Go by the "
      "reading, and read again."};
  if (scenario.mode == Mode::steady) {
    s.push_back(
        "A typical week has no busy days. Chance brings them, and with them a first full pit "
        "sooner: "
        "compare with --mode random.");
  } else {
    s.push_back("Another seed moves dates near a limit by years: try several.");
  }
  const auto layered = [](const std::vector<SoilLayer>& layers) { return layers.size() > 1; };
  if (layered(scenario.soil.layers) || std::ranges::any_of(scenario.pits, [&](const PitConfig& p) {
        return p.layers && layered(*p.layers);
      })) {
    s.push_back(
        "In layers every ring of wall takes the shape of the whole pond: a pit that reaches into a "
        "slower layer can come out taking less than a shallower one.");
  }
  if (has_drain_field(scenario)) {
    s.push_back(
        "A drain field stands among the pits, and what is said of a pit holds for it: full is "
        "water "
        "at the pipe's invert, the bottom is the trenches'. Its trenches fill alike, none waters "
        "another's soil, an end takes as much per area as a side, and the gravel goes on up to the "
        "ground.");
  }
  const auto any_starts = [&](PitStart::Kind kind) {
    return std::ranges::any_of(scenario.pits,
                               [&](const PitConfig& p) { return p.start.kind == kind; });
  };
  if (any_starts(PitStart::Kind::measured)) {
    s.push_back("A measured fall counts as what the pit takes in at length at the level measured.");
  }
  if (any_starts(PitStart::Kind::brand_new) || any_starts(PitStart::Kind::in_service)) {
    s.push_back(
        "The soil around a pit is taken as dry when the pit is new: it takes more at first.");
  }
  if (any_starts(PitStart::Kind::in_service)) {
    s.push_back(
        "Years in service before the start are run with today's household in a typical week, "
        "through "
        "a tank without deposits.");
  }
  return s;
}

}  // namespace restwell
