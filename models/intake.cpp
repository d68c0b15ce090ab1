#include "models/intake.hpp"

#include <algorithm>
#include <cmath>

namespace restwell {

namespace {

// One step of order four for w + ln w = L (Fritsch, Shafer & Crowley 1973, Commun. ACM 16:123),
// z the residual L - w - ln w. A start within 1e-3 comes out within 1e-13.
double fritsch_step(double w, double z) {
  const double slope = 1.0 + w;
  const double q = 2.0 * slope * (slope + 2.0 / 3.0 * z);
  return w * (1.0 + z * (q - z) / (slope * (q - 2.0 * z)));
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
  return lambert_w_of_exp(std::log(alpha * head_lost_m) + alpha * head_m) /
         (alpha * resistance_day);
}

}  // namespace

double lambert_w_of_exp(double log_argument) {
  const double l = log_argument;
  if (l < -37.0) return std::exp(l);  // W(x) = x - x^2 + ...: x^2 is below rounding
  // The starts are rational fits (derived: weighted least squares); they only need three digits.
  if (l <= 1.0) {
    const double x = std::exp(l);
    const double w = x * (0.999853774676 + x * (1.04664745710 + x * 0.0418491522330)) /
                     (1.0 + x * (2.03948166437 + x * 0.642490383017));
    // x/w lies in [1, e]: no digits are lost where l is far below zero.
    return fritsch_step(w, std::log(x / w) - w);
  }
  if (l <= 40.0) {
    const double w =
        (0.585359243448 + l * (0.418153039021 + l * 0.164719320102)) / (1.0 + l * 0.167967711807);
    return fritsch_step(w, l - w - std::log(w));
  }
  const double log_l = std::log(l);
  const double w = l - log_l + log_l / l;
  if (l > 1e18) return w;  // ln l is below rounding; the step would overflow further on
  return fritsch_step(w, l - w - std::log(w));
}

double side_intake_m_per_day(const SideConductance& side, double resistance_day, double head_m,
                             double outside_head_m) {
  const double alpha = side.alpha_per_m;
  // E of (2); far above the table nothing is left of it: below rounding against 1.
  constexpr double nothing = -40.0;
  const double ao = alpha * outside_head_m;
  const double near = ao < nothing ? 0.0 : std::exp(std::min(ao, 0.0));
  const double kappa = side.kappa_per_day * (1.0 - side.pressure_loss * (1.0 - near));
  const double kappa_c = side.kappa_per_day * side.suction_ratio;
  const double pull_m_per_day =
      kappa_c * (1.0 - near) / alpha - 2.0 * kappa * std::max(outside_head_m, 0.0);  // S
  // p >= 0; h - p is written out, so that R = 0 needs no case of its own.
  if (head_m >= resistance_day * pull_m_per_day)
    return (2.0 * kappa * head_m + pull_m_per_day) / (1.0 + 2.0 * kappa * resistance_day);
  const double loss = kappa_c * resistance_day;  // layer's resistance over the soil's
  const double w = lambert_w_of_exp(std::log(loss) + alpha * head_m + loss * near);
  return std::max(0.0, w - loss * near) / (alpha * resistance_day);
}

double bottom_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                               double pond_m, double water_table_over_bottom_m) {
  const double k_at_zero =
      bottom.kfs_m_per_day + bottom.suction_ratio * bottom.spread_per_day / bottom.alpha_per_m;
  const double far = far_bottom_intake_m_per_day(bottom, k_at_zero, resistance_day, pond_m);
  if (std::isinf(bottom.saturated_per_day)) {
    return std::min(
        far, saturated_intake_m_per_day(bottom, resistance_day, pond_m, water_table_over_bottom_m));
  }
  const double at_table = std::exp(std::min(bottom.alpha_per_m * water_table_over_bottom_m, 0.0));
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

double saturated_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                                  double pond_m, double water_table_over_bottom_m) {
  return (pond_m - water_table_over_bottom_m) / (resistance_day + 1.0 / bottom.saturated_per_day);
}

}  // namespace restwell
