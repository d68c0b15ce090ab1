#include "models/intake.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace restwell {

namespace {

// One step of order four for w + ln w = L (Fritsch, Shafer & Crowley 1973, Commun. ACM 16:123),
// z the residual L - w - ln w. A start within 1e-3 comes out within 1e-13.
double fritsch_step(double w, double z) {
  const double slope = 1.0 + w;
  const double q = 2.0 * slope * (slope + 2.0 / 3.0 * z);
  return w * (1.0 + z * (q - z) / (slope * (q - 2.0 * z)));
}

// ln x within 1e-4, x > 0 and normal: enough for a start.
double rough_log(double x) {
  constexpr int fraction_bits = 52;
  constexpr int bias = 1023;
  constexpr std::uint64_t exponent_bits = std::uint64_t{0x7FF} << fraction_bits;
  const auto bits = std::bit_cast<std::uint64_t>(x);
  const auto exponent = static_cast<int>((bits & exponent_bits) >> fraction_bits) - bias;
  const double fraction = std::bit_cast<double>((bits & ~exponent_bits) |
                                                std::uint64_t{bias} << fraction_bits);  // 1..2
  const double t = 2.0 * fraction - 3.0;  // a Chebyshev fit
  return exponent * std::numbers::ln2 +
         (0.40545679 + t * (0.33304448 + t * (-0.0554083 + t * (0.01346836 - t * 0.00346621))));
}

// (4): no table near.
double far_bottom_intake_m_per_day(const BottomConductance& bottom, double k_at_zero,
                                   double resistance_day, double pond_m) {
  const double head_lost_m = resistance_day * k_at_zero;
  if (pond_m >= head_lost_m) {
    return (k_at_zero + bottom.spread_per_day * pond_m) /
           (1.0 + bottom.spread_per_day * resistance_day);
  }
  const double alpha = bottom.alpha_per_m;
  const double head_m = pond_m + bottom.layer_m;
  if (head_m >= head_lost_m) return k_at_zero;
  return lambert_w_of(alpha * head_lost_m, alpha * head_m) / (alpha * resistance_day);
}

// Starts for w + ln w = L, good to three digits. The rational ones are fits (derived: weighted
// least squares). L <= 1, x = exp(L):
double start_from(double x) {
  return x * (0.999853774676 + x * (1.04664745710 + x * 0.0418491522330)) /
         (1.0 + x * (2.03948166437 + x * 0.642490383017));
}
double start_from_log(double l) {  // L >= 1
  constexpr double most_fitted = 40.0;
  if (l <= most_fitted) {
    return (0.585359243448 + l * (0.418153039021 + l * 0.164719320102)) /
           (1.0 + l * 0.167967711807);
  }
  const double log_l = rough_log(l);
  return l - log_l + log_l / l;
}
// Further on ln L is below rounding, and the step would overflow.
constexpr double most_log = 1e18;

}  // namespace

double exp_to_one(double x) { return x < nothing_left ? 0.0 : std::exp(std::min(x, 0.0)); }

double lambert_w_of_exp(double log_argument) {
  const double l = log_argument;
  if (l < -37.0) return std::exp(l);  // W(x) = x - x^2 + ...: x^2 is below rounding
  if (l <= 1.0) {
    const double x = std::exp(l);
    const double w = start_from(x);
    // x/w lies in [1, e]: no digits are lost where l is far below zero.
    return fritsch_step(w, std::log(x / w) - w);
  }
  if (l > most_log) return l - std::log(l);
  const double w = start_from_log(l);
  return fritsch_step(w, l - w - std::log(w));
}

double lambert_w_of(double factor, double exponent) {
  const double l = rough_log(factor) + exponent;
  if (!(factor > 1e-300 && l > -30.0 && l < most_log)) {
    return lambert_w_of_exp(std::log(factor) + exponent);
  }
  if (l > 1.0) {
    const double w = start_from_log(l);
    return fritsch_step(w, exponent - w + std::log(factor / w));
  }
  const double x = factor * std::exp(exponent);
  const double w = start_from(x);
  return fritsch_step(w, std::log(x / w) - w);
}

