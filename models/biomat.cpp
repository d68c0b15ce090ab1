#include "models/biomat.hpp"

#include <algorithm>
#include <cmath>

namespace restwell {

namespace {

// Integral of decay_activity from exposed_day = 0 [day]: as under water, a ramp, then 1.
double activity_integral_day(const BiomatParameters& p, double exposed_day, double drainage_day) {
  const double drained_day = std::max(0.0, exposed_day - drainage_day);
  const double on_ramp = std::min(drained_day, p.aeration_lag_day);
  const double ramp = on_ramp > 0.0
                          ? on_ramp * (p.submerged_factor + (1.0 - p.submerged_factor) * 0.5 *
                                                                on_ramp / p.aeration_lag_day)
                          : 0.0;
  return p.submerged_factor * (exposed_day - drained_day) + ramp + (drained_day - on_ramp);
}

}  // namespace

BiomatState clean_biomat(const BiomatParameters& p) {
  return {.labile_day = p.clean_resistance_day, .residual_day = 0.0, .exposed_day = 0.0};
}

double decay_activity(const BiomatParameters& p, double exposed_day, double drainage_day) {
  const double drained_day = exposed_day - drainage_day;
  if (drained_day <= 0.0) return p.submerged_factor;
  if (drained_day >= p.aeration_lag_day) return 1.0;
  return p.submerged_factor + (1.0 - p.submerged_factor) * drained_day / p.aeration_lag_day;
}

double clogging_coefficient(const BiomatParameters& p, double kfs_m_per_day) {
  return p.beta_day_m2_per_kg *
         std::pow(p.reference_kfs_m_per_day / kfs_m_per_day, p.soil_exponent);
}

double decay_rate_per_day(const BiomatParameters& p, double temperature_c) {
  return p.decay_20c_per_day * std::pow(p.decay_theta, temperature_c - 20.0);
}

DecayRate::DecayRate(const BiomatParameters& p)
    : at_0c_per_day_(decay_rate_per_day(p, 0.0)), log_theta_(std::log(p.decay_theta)) {}

double DecayRate::per_day(double temperature_c) const {
  return at_0c_per_day_ * std::exp(log_theta_ * temperature_c);
}

BiomatState advance_biomat(const BiomatParameters& p, const BiomatState& s,
                           double clogging_coefficient, const AtTheWall& at, double dt_day) {
  return advance_biomat(p, s, clogging_coefficient, at, decay_rate_per_day(p, at.temperature_c),
                        dt_day);
}

BiomatState advance_biomat(const BiomatParameters& p, const BiomatState& s,
                           double clogging_coefficient, const AtTheWall& at, double decay_per_day,
                           double dt_day) {
  const double exposed_day = at.wet ? 0.0 : s.exposed_day + dt_day;
  const double active_day = at.wet ? p.submerged_factor * dt_day
                                   : activity_integral_day(p, exposed_day, at.drainage_day) -
                                         activity_integral_day(p, s.exposed_day, at.drainage_day);
  const double decay = decay_per_day * active_day;
  const double growth_day = clogging_coefficient * at.load_kg_per_m2_day * dt_day;
  // 1 - exp(-decay) over decay: the share of the step's growth that is left at its end.
  const double lost = -std::expm1(-decay);
  const double growth_left = decay > 0.0 ? lost / decay : 1.0;
  return {.labile_day = s.labile_day - (s.labile_day - p.clean_resistance_day) * lost +
                        (1.0 - p.residual_share) * growth_day * growth_left,
          .residual_day = s.residual_day + p.residual_share * growth_day,
          .exposed_day = exposed_day};
}

double equilibrium_flux_m_per_day(const BiomatParameters& p, double clogging_coefficient,
                                  double head_m, double concentration_kg_per_m3,
                                  double temperature_c) {
  return std::sqrt(decay_rate_per_day(p, temperature_c) * p.submerged_factor * head_m /
                   (clogging_coefficient * concentration_kg_per_m3));
}

}  // namespace restwell
