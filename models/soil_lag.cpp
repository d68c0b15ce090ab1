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
  const double alpha_per_m = pit.bottom_soil.alpha_per_m;
  const double capillary_m = 1.0 / alpha_per_m;
  const PitGeometry& g = pit.geometry;
  const double radius_m = g.trench ? 0.5 * g.trench->width_m : g.radius_m;
  const auto readily = [](double flow, double clean_flow) {  // v
    return flow > 0.0 ? flow / std::max(flow, clean_flow) : 0.0;
  };
  double taking = 0.0, squares = 0.0, conducting = 0.0;  // sums of v dz, v^2 dz, v K dz
  double wall = 0.0, clean_wall = 0.0;                   // flows
  const std::size_t count = pit.rings.size();
  for (std::size_t i = 0; i < count && pit.rings[i].bottom_m < level_m; ++i) {
    const Ring& ring = pit.rings[i];
    const double v = readily(flow_m3_per_day[i], clean_flow_m3_per_day[i]);
    const double part = v * (std::min(ring.top_m, level_m) - ring.bottom_m);
    taking += part;
    squares += v * part;
    conducting += ring.soil.kfs_m_per_day * part;
    wall += std::max(0.0, flow_m3_per_day[i]);
    clean_wall += clean_flow_m3_per_day[i];
  }
  const double of_wall = readily(wall, clean_wall);
  const double of_bottom = readily(flow_m3_per_day[count], clean_flow_m3_per_day[count]);
  const double whole = squares > 0.0 ? taking / squares : 0.0;  // H over sum v dz
  const double counts = (of_wall < of_bottom ? of_wall / of_bottom : 1.0) * whole;
  const double wall_m = counts * taking;
  const double band_m = squares > 0.0 ? std::min(radius_m, whole * taking) : radius_m;
  const double size_m =
      of_bottom < of_wall ? std::lerp(band_m, radius_m, of_bottom / of_wall) : radius_m;
  const double over = alpha_per_m * size_m;
  const double mean_m_per_day =
      (counts * conducting + capillary_m * pit.bottom_soil.kfs_m_per_day) / (wall_m + capillary_m);
  const double way_m = wall_m + size_m * over / (1.0 + over * over);
  return lag.time_factor * way_m / mean_m_per_day;
}

double soil_keeps(double time_day, double dt_day) {
  return time_day > 0.0 ? std::exp(-dt_day / time_day) : 0.0;
}

double soil_flow_after_m3_per_day(double soil_flow_m3_per_day, double mean_intake_m3_per_day,
                                  double keeps) {
  return mean_intake_m3_per_day + (soil_flow_m3_per_day - mean_intake_m3_per_day) * keeps;
}

}  // namespace restwell
