#include "models/pit.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numbers>

namespace restwell {

namespace {

using std::numbers::pi;

// Saturated conductance of the bottom per area, G: 4 K a of a disc over pi a^2.
double bottom_saturated_per_day(const Pit& pit) {
  return 4.0 * pit.bottom_soil.kfs_m_per_day / (pi * pit.geometry.radius_m);
}

// Height over the bottom up to which pit or groundwater wet the wall.
double reach_m(const Pit& pit, double level_m, double table_m) {
  return std::max(level_m, std::min(table_m, pit.rings.empty() ? 0.0 : pit.rings.back().top_m));
}

double table_factor(double level_m, double table_m) {
  return water_table_factor(1.0 + std::max(0.0, -table_m) /
                                      std::max(level_m, std::numeric_limits<double>::min()));
}

// m2/day of a ring per length around.
double ring_intake_m2_per_day(const Ring& ring, const SideConductance& side, double resistance_day,
                              double level_m, double table_m) {
  // Between two heights on one side of level and table.
  const auto part = [&](double from_m, double to_m) {
    if (to_m <= from_m) return 0.0;
    const double middle_m = 0.5 * (from_m + to_m);
    return (to_m - from_m) * side_intake_m_per_day(side, resistance_day,
                                                   std::max(0.0, level_m - middle_m),
                                                   table_m - middle_m);
  };
  const double wet_m = std::clamp(level_m, ring.bottom_m, ring.top_m);
  const double soaked_m = std::clamp(table_m, ring.bottom_m, ring.top_m);
  return part(ring.bottom_m, std::min(wet_m, soaked_m)) +
         part(std::min(wet_m, soaked_m), std::max(wet_m, soaked_m));
}

// Of a drain field, in plane flow: as below.
template <class ResistanceOf, class Take>
double sum_trench_intake_m3_per_day(const Pit& pit, const TrenchPlan& trench, double level_m,
                                    double table_m, ResistanceOf resistance_of, Take take) {
  const std::size_t count = pit.rings.size();
  const double reach = reach_m(pit, level_m, table_m);
  const double f_wt = table_factor(level_m, table_m);
  double sum = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    const Ring& ring = pit.rings[i];
    double flow = 0.0;
    if (reach > ring.bottom_m) {
      const double alpha = ring.soil.alpha_per_m;
      const double kappa =
          f_wt * ring.soil.kfs_m_per_day / trench_side_scale_m(trench, reach, alpha);
      flow = trench_perimeter_m(trench) *
             ring_intake_m2_per_day(ring, {.kappa_per_day = kappa, .alpha_per_m = alpha},
                                    resistance_of(i), level_m, table_m);
    }
    take(i, flow);
    sum += flow;
  }
  const Soil& soil = pit.bottom_soil;
  const BottomConductance below{
      .kfs_m_per_day = soil.kfs_m_per_day * trench_bottom_gain(trench, level_m, soil.alpha_per_m),
      .alpha_per_m = soil.alpha_per_m,
      .saturated_per_day = trench_bottom_saturated_per_day(trench, soil.kfs_m_per_day)};
  const double bottom = trench_area_m2(trench) *
                        bottom_intake_m_per_day(below, resistance_of(count), level_m, table_m);
  take(count, bottom);
  return sum + bottom;
}

// One walk over the rings that feel water and the bottom: resistance_of(i) gives, take(i, flow)
// receives; i = rings.size() is the bottom. Returns the sum.
template <class ResistanceOf, class Take>
double sum_intake_m3_per_day(const Pit& pit, double level_m, double table_m,
                             ResistanceOf resistance_of, Take take) {
  if (pit.geometry.trench) {
    return sum_trench_intake_m3_per_day(pit, *pit.geometry.trench, level_m, table_m, resistance_of,
                                        take);
  }
  const std::size_t count = pit.rings.size();
  const double a = pit.geometry.radius_m;
  const double reach = reach_m(pit, level_m, table_m);
  const double f_wt = table_factor(level_m, table_m);
  // Rings of one layer share alpha, so C is worked out once per layer and not per ring.
  double alpha_of_shape = -1.0;
  double side_share_per_m = 0.0;  // f_wt/(C a)
  double sum = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    const Ring& ring = pit.rings[i];
    if (reach <= ring.bottom_m) {
      take(i, 0.0);
      continue;
    }
    if (ring.soil.alpha_per_m != alpha_of_shape) {
      alpha_of_shape = ring.soil.alpha_per_m;
      side_share_per_m = f_wt / (shape_factor(reach / a, alpha_of_shape) * a);
    }
    const SideConductance side{.kappa_per_day = side_share_per_m * ring.soil.kfs_m_per_day,
                               .alpha_per_m = alpha_of_shape};
    const double flow =
        2.0 * pi * a * ring_intake_m2_per_day(ring, side, resistance_of(i), level_m, table_m);
    take(i, flow);
    sum += flow;
  }
  const double bottom =
      bottom_area_m2(pit.geometry) *
      bottom_intake_m_per_day({.kfs_m_per_day = pit.bottom_soil.kfs_m_per_day,
                               .alpha_per_m = pit.bottom_soil.alpha_per_m,
                               .saturated_per_day = bottom_saturated_per_day(pit)},
                              resistance_of(count), level_m, table_m);
  take(count, bottom);
  return sum + bottom;
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
                             double water_table_m, std::span<double> flow_m3_per_day) {
  return sum_intake_m3_per_day(
      pit, level_m, water_table_m, [&](std::size_t i) { return resistance_day[i]; },
      [&](std::size_t i, double flow) { flow_m3_per_day[i] = flow; });
}

double intake_when_full_m3_per_day(const Pit& pit, std::span<const double> resistance_day,
                                   double water_table_m) {
  std::vector<double> flow(pit.rings.size() + 1);
  return pit_intake_m3_per_day(pit, resistance_day, pit.geometry.depth_m, water_table_m, flow);
}

double uniform_intake_m3_per_day(const Pit& pit, double resistance_day, double level_m,
                                 double water_table_m) {
  return sum_intake_m3_per_day(
      pit, level_m, water_table_m, [&](std::size_t) { return resistance_day; },
      [](std::size_t, double) {});
}

std::optional<double> uniform_resistance_for_intake(const Pit& pit, double level_m,
                                                    double intake_m3_per_day,
                                                    double water_table_m) {
  if (intake_m3_per_day <= 0.0) return std::numeric_limits<double>::infinity();
  const double clean = uniform_intake_m3_per_day(pit, 0.0, level_m, water_table_m);
  if (clean < intake_m3_per_day) return std::nullopt;
  if (clean == intake_m3_per_day) return 0.0;

  const auto excess = [&](double log_resistance) {
    return std::log(
        uniform_intake_m3_per_day(pit, std::exp(log_resistance), level_m, water_table_m) /
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
