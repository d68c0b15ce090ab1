#include "models/pit.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numbers>

#include "models/pit_shape.hpp"

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
      if (height_m >= held.tight_m) table = std::max(table, std::min(held.level_m, level_m));
    }
    return table;
  }
  // Perched, on a layer below the bottom.
  [[nodiscard]] double held_at_bottom_m() const {
    double held_m = far_below_m;
    for (const HeldWater& held : around.held) {
      if (held.tight_m < 0.0) held_m = std::max(held_m, std::min(held.level_m, level_m));
    }
    return held_m;
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

// Flow [m3/day] through the ring; negative where groundwater comes in.
double ring_flow(const Ring& ring, const SideConductance& side, double resistance_day,
                 const Water& water, double perimeter_m) {
  const double table_m = water.table_m(0.5 * (ring.bottom_m + ring.top_m));
  // m2/day of wall per length around, between two heights on one side of level and table.
  const auto part = [&](double from_m, double to_m) {
    if (to_m <= from_m) return 0.0;
    const double middle_m = 0.5 * (from_m + to_m);
    return (to_m - from_m) * side_intake_m_per_day(side, resistance_day,
                                                   std::max(0.0, water.level_m - middle_m),
                                                   table_m - middle_m);
  };
  const double wet_m = std::clamp(water.level_m, ring.bottom_m, ring.top_m);
  const double soaked_m = std::clamp(table_m, ring.bottom_m, ring.top_m);
  return perimeter_m * (part(ring.bottom_m, std::min(wet_m, soaked_m)) +
                        part(std::min(wet_m, soaked_m), std::max(wet_m, soaked_m)));
}

// Of the bottom, per area.
double bottom_flow_m_per_day(const BottomConductance& below, double resistance_day,
                             const Water& water) {
  const double table =
      bottom_intake_m_per_day(below, resistance_day, water.level_m, water.around.table_m);
  const double held_m = water.held_at_bottom_m();
  if (held_m <= far_below_m) return table;
  return std::min(table, saturated_intake_m_per_day(below, resistance_day, water.level_m, held_m));
}

// Below: resistance_of(i) gives, take(i, flow) receives; i = rings.size() is the bottom. Returns
// the sum.

// Of a drain field, in plane flow.
template <class ResistanceOf, class Take>
double sum_trench_intake_m3_per_day(const Pit& pit, const TrenchPlan& trench, const Water& water,
                                    ResistanceOf resistance_of, Take take) {
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
      flow = ring_flow(ring, {.kappa_per_day = kappa, .alpha_per_m = alpha}, resistance_of(i),
                       water, perimeter);
    }
    take(i, flow);
    sum += flow;
  }
  const Soil& soil = pit.bottom_soil;
  const BottomConductance below{
      .kfs_m_per_day =
          soil.kfs_m_per_day * trench_bottom_gain(trench, water.level_m, soil.alpha_per_m),
      .alpha_per_m = soil.alpha_per_m,
      .saturated_per_day = trench_bottom_saturated_per_day(trench, soil.kfs_m_per_day)};
  const double bottom =
      trench_area_m2(trench) * bottom_flow_m_per_day(below, resistance_of(count), water);
  take(count, bottom);
  return sum + bottom;
}

// A wall of which the share s takes water counts as one of the depth x s^active_exponent (fitted).
constexpr double active_exponent = 0.7;
constexpr double most_pressure_loss = 0.9;  // narrow strips only

