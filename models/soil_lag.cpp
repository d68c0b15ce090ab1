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
    const double full = std::min(1.0, flow / clean_flow_m3_per_day[i]);
    const double sucked = area_m2 / (area_m2 + soil.alpha_per_m * resistance_day[i] * flow);
    weighted += flow * std::max(full, sucked);
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

double lag_gain(const SoilLag& lag, double activity, double followed) {
  const double share = lag.lagging_share * std::clamp(activity, 0.0, 1.0);
  return share / (1.0 - share * (1.0 - followed));
}

double lag_time_day(const SoilLag& lag, const Pit& pit, double level_m) {
  const double capillary_m = 1.0 / pit.bottom_soil.alpha_per_m;
  const PitGeometry& g = pit.geometry;
  const double radius_m = g.trench ? 0.5 * g.trench->width_m : g.radius_m;
  double wall_m = 0.0;
  double conducting = capillary_m * pit.bottom_soil.kfs_m_per_day;  // sum of K dz
  for (const Ring& ring : pit.rings) {
    if (ring.bottom_m >= level_m) break;
    const double wet_m = std::min(ring.top_m, level_m) - ring.bottom_m;
    wall_m += wet_m;
    conducting += wet_m * ring.soil.kfs_m_per_day;
  }
  const double mean_m_per_day = conducting / (wall_m + capillary_m);
  const double way_m = wall_m + 1.0 / (pit.bottom_soil.alpha_per_m + 1.0 / radius_m);
  return lag.time_factor * way_m / mean_m_per_day;
}

double gain_over_step(double gain, double time_day, double dt_day) {
  if (time_day <= 0.0) return 0.0;
  const double x = (1.0 + gain) * dt_day / time_day;
  return x < 1e-8 ? gain : gain * -std::expm1(-x) / x;
}

double lag_gain_over_step(const SoilLag& lag, double activity, double followed, double time_day,
                          double dt_day) {
  if (time_day <= 0.0) return 0.0;
  const double y = 0.5 * (1.0 + lag_gain(lag, activity, followed)) * dt_day / time_day;
  const double middle = 1.0 + (followed - 1.0) / (1.0 + y * (1.0 + 0.5 * y));
  return gain_over_step(lag_gain(lag, activity, middle), time_day, dt_day);
}

double soil_flow_after_m3_per_day(double soil_flow_m3_per_day, double mean_intake_m3_per_day,
                                  double time_day, double dt_day) {
  if (time_day <= 0.0) return mean_intake_m3_per_day;
  return mean_intake_m3_per_day +
         (soil_flow_m3_per_day - mean_intake_m3_per_day) * std::exp(-dt_day / time_day);
}

}  // namespace restwell
