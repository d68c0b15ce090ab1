// Perched water: what tight layers hold up around a pit.
//
// Seepage Q falls through soil of K_1 under a unit gradient, over a disc of the radius b, or over
// the pit's own if that is wider. A layer of K_2 < K_1 in its way lets it through in the same
// manner over r: b = max(a, sqrt(Q/(pi K_1))), r = sqrt(Q/(pi K_2)). From b on the water flows
// outwards on the layer (Dupuit) and leaks evenly; the capillary fringe above it, which carries
// water as 1/alpha_1 of full soil does, flows with it. At b the water stands
//     s = sqrt(1/alpha_1^2 + Q/(pi K_1) (ln(r/b) - (1 - (b/r)^2)/2)) - 1/alpha_1            (1)
// over the layer (derived), which is taken for the pit's edge: what the water loses on its way from
// there to b is in the law's intake already. Nothing presses where K_2 comes up to K_1, nor where
// the layer right below takes all (r <= a). Q is what the parts above the layer's top take in; they
// feel the water as they feel a table (models/pit.hpp).
// Of a bottom over the layer K_2/K_1 of what it would take passes without being held back, and up
// to K_2 all of it: that the layer takes without pressing.
// Against an independent solution (tests/reference) the intake comes out within 17 % on a grid of
// pits (K_2 at most K_1/4), within 25 % for drawn ones. No constant is fitted. Layers that let
// their water off sideways or are not level are left out; a field of trenches counts as a pit of
// the same bottom (assumed).
#pragma once

#include <span>
#include <vector>

#include "models/pit.hpp"

namespace restwell {

struct TightLayer {
  double top_m = 0.0;              // over the pit's bottom; negative: below it
  double above_m_per_day = 0.0;    // K_1
  double in_m_per_day = 0.0;       // K_2
  double above_alpha_per_m = 0.0;  // alpha_1; 0: no fringe
};

// Pressure head [m] on the layer, s of (1), 0 if nothing perches. Rises with the rate.
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
