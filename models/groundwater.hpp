// Groundwater under a site: the table through the year, and the mound that seepage raises.
//
// Season: depth below ground z(t) = z0 - A cos(2 pi (t - t_high)/365), t the day of the year.   (1)
// Mound under the middle of a square of side s that lets down w = Q/s^2 [m/day] (Hantush 1967,
// Water Resour. Res. 3(1):227-234):
//     (h0 + m)^2 - h0^2 = (2 w/K) v t S*(s/(4 sqrt(v t)), s/(4 sqrt(v t))),  v = K b/epsilon   (2)
//     S*(a, b) = int_0^1 erf(a/sqrt(u)) erf(b/sqrt(u)) du
// h0: thickness of the aquifer below the table, b = h0 + m/2 its mean, epsilon: specific yield.
// Valid for m up to about half of h0; flow to the sides only (no vertical resistance), level
// aquifer without end. Sources: models/sources.md.
#pragma once

namespace restwell {

// S* of (2), a, b >= 0; absolute error below 1e-10.
[[nodiscard]] double hantush_s(double a, double b);

// All assumed; listed by every run.
struct GroundwaterParameters {
  double aquifer_thickness_m = 5.0;  // h0, 2-20
  double specific_yield = 0.15;      // epsilon, .05-.30
  double mound_time_day = 365.0;     // t of (2): how long the mean intake has gone on
  double mound_memory_day = 90.0;    // the mean is weighted exponentially over this: a season
  double layer_reach_m = 15.24;      // how far water spreads over a boundary of soils, 5-50: what
                                     // is on its way through the year hides more
};

// m of (2) [m] for a seepage of rate_m3_per_day over area_m2 (taken as a square) after
// mound_time_day, conductivity K; 0 for no seepage. Rises with the rate.
[[nodiscard]] double mound_height_m(const GroundwaterParameters& p, double rate_m3_per_day,
                                    double area_m2, double conductivity_m_per_day);

// z of (1) [m].
[[nodiscard]] double seasonal_depth_m(double mean_m, double amplitude_m, double day_of_high,
                                      double day_of_year);

}  // namespace restwell
