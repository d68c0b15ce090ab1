// Perched water: what tight layers hold up around a pit.
//
// On a layer of K_2 below one of K_1 > K_2, a seepage Q that the layer lets through under a unit
// gradient spreads to r = sqrt(Q/(pi K_2)). Steady flow outwards on the layer (Dupuit), leaking
// evenly, stands at the pit's edge a
//     s = sqrt(Q/(pi K_1) (ln(r/a) - (1 - (a/r)^2)/2))                                      (1)
// over it (derived). Of that 1 - K_2/K_1 presses: the leak itself uses up the rest. Nothing presses
// where K_2 comes up to K_1, nor where the layer right below takes all (r <= a). Q is what the
// parts above the layer's top take in; they feel the water as they feel a table (models/pit.hpp).
// Of a bottom over the layer K_2/K_1 of what it would take passes without being held back.
// Against an independent solution (tests/reference) the intake comes out 5-30 % too small where
// K_2 is at most K_1/4, up to 40 % for a pit nearly all in the tight layer. No constant is fitted.
// Layers that let their water off sideways or are not level are left out; a field of trenches
// counts as a pit of the same bottom (assumed).
#pragma once

#include <span>
#include <vector>

#include "models/pit.hpp"

namespace restwell {

struct TightLayer {
  double top_m = 0.0;            // over the pit's bottom; negative: below it
  double above_m_per_day = 0.0;  // K_1
  double in_m_per_day = 0.0;     // K_2
};

// Pressure head [m] on the layer, s (1 - K_2/K_1) of (1), 0 if nothing perches. Rises with the
// rate.
[[nodiscard]] double perched_head_m(double rate_m3_per_day, double radius_m,
                                    const TightLayer& layer);

// Q of (1) [m3/day] from the flows of the rings and, last, of the bottom.
[[nodiscard]] double flow_onto_m3_per_day(const Pit& pit, const TightLayer& layer,
                                          std::span<const double> flow_m3_per_day);

// The waters that the layers hold up, with what comes down on each.
[[nodiscard]] std::vector<HeldWater> perched_water(const Pit& pit,
                                                   std::span<const TightLayer> layers,
                                                   std::span<const double> onto_m3_per_day);

// The same in the long run, with the pit's water held at level_m, no higher than that.
[[nodiscard]] std::vector<HeldWater> steady_perched_water(const Pit& pit,
                                                          std::span<const TightLayer> layers,
                                                          std::span<const double> resistance_day,
                                                          double level_m,
                                                          double table_m = far_below_m);

}  // namespace restwell
