#include "models/soil_lag.hpp"

#include <algorithm>
#include <cmath>

namespace restwell {

double lag_gain(const SoilLag& lag, double activity) {
  const double share = lag.lagging_share * std::clamp(activity, 0.0, 1.0);
  return share / (1.0 - share);
}

double lag_time_day(const SoilLag& lag, const Pit& pit, double level_m) {
  double down_m = 1.0 / pit.bottom_soil.alpha_per_m;
  double conducting = down_m * pit.bottom_soil.kfs_m_per_day;  // sum of K dz
  for (const Ring& ring : pit.rings) {
    if (ring.bottom_m >= level_m) break;
    const double wet_m = std::min(ring.top_m, level_m) - ring.bottom_m;
    down_m += wet_m;
    conducting += wet_m * ring.soil.kfs_m_per_day;
  }
  return lag.time_factor * down_m * down_m / conducting;
}

double gain_over_step(double gain, double time_day, double dt_day) {
  if (time_day <= 0.0) return 0.0;
  const double x = (1.0 + gain) * dt_day / time_day;
  return x < 1e-8 ? gain : gain * -std::expm1(-x) / x;
}

double soil_keeps(double time_day, double dt_day) {
  return time_day > 0.0 ? std::exp(-dt_day / time_day) : 0.0;
}

double soil_flow_after_m3_per_day(double soil_flow_m3_per_day, double mean_intake_m3_per_day,
                                  double keeps) {
  return mean_intake_m3_per_day + (soil_flow_m3_per_day - mean_intake_m3_per_day) * keeps;
}

}  // namespace restwell
