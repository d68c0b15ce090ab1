#include "sim/layout.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/water_table.hpp"

namespace restwell {
namespace {

const Soil& soil_at(const std::vector<SoilLayer>& layers, double depth_m) {
  std::size_t i = 0;
  while (i + 1 < layers.size() && depth_m >= layers[i].to_depth_m) ++i;
  return layers[i].soil;
}

// What the bottom meets: the layer it stands on, and the next one below if that takes more. One
// that takes less holds water up instead.
void lay_under(Pit& pit, const std::vector<SoilLayer>& layers, double bottom_depth_m,
               double reach_m) {
  std::size_t i = 0;
  while (i + 1 < layers.size() && bottom_depth_m >= layers[i].to_depth_m) ++i;
  const Soil& stands_on = layers[i].soil;
  pit.bottom_soil = stands_on;
  if (i + 1 == layers.size()) return;
  const Soil& next = layers[i + 1].soil;
  if (next.kfs_m_per_day <= stands_on.kfs_m_per_day) return;
  const double thickness_m = layers[i].to_depth_m - bottom_depth_m;
  pit.bottom_soil = soil_below(stands_on, thickness_m, next, reach_m);
  pit.slow_below = SlowLayer{stands_on, thickness_m};
}

std::vector<SoilBoundary> soil_boundaries(const std::vector<SoilLayer>& layers,
                                          double bottom_depth_m, double reach_m) {
  std::vector<SoilBoundary> boundaries;
  for (std::size_t i = 1; i < layers.size(); ++i) {
    if (layers[i].soil == layers[i - 1].soil) continue;
    boundaries.push_back({.top_m = bottom_depth_m - layers[i - 1].to_depth_m,
                          .above = layers[i - 1].soil,
                          .below = layers[i].soil,
                          .reach_m = reach_m});
  }
  return boundaries;
}

const std::vector<SoilLayer>& layers_around(const Scenario& scenario, const PitConfig& config) {
  return config.layers ? *config.layers : scenario.soil.layers;
}

// Equal rings of at most ring_height_m between two levels over the bottom, cut in two where a layer
// of soil ends.
void add_rings(std::vector<Ring>& rings, const std::vector<SoilLayer>& layers, double from_m,
               double to_m, double bottom_depth_m, double ring_height_m) {
  if (!(to_m > from_m)) return;
  constexpr double least_ring_m = 1e-6;
  const auto add = [&](double low_m, double high_m) {
    rings.push_back({low_m, high_m, soil_at(layers, bottom_depth_m - 0.5 * (low_m + high_m))});
  };
  const int count =
      std::max(1, static_cast<int>(std::ceil((to_m - from_m) / ring_height_m - 1e-9)));
  for (int i = 0; i < count; ++i) {
    double low_m = from_m + (to_m - from_m) * i / count;
    const double high_m = from_m + (to_m - from_m) * (i + 1) / count;
    for (auto layer = layers.rbegin(); layer != layers.rend(); ++layer) {
      const double edge_m = bottom_depth_m - layer->to_depth_m;
      if (edge_m <= low_m + least_ring_m || edge_m >= high_m - least_ring_m) continue;
      add(low_m, edge_m);
      low_m = edge_m;
    }
    add(low_m, high_m);
  }
}

Pit make_pit(const Scenario& scenario, const PitConfig& config) {
  const std::vector<SoilLayer>& layers = layers_around(scenario, config);
  const PitGeometry& g = config.geometry;
  const double bottom_depth_m = config.inlet_depth_m + g.depth_m;
  Pit pit;
  pit.geometry = g;
  add_rings(pit.rings, layers, 0.0, g.depth_m, bottom_depth_m, scenario.limits.ring_height_m);
  add_rings(pit.rings, layers, g.depth_m, g.depth_m + g.cover_above_inlet_m, bottom_depth_m,
            scenario.limits.ring_height_m);
  const double half_width_m = g.trench ? 0.5 * g.trench->width_m : g.radius_m;
  lay_under(pit, layers, bottom_depth_m, bottom_reach * half_width_m);
  return pit;
}

std::size_t pit_index(const Scenario& scenario, const std::string& name) {
  const auto found = std::find_if(scenario.pits.begin(), scenario.pits.end(),
                                  [&name](const PitConfig& p) { return p.name == name; });
  return static_cast<std::size_t>(found - scenario.pits.begin());
}

// Every pit after the pits that spill into it; the loader has refused loops.
std::vector<std::size_t> flow_order(const std::vector<PitLayout>& pits) {
  std::vector<int> feeders(pits.size(), 0);
  for (const PitLayout& p : pits) {
    if (p.over_brim == Destination::next_pit) ++feeders[p.next_pit];
  }
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < pits.size(); ++i) {
    if (feeders[i] == 0) order.push_back(i);
  }
  for (std::size_t k = 0; k < order.size(); ++k) {
    const PitLayout& p = pits[order[k]];
    if (p.over_brim == Destination::next_pit && --feeders[p.next_pit] == 0) {
      order.push_back(p.next_pit);
    }
  }
  return order;
}

// Whether an outlet, capped or not, leads to the pit as found.
bool led_to(const Scenario& scenario, std::size_t pit) {
  return std::ranges::any_of(scenario.box.outlets, [&](const BoxOutletConfig& o) {
    return o.pit == scenario.pits[pit].name;
  });
}

}  // namespace

