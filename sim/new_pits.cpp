#include "sim/new_pits.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <variant>

#include "models/us_units.hpp"
#include "sim/units.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// Room for a person's arm and a pump's hose inside of a lining (assumed).
constexpr double least_inner_diameter_m = us::foot_m;

}  // namespace

bool PitPattern::filled_with_stone() const { return config.geometry.inside_open_share < 1.0; }

double PitPattern::least_diameter_m() const {
  const bool lined = config.geometry.lining_inner_radius_m > 0.0;
  return lined ? least_inner_diameter_m + 2.0 * (wall_m + gravel_ring_m) : least_inner_diameter_m;
}

PitPattern pit_pattern(const Scenario& scenario) {
  PitPattern pattern;
  const auto round = std::ranges::find_if_not(
      scenario.pits, [](const PitConfig& p) { return p.geometry.trench.has_value(); });
  if (round != scenario.pits.end()) {
    pattern.config = *round;
    pattern.like = pit_label(*round);
  } else {  // drain fields only
    pattern.config.geometry.inside_open_share = pattern.config.geometry.gravel_porosity;
    pattern.config.when_full = {WhenFull::Kind::surface, ""};
  }
  pattern.units = scenario.units;
  PitConfig& config = pattern.config;
  PitGeometry& g = config.geometry;
  for (double* length :
       {&config.inlet_depth_m, &config.inlet_below_box_m, &g.cover_above_inlet_m}) {
    *length = as_written_m(*length, scenario.units);
  }
  if (g.lining_inner_radius_m > 0.0) {
    pattern.gravel_ring_m = g.radius_m - g.lining_outer_radius_m;
    pattern.wall_m = g.lining_outer_radius_m - g.lining_inner_radius_m;
  }
  config.start = {};
  config.layers.reset();
  config.while_resting.reset();
  if (scenario.box.present) {
    config.when_full = {WhenFull::Kind::box, ""};
  } else if (config.when_full.kind == WhenFull::Kind::pit) {
    config.when_full = {WhenFull::Kind::surface, ""};
  }
  return pattern;
}

PitConfig new_pit(const PitPattern& pattern, double diameter_m, double depth_m,
                  const std::string& name) {
  PitConfig pit = pattern.config;
  pit.name = name;
  PitGeometry& g = pit.geometry;
  g.radius_m = 0.5 * diameter_m;
  g.depth_m = depth_m;
  if (g.lining_inner_radius_m > 0.0) {
    const double outer_m = diameter_m - 2.0 * pattern.gravel_ring_m;
    g.lining_outer_radius_m = 0.5 * as_written_m(outer_m, pattern.units);
    g.lining_inner_radius_m = 0.5 * as_written_m(outer_m - 2.0 * pattern.wall_m, pattern.units);
  }
  return pit;
}

double dug_m3(const PitPattern& pattern, const PitSize& size) {
  return size.count * std::numbers::pi / 4.0 * size.diameter_m * size.diameter_m *
         (pattern.config.inlet_depth_m + size.depth_m);
}

PitFeed pit_feed(const Scenario& scenario, const TankHistory& history, int days, int count) {
  PitFeed feed;
  feed.start = scenario.start;
  feed.days.reserve(static_cast<std::size_t>(days));
  BinnedEffluent binned;
  set_strength(history.week.days.back(), binned);
  for (int d = 0; d < days; ++d) {
    const TankDay& day = history.days[static_cast<std::size_t>(d)];
    bin_effluent(day, scenario.limits.pit_step_day, {1, nullptr, false}, binned);
    BinnedEffluent& part = feed.days.emplace_back();
    part.bin_day = binned.bin_day;
    part.outlet_m3 = binned.outlet_m3;
    part.lid_m3 = binned.lid_m3;
    part.total_m3 = binned.total_m3 / count;
    part.tss_kg_per_m3 = binned.tss_kg_per_m3;
    part.bod_kg_per_m3 = binned.bod_kg_per_m3;
    for (double& volume : part.outlet_m3) volume /= count;
  }
  return feed;
}

std::optional<int> life_day(const Scenario& scenario, const PitConfig& pit, const PitFeed& feed,
                            const BiomatParameters& biomat) {
  Scenario alone;
  alone.start = scenario.start;
  alone.soil = scenario.soil;
  alone.groundwater = scenario.groundwater;
  alone.soil_temperature = scenario.soil_temperature;
  alone.drainage = scenario.drainage;
  alone.soil_lag = scenario.soil_lag;
  alone.limits = scenario.limits;
  alone.box.present = false;
  alone.box.outlets.emplace_back();
  alone.box.outlets.front().pit = pit.name;
  alone.pits = {pit};
  alone.pits.front().when_full = {WhenFull::Kind::surface, ""};
  const SiteLayout site = lay_out(alone);
  Downstream downstream(alone, site, biomat, {clean_pit(site.pits.front().pit, biomat)});
  for (std::size_t d = 0; d < feed.days.size(); ++d) {
    const int index = static_cast<int>(d);
    const Date date = date_of(feed.start, index);
    if (downstream.day(feed.days[d], date).pits.front().full) return index;
  }
  return std::nullopt;
}

std::string length_text(double length_m, UnitSystem units) {
  const char* us_unit = std::abs(length_m) < us::foot_m * (1.0 - 1e-6) ? "in" : "ft";
  return quantity_in_unit(length_m, Dimension::length, units == UnitSystem::us ? us_unit : "m");
}

double as_written_m(double length_m, UnitSystem units) {
  return std::get<double>(parse_quantity(length_text(length_m, units), Dimension::length));
}

}  // namespace restwell
