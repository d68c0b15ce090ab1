// Water where soils meet: perched on a tight layer, held by suction over a coarse one.
//
// Seepage Q falls through soil 1 (K_1, alpha_1) over a disc of the radius b = max(a, sqrt(Q/(pi
// K_1))) onto soil 2, which drains freely: it takes K_2 P^n per area, P = exp(alpha_1 p) at the
// pressure head p <= 0 on the boundary, n = alpha_2/alpha_1; below the disc 1 + 4/(pi alpha_2 b)
// times that (Wooding's disc), further out no more than K_2. What it does not take flows outwards
// in soil 1, hydrostatic over the boundary (Dupuit with a capillary fringe):
//     (1/r) d/dr(r dP/dr) = c P^n,   c = alpha_1^2 K_2/K_1,   b dP/dr = -q at b,
//     q = alpha_1^2/(2 pi K_1) (Q less what the disc takes)                                 (1)
//     P = q f,   x = b sqrt(c P^(n-1)),   m = 2/(n - 1) < 1,
//     F - ln F + g (1 - 1/F) = 1 + m ln(m/x), F = m f, for x < m; above f = 1/(m + (x - m)/
//     sqrt(1 + 1/m));   g = m/(sqrt(m^2 + 2 m) - m)                                         (2)
// (2) is exact at x = m, where P goes as r^-m, in its slope there, and far off on both sides but
// for a constant; for m > 1 it goes from that of m = 1 to ln(1 + 1/x) as 1/m (n <= 1; n = 1:
// Bessel's functions). It meets (1) within 7 % (derived; tests/unit/perched.cpp). Nothing spreads
// further than reach_m: where (2) would, b min(m, 1)/x, P is no less than if what is left leaked
// evenly over that. Where P would pass 1, water stands: out to r_e, where (2) gives 1, soil 2 takes
// K_2, and at b the water is
//     s = sqrt(1/alpha_1^2 + Q/(pi K_1) ln(r_e/b) - K_2/(2 K_1) (r_e^2 - b^2)) - 1/alpha_1  (3)
// deep (derived; Q less Wooding's gain). Of V = P + alpha_1 s the law knows what soil 1 alone would
// hold if it went on, P_1 by the same (1) and (2). The rest, V - P_1/max(V, 1) (the deeper water
// stands the less it is that soil's; assumed), is felt as a table: (that - 1)/alpha_1 over the
// boundary if over 1, else its logarithm over alpha_1 (below it). Nothing is left where the soils
// are alike or the lower one is the finer and takes more. Q is what the parts above take in; they
// feel the water as they feel a table (models/pit.hpp), at the pit's edge as at b.
// Against an independent solution: tests/reference/README.md. No constant is fitted. Layers that
// let their water off sideways or are not level are left out; a field of trenches counts as a pit
// of the same bottom (assumed).
#pragma once

#include <span>
#include <vector>

#include "models/groundwater.hpp"
#include "models/pit.hpp"

namespace restwell {

struct SoilBoundary {
  double top_m = 0.0;  // of the lower soil, over the pit's bottom; negative: below it
  Soil above, below;
  double reach_m = GroundwaterParameters{}.layer_reach_m;
  [[nodiscard]] bool is_tight() const { return below.kfs_m_per_day < above.kfs_m_per_day; }
};

// f of (2), x > 0.
[[nodiscard]] double outflow_factor(double x, double n);

// Height [m] over the boundary of the table that stands for the water on it; negative: it hangs,
// far_below_m if nothing does.
[[nodiscard]] double water_over_m(double rate_m3_per_day, double radius_m,
                                  const SoilBoundary& boundary);

// Q of (1) [m3/day] from the flows of the rings and, last, of the bottom.
[[nodiscard]] double flow_onto_m3_per_day(const Pit& pit, const SoilBoundary& boundary,
                                          std::span<const double> flow_m3_per_day);

// The waters over the boundaries, with what comes down on each.
[[nodiscard]] std::vector<HeldWater> perched_water(const Pit& pit,
                                                   std::span<const SoilBoundary> boundaries,
                                                   std::span<const double> onto_m3_per_day);

// The same in the long run, with the pit's water held at level_m, no higher than that.
[[nodiscard]] std::vector<HeldWater> steady_perched_water(const Pit& pit,
                                                          std::span<const SoilBoundary> boundaries,
                                                          std::span<const double> resistance_day,
                                                          double level_m,
                                                          double table_m = far_below_m);

}  // namespace restwell