double water_table_m(const std::optional<WaterTable>& table, const PitLayout& pit, Date date) {
  return table ? pit.bottom_below_ground_m - table_depth_m(*table, date) : far_below_m;
}

double long_intake_m3_per_day(const PitLayout& pit, std::span<const double> resistance_day,
                              double level_m) {
  std::vector<double> flow(pit.pit.rings.size() + 1);
  const std::vector<HeldWater> held =
      steady_perched_water(pit.pit, pit.boundaries, resistance_day, level_m, pit.water_table_m);
  return pit_intake_m3_per_day(pit.pit, resistance_day, level_m,
                               {.table_m = pit.water_table_m, .held = held}, flow);
}

double intake_when_full_m3_per_day(const PitLayout& pit, std::span<const double> resistance_day) {
  return long_intake_m3_per_day(pit, resistance_day, pit.pit.geometry.depth_m);
}

SiteLayout lay_out(const Scenario& scenario) {
  SiteLayout site;
  site.box_present = scenario.box.present;
  site.lid = scenario.box.lid;
  for (const PitConfig& config : scenario.pits) {
    PitLayout p;
    p.pit = make_pit(scenario, config);
    const PitGeometry& g = config.geometry;
    p.bottom_below_ground_m = config.inlet_depth_m + g.depth_m;
    p.boundaries = soil_boundaries(layers_around(scenario, config), p.bottom_below_ground_m,
                                   scenario.groundwater.layer_reach_m);
    if (const auto& table = scenario.soil.water_table) {
      p.water_table_m = p.bottom_below_ground_m - mean_table_m(*table);
    }
    p.brim_m = g.depth_m;
    switch (config.when_full.kind) {
      case WhenFull::Kind::box:
        p.brim_m = g.depth_m + g.cover_above_inlet_m;
        p.backs_up_to_box = scenario.box.present;
        break;
      case WhenFull::Kind::pit:
        p.over_brim = Destination::next_pit;
        p.next_pit = pit_index(scenario, config.when_full.pit);
        break;
      case WhenFull::Kind::house:
        p.brim_m = g.depth_m + config.inlet_below_box_m;  // the far end of its pipe
        p.over_brim = Destination::house;
        break;
      case WhenFull::Kind::surface:
        p.brim_m = g.depth_m + g.cover_above_inlet_m;
        break;
    }
    site.pits.push_back(std::move(p));
  }
  for (std::size_t i = 0; i < scenario.box.outlets.size(); ++i) {
    const BoxOutletConfig& config = scenario.box.outlets[i];
    if (config.pit.empty()) continue;
    const std::size_t pit = pit_index(scenario, config.pit);
    site.pits[pit].bottom_over_datum_m = config.placement.invert_m -
                                         scenario.pits[pit].inlet_below_box_m -
                                         scenario.pits[pit].geometry.depth_m;
    if (config.capped) continue;
    BoxOutlet outlet;
    outlet.opening = config.opening;
    outlet.check_valve = config.check_valve;
    outlet.lip_m =
        effective_lip_m(config.placement, scenario.box.tilt_x_rad, scenario.box.tilt_y_rad);
    site.outlets.push_back(outlet);
    site.outlet_config.push_back(i);
    site.outlet_pit.push_back(pit);
  }
  // A pit that only other pits feed has no pipe to the box to back up through.
  for (std::size_t k = 0; k < site.pits.size(); ++k) {
    if (std::find(site.outlet_pit.begin(), site.outlet_pit.end(), k) == site.outlet_pit.end()) {
      site.pits[k].backs_up_to_box = false;
    }
  }
  site.flow_order = flow_order(site.pits);
  return site;
}

BoxOnDate box_on(const Scenario& scenario, Date date) {
  BoxOnDate now = {scenario.box, false};
  for (const PlannedWork& work : scenario.plan) {
    if (work.date > date) continue;
    if (work.haul) now.hauled = *work.haul;
    BoxOutletConfig& outlet = now.box.outlets[work.outlet];
    outlet.capped = work.capped.value_or(outlet.capped);
    outlet.pit = work.to.value_or(outlet.pit);
    outlet.placement.raised_m = work.raised_m.value_or(outlet.placement.raised_m);
    outlet.placement.leveler_angle_rad =
        work.leveler_angle_rad.value_or(outlet.placement.leveler_angle_rad);
  }
  return now;
}

SiteLayout lay_out_with(const Scenario& scenario, const BoxConfig& box) {
  const SiteLayout found = lay_out(scenario);
  Scenario changed = scenario;
  changed.box = box;
  SiteLayout site = lay_out(changed);
  for (std::size_t p = 0; p < found.pits.size(); ++p) {
    if (led_to(scenario, p)) site.pits[p].bottom_over_datum_m = found.pits[p].bottom_over_datum_m;
  }
  return site;
}

std::vector<Phase> phases(const Scenario& scenario) {
  std::set<int> first_days = {0};
  for (const PlannedWork& work : scenario.plan) {
    first_days.insert(std::max(0, days_between(scenario.start, work.date)));
  }
  std::vector<Phase> all;
  for (const int day : first_days) {
    const BoxOnDate now = box_on(scenario, date_of(scenario.start, day));
    all.push_back({day, lay_out_with(scenario, now.box), now.hauled});
  }
  return all;
}

bool ever_backs_up_to_box(const std::vector<Phase>& phases, std::size_t pit) {
  return std::ranges::any_of(
      phases, [pit](const Phase& phase) { return phase.site.pits[pit].backs_up_to_box; });
}

}  // namespace restwell