// Of a round pit.
template <class ResistanceOf, class Take>
double sum_round_intake_m3_per_day(const Pit& pit, const Water& water, ResistanceOf resistance_of,
                                   Take take) {
  const double a = pit.geometry.radius_m;
  const double x = water.reach_m / a;
  const Soil& below = pit.bottom_soil;
  const std::size_t count = pit.rings.size();
  std::size_t wet = 0;  // rings that feel water, at least in part
  while (wet < count && pit.rings[wet].bottom_m < water.reach_m) ++wet;
  const auto height_m = [&](std::size_t i) {
    return std::min(pit.rings[i].top_m, water.reach_m) - pit.rings[i].bottom_m;
  };

  const auto head_m = [&](std::size_t i) {
    return water.reach_m - pit.rings[i].bottom_m - 0.5 * height_m(i);
  };

  // What a ring could take if it stood alone: its soil and its layer in series, as a conductivity.
  double alpha_now = -1.0;
  double resisting_per_m = 0.0;  // 2/(C_w a)
  const auto capacity = [&](std::size_t i) {
    const Soil& soil = pit.rings[i].soil;
    if (soil.alpha_per_m != alpha_now) {
      alpha_now = soil.alpha_per_m;
      resisting_per_m = 2.0 / (wall_shape_factor({x, alpha_now * a}, 1.0) * a);
    }
    return soil.kfs_m_per_day / (1.0 + resisting_per_m * soil.kfs_m_per_day * resistance_of(i));
  };

  // Bottom: less where the wall beside it is busy.
  double busy = 0.0;
  double all = 0.0;
  for (std::size_t i = 0; i < wet; ++i) {
    const double weight = head_m(i) * height_m(i);
    busy += std::min(below.kfs_m_per_day, capacity(i)) * weight;
    all += weight;
  }
  const BottomSpread spread = bottom_spreads({x, below.alpha_per_m * a},
                                             all > 0.0 ? busy / (all * below.kfs_m_per_day) : 0.0);
  const double per_spread = below.kfs_m_per_day / a;
  const double bottom = bottom_area_m2(pit.geometry) *
                        bottom_flow_m_per_day({.kfs_m_per_day = below.kfs_m_per_day,
                                               .alpha_per_m = below.alpha_per_m,
                                               .spread_per_day = per_spread * spread.pressure,
                                               .saturated_per_day = per_spread * spread.saturated,
                                               .suction_ratio = spread.suction / spread.pressure},
                                              resistance_of(count), water);
  const double bottom_activity = 1.0 / (1.0 + per_spread * spread.saturated * resistance_of(count));

  // Wall, one soil after the other: it takes readily where only part of the wall takes.
  double sum = 0.0;
  for (std::size_t first = 0; first < wet;) {
    const Soil& soil = pit.rings[first].soil;
    std::size_t end = first;
    while (end < wet && pit.rings[end].soil == soil) ++end;
    // Sums over the wall of what draws on the same ground (k) and of what of it takes water (v), as
    // conductivities.
    double k_sum = 0.0, k2_sum = 0.0, v_sum = 0.0, v2_sum = 0.0, head_sum = 0.0;
    for (std::size_t i = 0; i < wet; ++i) {
      const double k = std::min(soil.kfs_m_per_day, pit.rings[i].soil.kfs_m_per_day);
      const double v = std::min(k, capacity(i));
      const double height = height_m(i);
      k_sum += k * height;
      k2_sum += k * k * height;
      v_sum += v * height;
      v2_sum += v * v * height;
      head_sum += v * height * head_m(i);
    }
    const double share = std::min(1.0, v_sum * v_sum * k2_sum / (v2_sum * k_sum * k_sum));
    const double depth = k_sum / (soil.kfs_m_per_day * a);
    const double beside = bottom_activity * std::min(1.0, below.kfs_m_per_day / soil.kfs_m_per_day);
    const double shape =
        wall_shape_factor({depth * std::pow(share, active_exponent), soil.alpha_per_m * a}, beside);
    // Suction goes by the height that takes and its mean head; a table over the bottom ends it.
    const double heads = 2.0 * soil.alpha_per_m * head_sum / v_sum;  // alpha d
    const double free = 1.0 - std::exp(std::min(soil.alpha_per_m * water.around.table_m, 0.0));
    const double y =
        free * (shape / wall_suction_factor({depth * share, soil.alpha_per_m * a}, beside) - 1.0) /
        (1.0 + heads);
    const SideConductance side{.kappa_per_day = water.factor * soil.kfs_m_per_day / (shape * a),
                               .alpha_per_m = soil.alpha_per_m,
                               .suction_ratio = 1.0 + y * heads,
                               .pressure_loss = std::min(y, most_pressure_loss)};
    for (std::size_t i = first; i < end; ++i) {
      const double flow = ring_flow(pit.rings[i], side, resistance_of(i), water, 2.0 * pi * a);
      take(i, flow);
      sum += flow;
    }
    first = end;
  }
  for (std::size_t i = wet; i < count; ++i) take(i, 0.0);
  take(count, bottom);
  return sum + bottom;
}

template <class ResistanceOf, class Take>
double sum_intake_m3_per_day(const Pit& pit, double level_m, const WaterAround& around,
                             ResistanceOf resistance_of, Take take) {
  const Water water = water_at(pit, level_m, around);
  if (pit.geometry.trench) {
    return sum_trench_intake_m3_per_day(pit, *pit.geometry.trench, water, resistance_of, take);
  }
  return sum_round_intake_m3_per_day(pit, water, resistance_of, take);
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

double pit_intake_m3_per_day(const Pit& pit, std::span<const double> resistance_day, double level_m,
                             const WaterAround& around, std::span<double> flow_m3_per_day) {
  return sum_intake_m3_per_day(
      pit, level_m, around, [&](std::size_t i) { return resistance_day[i]; },
      [&](std::size_t i, double flow) { flow_m3_per_day[i] = flow; });
}

double uniform_intake_m3_per_day(const Pit& pit, double resistance_day, double level_m,
                                 const WaterAround& around) {
  return sum_intake_m3_per_day(
      pit, level_m, around, [&](std::size_t) { return resistance_day; },
      [](std::size_t, double) {});
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

  constexpr double log_tolerance = 1e-13;
  std::uintmax_t iterations = 100;
  const auto root = boost::math::tools::toms748_solve(
      excess, lower, upper, at_lower, at_upper,
      [](double l, double u) { return u - l <= log_tolerance * std::max(1.0, std::abs(l)); },
      iterations);
  return std::exp(0.5 * (root.first + root.second));
}

}  // namespace restwell
