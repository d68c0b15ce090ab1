#include "models/pit.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

#include "models/root.hpp"

namespace restwell {

namespace {

using std::numbers::pi;

// Pond and water table, over the bottom.
struct Water {
  double level_m;
  WaterAround around;
  double reach_m;  // up to here the wall takes water in or lets it out
  double factor;   // f of the wall's conductance
  // Around a part of the wall at this height.
  [[nodiscard]] double table_m(double height_m) const {
    double table = around.table_m;
    for (const HeldWater& held : around.held) {
      if (height_m >= held.boundary_m) table = std::max(table, std::min(held.level_m, level_m));
    }
    return table;
  }
  // The highest over a boundary below the bottom.
  [[nodiscard]] double held_at_bottom_m() const {
    double highest = far_below_m;
    for (const HeldWater& held : around.held) {
      if (held.boundary_m < 0.0) highest = std::max(highest, std::min(held.level_m, level_m));
    }
    return highest;
  }
};
constexpr double near_table_loss = 0.22;  // fitted, see pit.hpp

Water water_at(const Pit& pit, double level_m, const WaterAround& around) {
  const double top_m = pit.rings.empty() ? 0.0 : pit.rings.back().top_m;
  // Depth of the table below the water in the pit over the pond's depth.
  const double depth_ratio =
      1.0 + std::max(0.0, -around.table_m) / std::max(level_m, std::numeric_limits<double>::min());
  return {.level_m = level_m,
          .around = around,
          .reach_m = std::max(level_m, std::min(around.table_m, top_m)),
          .factor = 1.0 - near_table_loss * std::clamp((3.0 - depth_ratio) / 2.0, 0.0, 1.0)};
}

// Flow [m3/day] through the ring; negative where groundwater comes in. far: the side without a
// table.
double ring_flow(const Ring& ring, const SideConductance& side, const SideOutside& far,
                 double resistance_day, const Water& water, double perimeter_m) {
  const double table_m = water.table_m(0.5 * (ring.bottom_m + ring.top_m));
  // m2/day of wall per length around, between two heights on one side of level and table.
  const auto part = [&](double from_m, double to_m) {
    if (to_m <= from_m) return 0.0;
    const double middle_m = 0.5 * (from_m + to_m);
    const double outside_m = table_m - middle_m;
    const double head_m = std::max(0.0, water.level_m - middle_m);
    const bool feels = side.alpha_per_m * outside_m >= nothing_left;
    return (to_m - from_m) * side_intake_m_per_day(side,
                                                   feels ? side_outside(side, outside_m) : far,
                                                   resistance_day, head_m);
  };
  const double wet_m = std::clamp(water.level_m, ring.bottom_m, ring.top_m);
  if (table_m <= ring.bottom_m) return perimeter_m * part(ring.bottom_m, wet_m);
  const double soaked_m = std::min(table_m, ring.top_m);
  return perimeter_m * (part(ring.bottom_m, std::min(wet_m, soaked_m)) +
                        part(std::min(wet_m, soaked_m), std::max(wet_m, soaked_m)));
}

// The same, to the last digit, of a wet ring that feels no water around.
double dry_ring_flow(const Ring& ring, const SideConductance& side, const SideOutside& far,
                     double resistance_day, double level_m, double perimeter_m) {
  const double to_m = std::min(level_m, ring.top_m);
  const double head_m = level_m - 0.5 * (ring.bottom_m + to_m);
  return perimeter_m *
         ((to_m - ring.bottom_m) * side_intake_m_per_day(side, far, resistance_day, head_m));
}

// Of the bottom, per area.
double bottom_flow_m_per_day(const BottomConductance& below, double resistance_day,
                             const Water& water) {
  const double table =
      bottom_intake_m_per_day(below, resistance_day, water.level_m, water.around.table_m);
  const double held_m = water.held_at_bottom_m();
  if (held_m <= far_below_m) return table;
  const double over =
      held_m < 0.0 ? bottom_intake_over_m_per_day(below, resistance_day, water.level_m, held_m)
                   : saturated_intake_m_per_day(below, resistance_day, water.level_m, held_m);
  return std::min(table, over);
}

// Of a layer over faster soil.
BottomConductance through(const SlowLayer& layer, const BottomSpread& spread, double radius_m) {
  const double k = layer.soil.kfs_m_per_day;
  const double down = 1.0 / layer.thickness_m + spread.pressure / radius_m;
  return {.kfs_m_per_day = k / -std::expm1(-layer.soil.alpha_per_m * layer.thickness_m),
          .alpha_per_m = layer.soil.alpha_per_m,
          .spread_per_day = k * down,
          .suction_ratio = spread.suction / (radius_m * down)};
}

// Of rings and, last, the bottom.
struct Resistances {
  const double* first_day;
  std::size_t step;  // 0: all the same
  double operator[](std::size_t i) const { return first_day[i * step]; }
};
// Below, flow_m3_per_day takes each part's, if it is not null; the sum is returned.

// Of a drain field, in plane flow.
double sum_trench_intake_m3_per_day(const Pit& pit, const TrenchPlan& trench, const Water& water,
                                    const Resistances& resistance_day, double* flow_m3_per_day) {
  const double perimeter = trench_perimeter_m(trench);
  double sum = 0.0;
  const std::size_t count = pit.rings.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Ring& ring = pit.rings[i];
    double flow = 0.0;
    if (water.reach_m > ring.bottom_m) {
      const double alpha = ring.soil.alpha_per_m;
      const double kappa = water.factor * ring.soil.kfs_m_per_day /
                           trench_side_scale_m(trench, water.reach_m, alpha);
      const SideConductance side{.kappa_per_day = kappa, .alpha_per_m = alpha};
      flow = ring_flow(ring, side, side_outside(side), resistance_day[i], water, perimeter);
    }
    if (flow_m3_per_day != nullptr) flow_m3_per_day[i] = flow;
    sum += flow;
  }
  const Soil& soil = pit.bottom_soil;
  const BottomConductance below{
      .kfs_m_per_day =
          soil.kfs_m_per_day * trench_bottom_gain(trench, water.level_m, soil.alpha_per_m),
      .alpha_per_m = soil.alpha_per_m,
      .saturated_per_day = trench_bottom_saturated_per_day(trench, soil.kfs_m_per_day)};
  const double bottom =
      trench_area_m2(trench) * bottom_flow_m_per_day(below, resistance_day[count], water);
  if (flow_m3_per_day != nullptr) flow_m3_per_day[count] = bottom;
  return sum + bottom;
}

// A wall of which the share s takes water counts as one of the depth x s^active_exponent (fitted).
constexpr double active_exponent = 0.7;
constexpr double most_pressure_loss = 0.9;  // narrow strips only

// Sums over the wall as one soil sees it: of what draws on the same ground (k) and of what of it
// takes water (v), as conductivities; and of what keeps the bottom's soil busy.
struct WallSums {
  double k = 0.0, k2 = 0.0, v = 0.0, v2 = 0.0, head = 0.0;
  double busy = 0.0, all = 0.0;
};

// Of a round pit, at.reach_m that of the water.
double sum_round_intake_m3_per_day(const Pit& pit, const PitAtLevel& at, const Water& water,
                                   const Resistances& resistance_day, double* flow_m3_per_day) {
  const double a = pit.geometry.radius_m;
  const Soil& below = pit.bottom_soil;
  const std::size_t count = pit.rings.size();

  const auto sums_for = [&](const Soil& soil) {
    WallSums sums;
    std::size_t i = 0;
    for (const PitAtLevel::Wall& wall : at.walls) {
      const double ring_k = pit.rings[i].soil.kfs_m_per_day;
      const double k = std::min(soil.kfs_m_per_day, ring_k);
      const double from_m = pit.rings[i].bottom_m;
      const double to_m = std::min(pit.rings[wall.end - 1].top_m, at.reach_m);
      sums.k += k * (to_m - from_m);
      sums.k2 += k * k * (to_m - from_m);
      sums.all += (to_m - from_m) * (at.reach_m - 0.5 * (from_m + to_m));
      const double resisting = wall.resisting_per_m * ring_k;
      for (; i < wall.end; ++i) {
        const double bottom_m = pit.rings[i].bottom_m;
        const double height_m = std::min(pit.rings[i].top_m, to_m) - bottom_m;
        // What the ring could take if it stood alone: its soil and its layer in series.
        const double capacity = ring_k / (1.0 + resisting * resistance_day[i]);
        const double takes = std::min(k, capacity);
        const double v = takes * height_m;
        const double head_m = at.reach_m - bottom_m - 0.5 * height_m;
        sums.v += v;
        sums.v2 += v * takes;
        sums.head += v * head_m;
        sums.busy += std::min(below.kfs_m_per_day, capacity) * height_m * head_m;
      }
    }
    return sums;
  };
  const WallSums lowest = at.walls.empty() ? WallSums{} : sums_for(pit.rings.front().soil);

  // Bottom: less where the wall beside it is busy.
  const BottomSpread spread = bottom_spreads(
      at.bottom, lowest.all > 0.0 ? lowest.busy / (lowest.all * below.kfs_m_per_day) : 0.0);
  const double per_spread = below.kfs_m_per_day / a;
  double bottom_m_per_day =
      bottom_flow_m_per_day({.kfs_m_per_day = below.kfs_m_per_day,
                             .alpha_per_m = below.alpha_per_m,
                             .spread_per_day = per_spread * spread.pressure,
                             .saturated_per_day = per_spread * spread.saturated,
                             .suction_ratio = spread.suction / spread.pressure},
                            resistance_day[count], water);
  if (pit.slow_below) {
    const double through_layer_m_per_day =
        bottom_intake_over_m_per_day(through(*pit.slow_below, spread, a), resistance_day[count],
                                     water.level_m, std::min(0.0, water.held_at_bottom_m()));
    bottom_m_per_day = std::min(bottom_m_per_day, through_layer_m_per_day);
  }
  const double bottom = bottom_area_m2(pit.geometry) * bottom_m_per_day;
  const double bottom_activity =
      1.0 / (1.0 + per_spread * spread.saturated * resistance_day[count]);

  const double perimeter = 2.0 * pi * a;
  // Wall, one soil after the other: it takes readily where only part of the wall takes.
  double sum = 0.0;
  std::size_t i = 0;
  for (const PitAtLevel::Wall& wall : at.walls) {
    const Soil& soil = pit.rings[i].soil;
    const WallSums sums = i == 0 ? lowest : sums_for(soil);
    const double share = std::min(1.0, sums.v * sums.v * sums.k2 / (sums.v2 * sums.k * sums.k));
    const WallDepth depth = wall_depth(sums.k / (soil.kfs_m_per_day * a));
    const double log_share = std::log(share);
    const WallDepth counts{depth.over_radius * std::exp(active_exponent * log_share),
                           depth.log + active_exponent * log_share};
    const double own_activity = sums.v2 / (sums.v * soil.kfs_m_per_day);
    const double beside = std::min(1.0, bottom_activity / own_activity) *
                          std::min(1.0, below.kfs_m_per_day / soil.kfs_m_per_day);
    const WallDepth takes{depth.over_radius * share, depth.log + log_share};
    // Suction goes by the height that takes and its mean head; a table over the bottom ends it.
    const double heads = 2.0 * soil.alpha_per_m * sums.head / sums.v;  // alpha d
    const double band =
        band_shape_factor(wall.soil, takes.over_radius, heads / wall.soil.alpha_radius, share);
    const double shape = wall_shape_factor(wall.soil, counts, beside, band);
    const double free = 1.0 - exp_to_one(soil.alpha_per_m * water.around.table_m);
    const double by_suction = std::min(band, wall_suction_factor(wall.soil, takes, beside));
    const double y = free * (shape / by_suction - 1.0) / (1.0 + heads);
    const SideConductance side{.kappa_per_day = water.factor * soil.kfs_m_per_day / (shape * a),
                               .alpha_per_m = soil.alpha_per_m,
                               .suction_ratio = 1.0 + y * heads,
                               .pressure_loss = std::min(y, most_pressure_loss)};
    const SideOutside far = side_outside(side);
    const bool feels_water =
        !water.around.held.empty() || soil.alpha_per_m * water.around.table_m >= nothing_left;
    for (; i < wall.end; ++i) {
      const Ring& ring = pit.rings[i];
      const double flow =
          feels_water ? ring_flow(ring, side, far, resistance_day[i], water, perimeter)
                      : dry_ring_flow(ring, side, far, resistance_day[i], water.level_m, perimeter);
      if (flow_m3_per_day != nullptr) flow_m3_per_day[i] = flow;
      sum += flow;
    }
  }
  if (flow_m3_per_day != nullptr) {
    std::fill(flow_m3_per_day + i, flow_m3_per_day + count, 0.0);
    flow_m3_per_day[count] = bottom;
  }
  return sum + bottom;
}

double sum_intake_m3_per_day(const Pit& pit, const PitAtLevel* known, double level_m,
                             const WaterAround& around, const Resistances& resistance_day,
                             double* flow_m3_per_day) {
  const Water water = water_at(pit, level_m, around);
  if (pit.geometry.trench) {
    return sum_trench_intake_m3_per_day(pit, *pit.geometry.trench, water, resistance_day,
                                        flow_m3_per_day);
  }
  const auto of = [&](const PitAtLevel& at) {
    return sum_round_intake_m3_per_day(pit, at, water, resistance_day, flow_m3_per_day);
  };
  const bool holds = known != nullptr && known->reach_m == water.reach_m;
  return holds ? of(*known) : of(pit_at_level(pit, water.reach_m));
}

}  // namespace

