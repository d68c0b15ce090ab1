#include "models/pipe.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "models/constants.hpp"
#include "models/root.hpp"

namespace restwell {
namespace {

// Depth ratio at which Manning flow with constant n peaks; below it the flow rises with depth.
constexpr double depth_ratio_of_peak_flow = 0.93818;

// Half angle t of the wetted arc. asin keeps accuracy at small depths, where acos(1 - 2 y/D) fails.
double half_angle(double depth_ratio) {
  return 2.0 * std::asin(std::sqrt(std::clamp(depth_ratio, 0.0, 1.0)));
}

// Wetted area over D^2/4.
double segment(double t) { return t - std::sin(t) * std::cos(t); }

}  // namespace

double critical_flow_number(double depth_ratio) {
  if (depth_ratio <= 0.0) return 0.0;
  const double t = half_angle(depth_ratio);
  // sqrt(A^3/T)/D^2.5 with A = D^2/4 segment(t), surface width T = D sin t.
  return std::pow(0.25 * segment(t), 1.5) / std::sqrt(std::sin(t));
}

double flow_area_ratio(double depth_ratio) {
  return segment(half_angle(depth_ratio)) / std::numbers::pi;
}

double normal_velocity_ratio(double depth_ratio) {
  if (depth_ratio <= 0.0) return 0.0;
  const double t = half_angle(depth_ratio);
  return std::pow(segment(t) / t, 2.0 / 3.0);
}

double normal_flow_ratio(double depth_ratio) {
  return flow_area_ratio(depth_ratio) * normal_velocity_ratio(depth_ratio);
}

double full_pipe_flow_m3_per_day(double diameter_m, double slope, double manning_n) {
  if (slope <= 0.0) return 0.0;
  const double area_m2 = 0.25 * std::numbers::pi * diameter_m * diameter_m;
  const double velocity_m_per_s =
      std::pow(0.25 * diameter_m, 2.0 / 3.0) * std::sqrt(slope) / manning_n;
  return area_m2 * velocity_m_per_s * seconds_per_day;
}

double normal_depth_ratio(double flow_ratio) {
  const double target = std::min(flow_ratio, 1.0);
  if (target <= 0.0) return 0.0;
  const auto surplus = [target](double y) { return normal_flow_ratio(y) - target; };
  const double most = depth_ratio_of_peak_flow;
  return root_between(surplus, {0.0, surplus(0.0)}, {most, surplus(most)}, {.relative = 1e-12});
}

}  // namespace restwell
