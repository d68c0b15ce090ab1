#include "models/soil_lag.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace restwell {

double soil_activity(const Pit& pit, std::span<const double> resistance_day, double level_m,
                     std::span<const double> flow_m3_per_day,
                     std::span<const double> clean_flow_m3_per_day) {
  double weighted = 0.0, sum = 0.0;
  const auto add = [&](std::size_t i, const Soil& soil, double area_m2) {
    const double flow = flow_m3_per_day[i];
    if (!(flow > 0.0)) return;
    const double clean = std::max(flow, clean_flow_m3_per_day[i]);
    const double sucked = area_m2 + soil.alpha_per_m * resistance_day[i] * flow;  // area over it
    weighted +=
        flow * sucked >= area_m2 * clean ? flow * (flow / clean) : flow * (area_m2 / sucked);
    sum += flow;
  };
  const double around_m = perimeter_m(pit.geometry);
  const std::size_t count = pit.rings.size();
  for (std::size_t i = 0; i < count && pit.rings[i].bottom_m < level_m; ++i) {
    const Ring& ring = pit.rings[i];
    add(i, ring.soil, around_m * (std::min(level_m, ring.top_m) - ring.bottom_m));
  }
  add(count, pit.bottom_soil, bottom_area_m2(pit.geometry));
  return sum > 0.0 ? weighted / sum : 0.0;
}

double lagging_part(const SoilLag& lag, double activity) {
  return lag.lagging_share * std::clamp(activity, 0.0, 1.0);
}

double lag_time_day(const SoilLag& lag, const Pit& pit, double level_m,
                    std::span<const double> flow_m3_per_day,
                    std::span<const double> clean_flow_m3_per_day) {
  const PitGeometry& g = pit.geometry;
  const double radius_m = g.trench ? 0.5 * g.trench->width_m : g.radius_m;
  const auto readily = [&](std::size_t i) {  // v
    const double flow = flow_m3_per_day[i];
    return flow > 0.0 ? flow / std::max(flow, clean_flow_m3_per_day[i]) : 0.0;
  };
  double taking = 0.0, squares = 0.0, conducting = 0.0;  // sums of v dz, v^2 dz, v K dz
  double alphas = 0.0, wall = 0.0;                       // sum of v alpha dz, flow
  const std::size_t count = pit.rings.size();
  for (std::size_t i = 0; i < count && pit.rings[i].bottom_m < level_m; ++i) {
    const Ring& ring = pit.rings[i];
    const double v = readily(i);
    const double part = v * (std::min(ring.top_m, level_m) - ring.bottom_m);
    taking += part;
    squares += v * part;
    conducting += ring.soil.kfs_m_per_day * part;
    alphas += ring.soil.alpha_per_m * part;
    wall += std::max(0.0, flow_m3_per_day[i]);
  }
  const double of_bottom = readily(count);
  Soil spreads = pit.bottom_soil;
  double size_m = radius_m;
  double wall_m = 0.0, conducts_m2_per_day = 0.0;  // H_t, and times its conductivity
  if (squares > 0.0) {
    const double of_wall = squares / taking;
    const double height_m = taking / of_wall;
    const double counts = of_wall < of_bottom ? of_wall / of_bottom : 1.0;
    wall_m = counts * height_m;
    conducts_m2_per_day = counts * conducting / of_wall;
    if (of_bottom < of_wall) {
      const double bottom = std::max(0.0, flow_m3_per_day[count]);
      const double of_both = std::max(of_bottom / of_wall, bottom / (wall + bottom));  // p
      const double band_m = std::sqrt(radius_m * std::min(radius_m, height_m));
      size_m = std::lerp(band_m, radius_m, of_both);
      spreads = {.kfs_m_per_day = std::lerp(conducting / taking, spreads.kfs_m_per_day, of_both),
                 .alpha_per_m = std::lerp(alphas / taking, spreads.alpha_per_m, of_both)};
    }
  }
  const double capillary_m = 1.0 / spreads.alpha_per_m;
  const double over = spreads.alpha_per_m * size_m;
  const double mean_m_per_day =
      (conducts_m2_per_day + capillary_m * spreads.kfs_m_per_day) / (wall_m + capillary_m);
  return lag.time_factor * (wall_m + size_m * over / (1.0 + over * over)) / mean_m_per_day;
}

double soil_keeps(double time_day, double dt_day) {
  return time_day > 0.0 ? std::exp(-dt_day / time_day) : 0.0;
}

double soil_flow_after_m3_per_day(double soil_flow_m3_per_day, double mean_intake_m3_per_day,
                                  double keeps) {
  return mean_intake_m3_per_day + (soil_flow_m3_per_day - mean_intake_m3_per_day) * keeps;
}

}  // namespace restwell
