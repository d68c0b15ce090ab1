#include "models/pit_shape.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace restwell {

namespace {

constexpr double least_depth_over_radius = 0.1;  // of the bottom
constexpr double least_wall_over_radius = 0.01;

// Weight of the capillary limit (alpha a -> 0) against the gravity limit: 1/(1 + (alpha a
// x^n/s)^m).
struct Crossover {
  double log_scale, steepness, depth_exponent;
};
double capillary_weight(const Crossover& c, double log_x, double log_alpha_radius) {
  const double log_ratio = log_alpha_radius - c.log_scale + c.depth_exponent * log_x;
  return 1.0 / (1.0 + std::exp(c.steepness * log_ratio));
}

// (x/(offset + slope x))^exponent, the form of Zhang et al. 1998.
struct WallLimit {
  double offset, slope, exponent;
};
struct WallFit {
  WallLimit capillary, gravity;
  Crossover crossover;
};
const WallFit wall_beside_clean_bottom = {
    {1.2798, 0.0337, 0.5644}, {1.3501, 0.1770, 0.8757}, {std::log(1.7026), 1.0342, 0.0}};
const WallFit wall_beside_sealed_bottom = {
    {1.5328, 0.1086, 0.6852}, {2.0797, 0.1496, 0.9408}, {std::log(2.2038), 0.6882, 0.0}};

double log_of(const WallLimit& l, double x, double log_x) {
  return l.exponent * (log_x - std::log(l.offset + l.slope * x));
}
double wall_limit(const WallFit& fit, double x, double log_x, double log_alpha_radius) {
  const double t = capillary_weight(fit.crossover, log_x, log_alpha_radius);
  return std::exp(std::lerp(log_of(fit.gravity, x, log_x), log_of(fit.capillary, x, log_x), t));
}

// Capillary limit factor x^exponent, gravity limit offset + factor x^exponent.
struct BottomFit {
  double log_capillary_factor, capillary_exponent;
  double gravity_offset, gravity_factor, gravity_exponent;
  Crossover crossover;
};
const BottomFit bottom_below_clean_wall = {
    std::log(0.8230), -0.1155, 0.4011, 1.1595, -0.3553, {std::log(1.3097), 1.2469, 0.7877}};
const BottomFit bottom_below_sealed_wall = {
    std::log(1.6691), 0.0115, 1.6012, 1.0941, -0.3959, {std::log(1.9770), 1.1087, 0.6057}};

double log_capillary_of(const BottomFit& fit, double log_x) {
  return fit.log_capillary_factor + fit.capillary_exponent * log_x;
}
double bottom_limit(const BottomFit& fit, double log_x, double log_alpha_radius) {
  const double log_capillary = log_capillary_of(fit, log_x);
  const double log_gravity =
      std::log(fit.gravity_offset + fit.gravity_factor * std::exp(fit.gravity_exponent * log_x));
  const double t = capillary_weight(fit.crossover, log_x, log_alpha_radius);
  return std::exp(std::lerp(log_gravity, log_capillary, t));
}

}  // namespace

double wall_shape_factor(const PitShape& shape, double bottom_activity) {
  const double x = std::max(shape.depth_over_radius, least_wall_over_radius);
  const double log_x = std::log(x);
  const double log_alpha_radius = std::log(shape.alpha_radius);
  const double clean = wall_limit(wall_beside_clean_bottom, x, log_x, log_alpha_radius);
  if (bottom_activity == 1.0) return clean;
  const double sealed = wall_limit(wall_beside_sealed_bottom, x, log_x, log_alpha_radius);
  return 1.0 / std::lerp(1.0 / sealed, 1.0 / clean, bottom_activity);
}

double wall_suction_factor(const PitShape& shape, double bottom_activity) {
  const double x = std::max(shape.depth_over_radius, least_wall_over_radius);
  const double log_x = std::log(x);
  const double without_gravity =  // 1/C_l
      std::lerp(std::exp(-log_of(wall_beside_sealed_bottom.capillary, x, log_x)),
                std::exp(-log_of(wall_beside_clean_bottom.capillary, x, log_x)), bottom_activity);
  return 1.0 / std::sqrt(without_gravity * without_gravity +
                         4.0 * shape.alpha_radius / (std::numbers::pi * x));
}

double bottom_spread(const PitShape& shape, double wall_activity) {
  return bottom_spreads(shape, wall_activity).saturated;
}

BottomSpread bottom_spreads(const PitShape& shape, double wall_activity) {
  const double x = std::max(shape.depth_over_radius, least_depth_over_radius);
  const double log_x = std::log(x);
  const double log_alpha_radius = std::log(shape.alpha_radius);
  const double wet = std::min(1.0, shape.depth_over_radius / x);
  // Where hardly any wall is wet it does not hold the bottom back: about as what the wall takes, or
  // the whole would fall where the level rises.
  const double narrow = std::max(shape.depth_over_radius, least_wall_over_radius);
  const double activity = wall_activity *
                          std::min(1.0, shape.depth_over_radius / least_wall_over_radius) *
                          std::min(1.0, std::sqrt(narrow / x));
  const double all =
      std::lerp(bottom_limit(bottom_below_sealed_wall, log_x, log_alpha_radius),
                bottom_limit(bottom_below_clean_wall, log_x, log_alpha_radius), activity);
  const double suction =
      std::lerp(std::exp(log_capillary_of(bottom_below_sealed_wall, log_x)),
                std::exp(log_capillary_of(bottom_below_clean_wall, log_x)), activity);
  return {.pressure = suction + (all - suction) * (wet + 1.0 / (shape.alpha_radius * x)),
          .suction = suction,
          .saturated = all};
}

double clean_shape_factor(const PitShape& shape) {
  const double x = std::max(shape.depth_over_radius, least_depth_over_radius);
  return 1.0 / (1.0 / wall_shape_factor(shape, 1.0) + bottom_spread(shape, 1.0) / (2.0 * x));
}

}  // namespace restwell
