// Drainage of the soil behind a wall once the water in front of it has passed: only when enough
// pores have emptied can air enter and the clogging decay at its full rate.
//
//     t_d = c (z + h_a) K^-b,   h_a = h_1 K^-e      [day, m, K = Kfs in m/day]              (1)
// z: from where the water stood down to the place; h_a: what capillarity holds back. Enough is an
// air-filled volume of 10 % of the soil's (common threshold of aeration, from memory: Grable &
// Siemer 1968) in the first 5 cm. Derived here: fitted to runs of the reference solver
// (tests/reference/drainage.cpp) from the steady state under 2.1 m of water, textures of Carsel &
// Parrish 1988, sand to clay loam, half of their Ks as Kfs, full down to a suction of 2 cm (n < 2).
// Error: a factor of 2.5 (worst 2.9) and a third of a day, walls of up to 20 days' resistance: silt
// and clay loam conduct alike and drain 1 to 5. Under 1.3 to 3.5 m of water and behind 1 to 20
// days' resistance sand to silt loam keep to that; under bottoms clay loam takes up to 3.5 times as
// long. A wall clogged more drains sooner, at 80 days up to 4 times. Finer soils hold on to more
// than gravity takes within a year, clays for ever: what lets air in there are cracks and channels,
// which the reference does not have. So (1) is cut at longest_day, an assumption.
#pragma once

#include "models/soil.hpp"

namespace restwell {

struct Drainage {
  double factor = 1.0;         // on (1); 0: air enters at once
  double longest_day = 180.0;  // assumed, 60-365
};

// z that stands for the soil under the bottom.
inline constexpr double under_bottom_m = 0.2;

// t_d of (1) [day] at below_water_m >= 0 below where the water stood.
[[nodiscard]] double drainage_day(const Drainage& p, const Soil& soil, double below_water_m);

}  // namespace restwell
