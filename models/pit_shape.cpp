#include "models/pit_shape.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace restwell {

namespace {

double between(double from, double to, double share) { return from + share * (to - from); }

constexpr double least_depth_over_radius = 0.1;  // of the bottom
constexpr double least_wall_over_radius = 0.01;
const WallDepth least_wall = wall_depth(least_wall_over_radius);
const WallDepth& at_least(const WallDepth& depth) {
  return depth.over_radius < least_wall_over_radius ? least_wall : depth;
}

// Weight of the capillary limit (alpha a -> 0) against the gravity limit: 1/(1 + (alpha a
// x^n/s)^m); n is 0 of the wall.
struct Crossover {
  double log_scale, steepness;
};
double capillary_weight(const Crossover& c, double log_alpha_radius_depth) {
  return 1.0 / (1.0 + std::exp(c.steepness * (log_alpha_radius_depth - c.log_scale)));
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
    {1.2798, 0.0337, 0.5644}, {1.3501, 0.1770, 0.8757}, {std::log(1.7026), 1.0342}};
const WallFit wall_beside_sealed_bottom = {
    {1.5328, 0.1086, 0.6852}, {2.0797, 0.1496, 0.9408}, {std::log(2.2038), 0.6882}};

double log_of(const WallLimit& l, double x, double log_x) {
  return l.exponent * (log_x - std::log(l.offset + l.slope * x));
}
double wall_limit(const WallFit& fit, double x, double log_x, double capillary) {
  return std::exp(
      between(log_of(fit.gravity, x, log_x), log_of(fit.capillary, x, log_x), capillary));
}

// Of (6).
const double of_capillary_length = 16.0 * std::exp(-std::numbers::egamma);
constexpr double of_radius = 6.31;
constexpr double by_gravity = 12.0;
constexpr double highest_band_over_radius = 1.0;  // above it never lets more through

// Capillary limit factor x^exponent, gravity limit offset + factor x^exponent.
struct BottomFit {
  double log_capillary_factor, capillary_exponent;
  double gravity_offset, gravity_factor, gravity_exponent;
  Crossover crossover;
  double crossover_exponent;
};
const BottomFit bottom_below_clean_wall = {
    std::log(0.8230), -0.1155, 0.4011, 1.1595, -0.3553, {std::log(1.3097), 1.2469}, 0.7877};
const BottomFit bottom_below_sealed_wall = {
    std::log(1.6691), 0.0115, 1.6012, 1.0941, -0.3959, {std::log(1.9770), 1.1087}, 0.6057};

// Of one bottom beside one wall. mix: share of the pressure's spread that is not suction's.
BottomSpread bottom_limit(const BottomFit& fit, double log_x, double log_alpha_radius, double mix) {
  const double log_capillary = fit.log_capillary_factor + fit.capillary_exponent * log_x;
  const double log_gravity =
      std::log(fit.gravity_offset + fit.gravity_factor * std::exp(fit.gravity_exponent * log_x));
  const double t =
      capillary_weight(fit.crossover, log_alpha_radius + fit.crossover_exponent * log_x);
  const double suction = std::exp(log_capillary);
  const double all = std::exp(between(log_gravity, log_capillary, t));
  return {.pressure = suction + (all - suction) * mix, .suction = suction, .saturated = all};
}

}  // namespace

WallSoil wall_soil(double alpha_radius) {
  const double log_alpha_radius = std::log(alpha_radius);
  return {alpha_radius, capillary_weight(wall_beside_clean_bottom.crossover, log_alpha_radius),
          capillary_weight(wall_beside_sealed_bottom.crossover, log_alpha_radius),
          1.0 / (alpha_radius / of_capillary_length + 1.0 / of_radius)};
}

WallDepth wall_depth(double over_radius) { return {over_radius, std::log(over_radius)}; }

double band_shape_factor(const WallSoil& soil, double over_radius, double heads_over_radius,
                         double share_of_wall) {
  if (over_radius > highest_band_over_radius) return std::numeric_limits<double>::infinity();
  const double counts = std::max(over_radius, heads_over_radius);  // by gravity
  return over_radius *
         std::log((1.0 + share_of_wall) * (soil.band_reach + by_gravity * counts) / over_radius) /
         (std::numbers::pi * (1.0 + 0.5 * share_of_wall));
}

double wall_shape_factor(const WallSoil& soil, const WallDepth& depth, double bottom_activity,
                         double band_factor) {
  const auto [x, log_x] = at_least(depth);
  const double clean = wall_limit(wall_beside_clean_bottom, x, log_x, soil.clean_capillary);
  if (bottom_activity == 1.0) return clean;
  const double sealed =
      std::min(band_factor, wall_limit(wall_beside_sealed_bottom, x, log_x, soil.sealed_capillary));
  return clean * sealed / between(clean, sealed, bottom_activity);
}

double wall_suction_factor(const WallSoil& soil, const WallDepth& depth, double bottom_activity) {
  const auto [x, log_x] = at_least(depth);
  const double without_gravity =  // 1/C_l
      between(std::exp(-log_of(wall_beside_sealed_bottom.capillary, x, log_x)),
              std::exp(-log_of(wall_beside_clean_bottom.capillary, x, log_x)), bottom_activity);
  return 1.0 / std::sqrt(without_gravity * without_gravity +
                         4.0 * soil.alpha_radius / (std::numbers::pi * x));
}

BottomAtLevel bottom_at_level(const PitShape& shape) {
  const double x = std::max(shape.depth_over_radius, least_depth_over_radius);
  const double log_x = std::log(x);
  const double log_alpha_radius = std::log(shape.alpha_radius);
  const double wet = std::min(1.0, shape.depth_over_radius / x);
  // Where hardly any wall is wet it does not hold the bottom back: about as what the wall takes, or
  // the whole would fall where the level rises.
  const double narrow = std::max(shape.depth_over_radius, least_wall_over_radius);
  const double mix = wet + 1.0 / (shape.alpha_radius * x);
  return {
      .beside_sealed_wall = bottom_limit(bottom_below_sealed_wall, log_x, log_alpha_radius, mix),
      .beside_clean_wall = bottom_limit(bottom_below_clean_wall, log_x, log_alpha_radius, mix),
      .wall_counts = std::min(1.0, shape.depth_over_radius / least_wall_over_radius) *
                     std::min(1.0, std::sqrt(narrow / x))};
}

BottomSpread bottom_spreads(const BottomAtLevel& bottom, double wall_activity) {
  const double activity = wall_activity * bottom.wall_counts;
  const BottomSpread& sealed = bottom.beside_sealed_wall;
  const BottomSpread& clean = bottom.beside_clean_wall;
  return {.pressure = between(sealed.pressure, clean.pressure, activity),
          .suction = between(sealed.suction, clean.suction, activity),
          .saturated = between(sealed.saturated, clean.saturated, activity)};
}

double clean_shape_factor(const PitShape& shape) {
  const double x = std::max(shape.depth_over_radius, least_depth_over_radius);
  const double wall =
      wall_shape_factor(wall_soil(shape.alpha_radius), wall_depth(shape.depth_over_radius), 1.0);
  return 1.0 / (1.0 / wall + bottom_spreads(bottom_at_level(shape), 1.0).saturated / (2.0 * x));
}

}  // namespace restwell