double storage_area_m2(const PitGeometry& g) {
  if (g.trench) return g.gravel_porosity * trench_area_m2(*g.trench);
  const double a2 = g.radius_m * g.radius_m;
  if (g.lining_inner_radius_m <= 0.0) return pi * a2 * g.inside_open_share;
  const double inner2 = g.lining_inner_radius_m * g.lining_inner_radius_m;
  const double outer2 = g.lining_outer_radius_m * g.lining_outer_radius_m;
  return pi * (inner2 * g.inside_open_share + g.gravel_porosity * (a2 - outer2));
}

double perimeter_m(const PitGeometry& g) {
  return g.trench ? trench_perimeter_m(*g.trench) : 2.0 * pi * g.radius_m;
}

double ring_area_m2(const PitGeometry& g, const Ring& ring) {
  return perimeter_m(g) * (ring.top_m - ring.bottom_m);
}

double bottom_area_m2(const PitGeometry& g) {
  return g.trench ? trench_area_m2(*g.trench) : pi * g.radius_m * g.radius_m;
}

double wall_area_m2(const PitGeometry& g) { return perimeter_m(g) * g.depth_m; }

PitAtLevel pit_at_level(const Pit& pit, double reach_m) {
  const double a = pit.geometry.radius_m;
  PitAtLevel at{.reach_m = reach_m};
  if (pit.geometry.trench) return at;
  const double x = reach_m / a;
  at.bottom = bottom_at_level({x, pit.bottom_soil.alpha_per_m * a});
  for (std::size_t i = 0; i < pit.rings.size() && pit.rings[i].bottom_m < reach_m; ++i) {
    const Soil& soil = pit.rings[i].soil;
    if (i == 0 || soil != pit.rings[i - 1].soil) {
      const WallSoil wall = wall_soil(soil.alpha_per_m * a);
      at.walls.push_back(
          {.end = i,
           .soil = wall,
           .resisting_per_m = 2.0 / (wall_shape_factor(wall, wall_depth(x), 1.0) * a)});
    }
    at.walls.back().end = i + 1;
  }
  return at;
}

