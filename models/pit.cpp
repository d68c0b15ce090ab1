#include "models/pit.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numbers>

#include "models/intake.hpp"

namespace restwell {

namespace {

using std::numbers::pi;

// One walk over the wetted rings and the bottom: resistance_of(i) gives, take(i, flow) receives;
// i = rings.size() is the bottom. Returns the sum.
// Of a drain field, in plane flow.
template <class ResistanceOf, class Take>
double sum_trench_intake_m3_per_day(const Pit& pit, const TrenchPlan& trench, double level_m,
                                    ResistanceOf resistance_of, Take take) {
  const double perimeter = trench_perimeter_m(trench);
  const double f_wt = water_table_factor((level_m + pit.water_table_below_bottom_m) /
                                         std::max(level_m, std::numeric_limits<double>::min()));
  double sum = 0.0;
  const std::size_t count = pit.rings.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Ring& ring = pit.rings[i];
    const double top_m = std::min(ring.top_m, level_m);
    double flow = 0.0;
    if (top_m > ring.bottom_m) {
      const double alpha = ring.soil.alpha_per_m;
      const double kappa =
          f_wt * ring.soil.kfs_m_per_day / trench_side_scale_m(trench, level_m, alpha);
      flow = perimeter * (top_m - ring.bottom_m) *
             side_intake_m_per_day({.kappa_per_day = kappa, .alpha_per_m = alpha}, resistance_of(i),
                                   level_m - 0.5 * (ring.bottom_m + top_m));
    }
    take(i, flow);
    sum += flow;
  }
  BottomConductance below{.kfs_m_per_day = pit.bottom_soil.kfs_m_per_day,
                          .alpha_per_m = pit.bottom_soil.alpha_per_m};
  below.kfs_m_per_day *= trench_bottom_gain(trench, level_m, below.alpha_per_m);
  const double bottom =
      trench_area_m2(trench) * bottom_intake_m_per_day(below, resistance_of(count), level_m);
  take(count, bottom);
  return sum + bottom;
}

// A round pit's, or a drain field's.
template <class ResistanceOf, class Take>
double sum_intake_m3_per_day(const Pit& pit, double level_m, ResistanceOf resistance_of,
                             Take take) {
  if (pit.geometry.trench) {
    return sum_trench_intake_m3_per_day(pit, *pit.geometry.trench, level_m, resistance_of, take);
  }
  const double a = pit.geometry.radius_m;
  const double depth_over_radius = level_m / a;
  const double f_wt = water_table_factor((level_m + pit.water_table_below_bottom_m) /
                                         std::max(level_m, std::numeric_limits<double>::min()));
  // Rings of one layer share alpha, so C is worked out once per layer and not per ring.
  double alpha_of_shape = -1.0;
  double side_share_per_m = 0.0;  // f_wt/(C a)
  double sum = 0.0;
  const std::size_t count = pit.rings.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Ring& ring = pit.rings[i];
    const double top_m = std::min(ring.top_m, level_m);
    if (top_m <= ring.bottom_m) {
      take(i, 0.0);
      continue;
    }
    if (ring.soil.alpha_per_m != alpha_of_shape) {
      alpha_of_shape = ring.soil.alpha_per_m;
      side_share_per_m = f_wt / (shape_factor(depth_over_radius, alpha_of_shape) * a);
    }
    const double head_m = level_m - 0.5 * (ring.bottom_m + top_m);
    const double q_m_per_day =
        side_intake_m_per_day({.kappa_per_day = side_share_per_m * ring.soil.kfs_m_per_day,
                               .alpha_per_m = alpha_of_shape},
                              resistance_of(i), head_m);
    const double flow = q_m_per_day * 2.0 * pi * a * (top_m - ring.bottom_m);
    take(i, flow);
    sum += flow;
  }
  const double bottom = bottom_area_m2(pit.geometry) *
                        bottom_intake_m_per_day({.kfs_m_per_day = pit.bottom_soil.kfs_m_per_day,
                                                 .alpha_per_m = pit.bottom_soil.alpha_per_m},
                                                resistance_of(count), level_m);
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
                             std::span<double> flow_m3_per_day) {
  return sum_intake_m3_per_day(
      pit, level_m, [&](std::size_t i) { return resistance_day[i]; },
      [&](std::size_t i, double flow) { flow_m3_per_day[i] = flow; });
}

double intake_when_full_m3_per_day(const Pit& pit, std::span<const double> resistance_day) {
  std::vector<double> flow(pit.rings.size() + 1);
  return pit_intake_m3_per_day(pit, resistance_day, pit.geometry.depth_m, flow);
}

double uniform_intake_m3_per_day(const Pit& pit, double resistance_day, double level_m) {
  return sum_intake_m3_per_day(
      pit, level_m, [&](std::size_t) { return resistance_day; }, [](std::size_t, double) {});
}

std::optional<double> uniform_resistance_for_intake(const Pit& pit, double level_m,
                                                    double intake_m3_per_day) {
  if (intake_m3_per_day <= 0.0) return std::numeric_limits<double>::infinity();
  const double clean = uniform_intake_m3_per_day(pit, 0.0, level_m);
  if (clean < intake_m3_per_day) return std::nullopt;
  if (clean == intake_m3_per_day) return 0.0;

  const auto excess = [&](double log_resistance) {
    return std::log(uniform_intake_m3_per_day(pit, std::exp(log_resistance), level_m) /
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
