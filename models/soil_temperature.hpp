// Temperature of the soil with depth and season: the yearly wave from the ground's surface, damped
// and late with depth (heat conduction into a uniform half space).
//
//     T(z, t) = T_mean + A exp(-z/d) cos(w (t - t_warmest) - z/d),   w = 2 pi/year          (1)
//     d = sqrt(2 D/w)   damping depth                                                       (2)
// z below ground, A the swing at the surface, D the soil's thermal diffusivity. Sources: Carslaw &
// Jaeger 1959; Hillel 1998 (textbook form). Left out: snow and freezing, which flatten the wave,
// and the warmth of the sewage itself.
#pragma once

namespace restwell {

struct SoilTemperature {
  double mean_c = 12.0;
  // Assumed: with the damping depth below it leaves 6 degC at 2 m, the middle of a usual pit.
  double surface_swing_c = 13.5;
  double surface_warmest_day_of_year = 205.0;        // from memory: a month after midsummer
  double diffusivity_m2_per_day = 0.6e-6 * 86400.0;  // from memory: .4-.8e-6 m2/s in moist soil
};

// d of (2) [m].
[[nodiscard]] double damping_depth_m(const SoilTemperature& p);

// The wave at one depth, in parts that need no more exponentials: T = mean + cosine cos(w t)
// + sine sin(w t).
struct SeasonAtDepth {
  double mean_c, cosine_c, sine_c;
};
// depth_m >= 0 below ground.
[[nodiscard]] SeasonAtDepth season_at_depth(const SoilTemperature& p, double depth_m);

// cos(w t) and sin(w t), the same at every depth.
struct Wave {
  double cosine, sine;
};
[[nodiscard]] Wave wave_on(double day_of_year);

// T of (1) [degC].
[[nodiscard]] double temperature_c(const SeasonAtDepth& season, const Wave& wave);
[[nodiscard]] double temperature_c(const SeasonAtDepth& season, double day_of_year);

}  // namespace restwell