double pit_intake_m3_per_day(const Pit& pit, const PitAtLevel& at,
                             std::span<const double> resistance_day, double level_m,
                             const WaterAround& around, std::span<double> flow_m3_per_day) {
  return sum_intake_m3_per_day(pit, &at, level_m, around, {resistance_day.data(), 1},
                               flow_m3_per_day.data());
}

double pit_intake_m3_per_day(const Pit& pit, std::span<const double> resistance_day, double level_m,
                             const WaterAround& around, std::span<double> flow_m3_per_day) {
  return sum_intake_m3_per_day(pit, nullptr, level_m, around, {resistance_day.data(), 1},
                               flow_m3_per_day.data());
}

double uniform_intake_m3_per_day(const Pit& pit, double resistance_day, double level_m,
                                 const WaterAround& around) {
  return sum_intake_m3_per_day(pit, nullptr, level_m, around, {&resistance_day, 0}, nullptr);
}

std::optional<double> uniform_resistance_for_intake(const Pit& pit, double level_m,
                                                    double intake_m3_per_day,
                                                    const WaterAround& around) {
  if (intake_m3_per_day <= 0.0) return std::numeric_limits<double>::infinity();
  const double clean = uniform_intake_m3_per_day(pit, 0.0, level_m, around);
  if (clean < intake_m3_per_day) return std::nullopt;
  if (clean == intake_m3_per_day) return 0.0;

  const auto excess = [&](double log_resistance) {
    return std::log(uniform_intake_m3_per_day(pit, std::exp(log_resistance), level_m, around) /
                    intake_m3_per_day);
  };
  // Bracket by decades from 1 day; intake falls without end as R grows.
  const double decade = std::log(10.0);
  const double log_least = -12.0 * decade;
  double lower = 0.0;
  double at_lower = excess(lower);
  while (at_lower <= 0.0 && lower > log_least) at_lower = excess(lower -= decade);
  if (at_lower <= 0.0) return 0.0;
  double upper = lower + decade;
  double at_upper = excess(upper);
  while (at_upper > 0.0) at_upper = excess(upper += decade);
  if (at_upper == 0.0) return std::exp(upper);

  constexpr RootTolerance tolerance{.absolute = 1e-13, .relative = 1e-13};
  return std::exp(root_between(excess, {lower, at_lower}, {upper, at_upper}, tolerance));
}

}  // namespace restwell
