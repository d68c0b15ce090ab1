// Clogging layer (biomat): two pools of hydraulic resistance per ring and for the bottom.
//
//     dR_l/dt = beta (1 - eps) L - k(T) g (R_l - R_0)      labile: decays                   (1)
//     dR_r/dt = beta eps L                                 residual: stays                  (2)
//     L = q (C_BOD + omega C_TSS)  [kg/m2/day]             what the tank sends              (3)
//     beta = beta_10 (K_10/Kfs)^m,   k = k20 theta^(T - 20)                                 (4)
// T: of the soil (soil_temperature.hpp). g: f_sub while wet and until the soil behind has drained
// (drainage.hpp), then it rises linearly to 1 over t_lag.
// Sources and ranges: models/sources.md. All defaults are assumptions.
#pragma once

namespace restwell {

struct BiomatParameters {
  double beta_day_m2_per_kg = 6.0;          // 2-15, at 10 min/inch
  double soil_exponent = 1.0;               // m, 0-1
  double reference_kfs_m_per_day = 0.2511;  // K_10: 10 min/inch in a 6-inch hole, alpha 12
  double residual_share = 0.02;             // eps, 0-.1
  double solids_weight = 1.0;               // omega
  double decay_20c_per_day = 0.02;          // k20, .01-.04
  double decay_theta = 1.07;                // 1.03-1.10
  double submerged_factor = 0.19;           // f_sub, .05-.45
  double start_residual_share = 0.2;        // assumed: residual part of a measured pit's resistance
  double clean_resistance_day = 0.2;        // R_0
  double aeration_lag_day = 10.0;           // t_lag, 3 sand - 30 clay
};

struct BiomatState {
  double labile_day = 0.2;    // R_l >= R_0 once clean
  double residual_day = 0.0;  // R_r
  double exposed_day = 0.0;   // time since the ring last stood under water
  [[nodiscard]] double resistance_day() const { return labile_day + residual_day; }
};

[[nodiscard]] BiomatState clean_biomat(const BiomatParameters& p);

// g of (1): submerged_factor until the soil behind has drained, drainage_day after the water has
// passed, then rising linearly to 1 over t_lag. drainage_day may be infinite: never aerated.
[[nodiscard]] double decay_activity(const BiomatParameters& p, double exposed_day,
                                    double drainage_day = 0.0);

// beta of (4) [day m2/kg] for a soil.
[[nodiscard]] double clogging_coefficient(const BiomatParameters& p, double kfs_m_per_day);

// k of (4) [1/day].
[[nodiscard]] double decay_rate_per_day(const BiomatParameters& p, double temperature_c);

// The same for many temperatures.
class DecayRate {
 public:
  explicit DecayRate(const BiomatParameters& p);
  [[nodiscard]] double per_day(double temperature_c) const;

 private:
  double at_0c_per_day_, log_theta_;
};

// What acts on a ring over a step.
struct AtTheWall {
  double load_kg_per_m2_day = 0.0;
  double temperature_c = 12.0;
  bool wet = true;
  double drainage_day = 0.0;  // from the water's passing until air enters the soil behind
};

// Exact step of (1) and (2) over dt_day with constant load, temperature and wetness; for a loaded
// ring that is exposed, growth sees the mean of g over the step. wet resets exposed_day to 0, else
// it grows by dt_day. Decay never takes R_l below R_0.
[[nodiscard]] BiomatState advance_biomat(const BiomatParameters& p, const BiomatState& s,
                                         double clogging_coefficient, const AtTheWall& at,
                                         double dt_day);

// The same for a caller that knows k(T), decay_per_day; the temperature is not looked at.
[[nodiscard]] BiomatState advance_biomat(const BiomatParameters& p, const BiomatState& s,
                                         double clogging_coefficient, const AtTheWall& at,
                                         double decay_per_day, double dt_day);

// True if decay has nothing to take from.
[[nodiscard]] inline bool is_clean(const BiomatParameters& p, const BiomatState& s) {
  return s.labile_day <= p.clean_resistance_day;
}

// Flux [m/day] at which growth and decay balance under a standing head, crust limit q = head/R:
// q* = sqrt(k f_sub h/(beta C)).
[[nodiscard]] double equilibrium_flux_m_per_day(const BiomatParameters& p,
                                                double clogging_coefficient, double head_m,
                                                double concentration_kg_per_m3,
                                                double temperature_c);

}  // namespace restwell
