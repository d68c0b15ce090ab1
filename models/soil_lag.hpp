// How the soil around a pit lags behind the pit's water.
//
// The law (models/pit.hpp) says what a pit takes in at a level at length. Soil still wet from a
// fuller pit takes less, dry soil more: what lies away from the wall follows only as water gets
// there. With Q the law's intake and u what the soil passes on [m3/day]:
//     intake = Q/(1 - s A (1 - u/Q)),   du/dt = (intake - u)/T                                (1)
//     T = w l/K_m,   l = H_t + 1/(alpha + 1/(alpha b^2))                                      (2)
//     H_t = min(1, v_wall/v_bottom) H,   H = (sum v dz)^2/sum(v^2 dz)                         (3)
//     b = a (p + (1 - p) sqrt(min(1, H/a))),   p = max(min(1, v_bottom/v_wall), Q_bottom/Q)   (4)
// (1): the clogged layer, the soil that follows at once and the soil that lags (s of the clean
// soil's resistance) in series; as in Green & Ampt's soil the lagging part resists by as much of it
// as is wet, u/Q (derived). With all of the resistance in it dry soil would take Q sqrt(T/2t) at
// first, a sorptivity (Philip 1957). At a held level a store of T u in the soil, fed by the pit. A:
// the relative change of the intake with that of the soil's conductivity, in the mean over the
// parts weighted by their intake. A part under the flux q through a layer of resistance R has q
// over that of clean soil if the soil behind the layer is full, 1/(1 + alpha R q) if it is not (the
// derivatives of (1)-(4) of models/intake.hpp for a far table; the larger of the two).
// (2): the time that water takes down the wall that takes and to spread, in soil of the mean
// conductivity K_m over both, times what of the soil has to fill. A large part's water goes a
// capillary length, 1/alpha, by gravity; a small part's is spread by suction over its size b like
// heat, at the diffusivity K/alpha over what fills, in alpha b^2/K; the two rates are added
// (derived for a bottom but for w). v: a part's flow over its clean flow, no more than 1 and no
// less than 0, sums over the wet wall, v_wall = sum(v^2 dz)/sum(v dz) the mean over what takes.
// (3): the wet height where all take alike; where all water leaves through a band of the wall the
// band's, for soil beside a wall that takes nothing lies off the water's way; beside a bottom that
// takes more readily the wall counts the less. (4): a is the radius, half of a trench's width; b is
// that of the bottom, and of a band, which spreads its water around the pit as well as up and down,
// the mean of height and radius (geometric); beside a bottom that takes less readily b goes towards
// the band's, as alpha and the conductivity of what spreads do. (3) and (4) are derived at the ends
// but for the band's size, which is assumed as what lies between; nothing is fitted.
// s and w are fitted to an independent solution of the flow over time, in soils of which .3 fills,
// on half of a set of pits, and judged on the other (tests/reference/README.md). The courses fall
// to half of the depth; the last of the water is not in them. Taken as the same, not compared:
// trenches and perched water. Where a mound or perched water is held over a season
// (sim/downstream.hpp) part of the lag counts twice, and a falling pit falls too slowly.
#pragma once

#include <span>

#include "models/pit.hpp"

namespace restwell {

struct SoilLag {
  double lagging_share = 0.58;  // s, 0 (no lag) - .7
  double time_factor = 0.38;    // w, .2-.6
};

// A at level_m, of the parts (bottom last): their flows by the law, and those of a clean pit far
// over the water table. 0 for no intake; a part takes no more than if clean, for this.
[[nodiscard]] double soil_activity(const Pit& pit, std::span<const double> resistance_day,
                                   double level_m, std::span<const double> flow_m3_per_day,
                                   std::span<const double> clean_flow_m3_per_day);

// s A of (1); A is taken as within 0..1.
[[nodiscard]] double lagging_part(const SoilLag& lag, double activity);

// T of (2) [day] with water at level_m over the bottom, of the same flows. Where no ring takes
// water the bottom's way counts alone.
[[nodiscard]] double lag_time_day(const SoilLag& lag, const Pit& pit, double level_m,
                                  std::span<const double> flow_m3_per_day,
                                  std::span<const double> clean_flow_m3_per_day);

// Mean intake over Q in a step of steps = dt/T at a held Q, lagging = s A, followed that of the
// step's start: (1) at the step's mean of 1 - u/Q, which is the start's over 1 + x/2 + x^2/12,
// x = (1 + C) dt/T, intake = Q + C (Q - u) (the mean of exp(-x), of third order at a held C;
// derived). 0 steps: (1) itself; 1 for long steps.
[[nodiscard]] inline double lagged_share(double lagging, double followed, double steps) {
  constexpr double long_step = 1e6;  // nothing is left of the lag
  if (!(steps < long_step)) return 1.0;
  const double lacks = 1.0 - followed;
  const double series = 1.0 - lagging * lacks;
  const double x = steps * (series + lagging);  // times series
  const double square = series * series;
  const double to_mean = square + x * (0.5 * series + x / 12.0);  // times series^2
  return to_mean / (to_mean - lagging * lacks * square);
}

// What of its difference from what feeds it u keeps over a step: exp(-dt/T); 0 where T is 0.
[[nodiscard]] double soil_keeps(double time_day, double dt_day);

// u after a step over which the soil was fed mean_intake_m3_per_day: exact for a constant intake.
[[nodiscard]] double soil_flow_after_m3_per_day(double soil_flow_m3_per_day,
                                                double mean_intake_m3_per_day, double keeps);

}  // namespace restwell
