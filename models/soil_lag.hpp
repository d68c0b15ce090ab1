// How the soil around a pit lags behind the pit's water.
//
// The law (models/pit.hpp) says what a pit takes in at a level at length. Soil still wet from a
// fuller pit takes less, dry soil more: what lies away from the wall follows only as water gets
// there. With Q the law's intake and u what the soil passes on [m3/day]:
//     intake = Q + C (Q - u),   du/dt = (intake - u)/T                                        (1)
//     C = s A/(1 - s A),   A = Q/(what a clean pit takes far over the water table)            (2)
//     T = w D/K_m,   D = H + 1/alpha of the bottom's soil                                     (3)
// (1): at a held level a store of T u in the soil, fed by the pit. (2): the clogged layer, the soil
// that follows at once and the soil that lags (s of the clean soil's resistance) in series
// (derived). (3): the time that water takes down the wet wall and a capillary length, in soil of
// the mean conductivity K_m over both, times what of the soil has to fill (derived but for w). s
// and w are fitted to an independent solution of the flow over time, in soils of which .3 fills, on
// half of a set of pits, and judged on the other (tests/reference/README.md). The courses fall to
// half of the depth; the last of the water is not in them. Taken as the same, not compared:
// trenches and perched water. Where a mound or perched water is held over a season
// (sim/downstream.hpp) part of the lag counts twice, and a falling pit falls too slowly.
#pragma once

#include "models/pit.hpp"

namespace restwell {

struct SoilLag {
  double lagging_share = 0.43;  // s, 0 (no lag) - .6
  double time_factor = 0.72;    // w, .4-1.2
};

// C of (2); activity A is taken as within 0..1.
[[nodiscard]] double lag_gain(const SoilLag& lag, double activity);

// T of (3) [day] with water at level_m over the bottom.
[[nodiscard]] double lag_time_day(const SoilLag& lag, const Pit& pit, double level_m);

// (1) over a step of dt_day at a held Q: the mean intake is Q + gain_over_step (Q - u), u that of
// the step's start. Exact; goes to 0 for long steps. time_day 0: no lag.
[[nodiscard]] double gain_over_step(double gain, double time_day, double dt_day);

// What of its difference from what feeds it u keeps over a step: exp(-dt/T); 0 where T is 0.
[[nodiscard]] double soil_keeps(double time_day, double dt_day);

// u after a step over which the soil was fed mean_intake_m3_per_day: exact for a constant intake.
[[nodiscard]] double soil_flow_after_m3_per_day(double soil_flow_m3_per_day,
                                                double mean_intake_m3_per_day, double keeps);

}  // namespace restwell
