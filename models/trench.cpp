#include "models/trench.hpp"

#include <cmath>
#include <numbers>

namespace restwell {

namespace {

constexpr double wall_share = 0.75;

// E [m] of equation (4).
double spread_m(const TrenchPlan& t, double pond_m, double alpha_per_m) {
  return 1.33 * pond_m + 0.75 / alpha_per_m + 0.47 * std::sqrt(pond_m * t.width_m);
}

}  // namespace

double trench_area_m2(const TrenchPlan& t) { return t.count * t.length_m * t.width_m; }

double trench_perimeter_m(const TrenchPlan& t) { return t.count * 2.0 * (t.length_m + t.width_m); }

double trench_side_scale_m(const TrenchPlan& t, double pond_m, double alpha_per_m) {
  return pond_m * (pond_m + 1.0 / alpha_per_m) / (wall_share * spread_m(t, pond_m, alpha_per_m));
}

double trench_bottom_gain(const TrenchPlan& t, double pond_m, double alpha_per_m) {
  return 1.0 + 2.0 * (1.0 - wall_share) * spread_m(t, pond_m, alpha_per_m) / t.width_m;
}

double trench_bottom_saturated_per_day(const TrenchPlan& t, double kfs_m_per_day) {
  return std::numbers::pi * kfs_m_per_day / (t.width_m * std::log(40.0));
}

}  // namespace restwell
