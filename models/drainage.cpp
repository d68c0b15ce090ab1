#include "models/drainage.hpp"

#include <algorithm>
#include <cmath>

namespace restwell {

namespace {

// Fit to the reference solver; K in m/day.
constexpr double day_per_m = 0.25;          // c
constexpr double conductivity_power = 1.6;  // b
constexpr double held_m = 0.04;             // h_1
constexpr double held_power = 0.9;          // e

}  // namespace

double drainage_day(const Drainage& p, const Soil& soil, double below_water_m) {
  const double k = soil.kfs_m_per_day;
  const double held_back_m = held_m * std::pow(k, -held_power);
  const double day = day_per_m * (below_water_m + held_back_m) * std::pow(k, -conductivity_power);
  return std::min(p.factor * day, p.longest_day);
}

}  // namespace restwell