SideOutside side_outside(const SideConductance& side, double outside_head_m) {
  const double near = exp_to_one(side.alpha_per_m * outside_head_m);
  const double kappa = side.kappa_per_day * (1.0 - side.pressure_loss * (1.0 - near));
  const double kappa_c = side.kappa_per_day * side.suction_ratio;
  return {.near = near,
          .kappa_per_day = kappa,
          .pull_m_per_day = kappa_c * (1.0 - near) / side.alpha_per_m -
                            2.0 * kappa * std::max(outside_head_m, 0.0)};
}

double unsaturated_side_intake_m_per_day(const SideConductance& side, const SideOutside& outside,
                                         double resistance_day, double head_m) {
  const double alpha = side.alpha_per_m;
  // Layer's resistance over the soil's.
  const double loss = side.kappa_per_day * side.suction_ratio * resistance_day;
  const double w = lambert_w_of(loss, alpha * head_m + loss * outside.near);
  return std::max(0.0, w - loss * outside.near) / (alpha * resistance_day);
}

double bottom_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                               double pond_m, double water_table_over_bottom_m) {
  const double k_at_zero =
      bottom.kfs_m_per_day + bottom.suction_ratio * bottom.spread_per_day / bottom.alpha_per_m;
  const double far = far_bottom_intake_m_per_day(bottom, k_at_zero, resistance_day, pond_m);
  if (water_table_over_bottom_m <= far_below_m) return far;
  if (std::isinf(bottom.saturated_per_day)) {
    return std::min(
        far, saturated_intake_m_per_day(bottom, resistance_day, pond_m, water_table_over_bottom_m));
  }
  const double at_table = exp_to_one(bottom.alpha_per_m * water_table_over_bottom_m);
  const double behind_layer = std::min(far / k_at_zero, 1.0);  // exp(alpha p)
  const double soil_per_day = bottom.saturated_per_day * std::max(behind_layer, at_table);  // g
  const double passes = soil_per_day * (pond_m - resistance_day * far - water_table_over_bottom_m);
  if (passes <= 0.0) {
    const double at_level = resistance_day * bottom.saturated_per_day * behind_layer;
    return std::min(far * at_level / (1.0 + at_level),
                    (pond_m - water_table_over_bottom_m) / (resistance_day + 1.0 / soil_per_day));
  }
  const double ratio = far / passes;
  const double joined = far / std::sqrt(1.0 + ratio * ratio);
  return far - (far - joined) / (1.0 + resistance_day * soil_per_day);
}

double bottom_intake_over_m_per_day(const BottomConductance& bottom, double resistance_day,
                                    double pond_m, double held_over_bottom_m) {
  const double k_at_zero =
      bottom.kfs_m_per_day + bottom.suction_ratio * bottom.spread_per_day / bottom.alpha_per_m;
  const double near = exp_to_one(bottom.alpha_per_m * held_over_bottom_m);
  const double pull = k_at_zero * (1.0 - near);
  if (pond_m >= resistance_day * pull) {
    return (bottom.spread_per_day * pond_m + pull) / (1.0 + bottom.spread_per_day * resistance_day);
  }
  // As a side that takes K_e at p = 0.
  const SideConductance column{.kappa_per_day = k_at_zero * bottom.alpha_per_m,
                               .alpha_per_m = bottom.alpha_per_m};
  return std::min(pull, unsaturated_side_intake_m_per_day(
                            column, {.near = near, .kappa_per_day = 0.0, .pull_m_per_day = pull},
                            resistance_day, pond_m + bottom.layer_m));
}

double saturated_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                                  double pond_m, double water_table_over_bottom_m) {
  return (pond_m - water_table_over_bottom_m) / (resistance_day + 1.0 / bottom.saturated_per_day);
}

}  // namespace restwell
