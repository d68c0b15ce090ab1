// Dry well (seepage pit): storage, rings of wall, bottom, intake at a water level.
//
// Excavation of radius a, depth L below the inlet. Storage area
//     A_s = pi r_in^2 f_in + pi n_g (a^2 - r_out^2)                                         (1)
// with the lining's inner and outer radius, n_g the porosity of the gravel around it and f_in the
// open share inside (1 for an empty lining, n_g for a pit filled with stone). Without a lining the
// inside is the whole excavation: A_s = pi a^2 f_in.
// Water balance: A_s dH/dt = inflow - sum_j q_j w_j 2 pi a dz_j - q_b pi a^2 - overflow     (2)
// w_j: wetted share of ring j. The level H stands over the bottom; H = L is "full": water at the
// inlet. Above the inlet the pit goes on up to its cover with the same area.
// With `trench` set the element is not round but a field of gravel trenches (models/trench.hpp):
// radius, lining and inside_open_share do not count then, all else holds.
//
// Water table at T over the bottom (negative: below it), its mound under the pit included
// (models/groundwater.hpp). Far from the pit the head at height z is T - z (models/intake.hpp).
// Below T layer and saturated soil in series give q = (h - h_out)/(R + 1/(2 kappa)), kappa =
// f Kfs/(C_w a), with h = 0 where the table stands over the pit's water (seepage face). f is 1 for
// a table more than 2 H below the bottom and falls to .78 for one at the bottom or over it: fitted
// to an independent solution of the flow from a pit into an aquifer (tests/reference), where the
// mound is given. (The well permeameter's factors, which hold the mound too, fall to .43.)
// The shape factors are those of the greater of H and T. The bottom feels the table through
// saturated soil, G = Kfs B/a. All parts flow one way: in if H > T, out if H < T.
//
// Water that a boundary of two soils holds (models/perched.hpp) acts as a table does, on the parts
// above the boundary (the highest of several) and without f (which was fitted for an aquifer). The
// bottom takes no more than saturated soil down to it lets through, or, where it is held below the
// bottom, than the column down to it does ((6) of models/intake.hpp).
//
// A bottom on a slower layer (K_1, alpha_1, thickness D) over faster soil takes in no more than the
// layer lets through, its foot as dry as the boundary holds it: by (6) of models/intake.hpp with
// the gravity flow K_1/(1 - exp(-alpha_1 D)), the Gardner column's, and with K_1/D besides the
// spreads K_1 B/a. A shallow pond leaves the foot unsaturated, and coarse soil draws no more
// (derived; that what goes aside adds to it is assumed). Of a trench: nothing.
//
// Conductances of a round pit (models/pit_shape.hpp): f Kfs/(C_w a) of the wall, Kfs B/a of the
// bottom, those of suction apart. Suction goes by the height H s that takes (s below) and its mean
// head, alpha d = 2 alpha sum(v h dz)/sum(v dz), and counts apart only as far as no table has
// filled the soil, 1 - exp(alpha min(T, 0)) (assumed). Activity of a part: its intake over that of
// clean soil, about 1/(1 + kappa_b R) of the bottom, 1/(1 + 2 kappa R) of a ring; of the wall the
// mean, weighted by head for the bottom. The wall is held back by what stands behind the bottom's
// layer over what stands behind its own: activity of the bottom over the wall's, weighted by
// intake, 1 at most (derived: the soil's flow is a sum of what wall and bottom drive). Where rings
// differ, the wall counts as one of the depth x s^.7, s = (sum
// v dz)^2/(H sum v^2 dz), v = 1/(1 + 2 kappa R) what a ring could take alone: 1 for equals, the
// share of the height where few take all. In layers each ring and the bottom take the soil they lie
// in; of slower soil beside it a ring counts only K_slow/K as drawing on the same ground. How well
// this does: tests/reference/README.md.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "models/intake.hpp"
#include "models/pit_shape.hpp"
#include "models/soil.hpp"
#include "models/trench.hpp"

namespace restwell {

struct PitGeometry {
  double radius_m = 0.9144;             // a, outside of the gravel
  double depth_m = 3.048;               // L, bottom to inlet
  double cover_above_inlet_m = 0.9144;  // where water would come out at the top
  double lining_inner_radius_m = 0.0;   // 0: no lining
  double lining_outer_radius_m = 0.0;
  double gravel_porosity = 0.40;
  double inside_open_share = 1.0;
  std::optional<TrenchPlan> trench = {};
};

struct Ring {
  double bottom_m, top_m;  // over the pit's bottom
  Soil soil;
};

// What a boundary of two soils holds (models/perched.hpp), as a table. What lies below the boundary
// does not feel it, nor does a bottom that stands on it.
struct HeldWater {
  double level_m;     // over the pit's bottom; below the boundary: by suction
  double boundary_m;  // over the pit's bottom
};

// Water in the soil around, over the pit's bottom (negative: below it).
struct WaterAround {
  double table_m = far_below_m;          // groundwater
  std::span<const HeldWater> held = {};  // perched; felt only up to the pit's own water
};

// What a bottom stands on if it is slower than the soil below it.
struct SlowLayer {
  Soil soil;
  double thickness_m;
};

// Geometry and soil, fixed through a run. rings from the bottom up to the cover.
struct Pit {
  PitGeometry geometry;
  std::vector<Ring> rings;
  Soil bottom_soil;
  std::optional<SlowLayer> slow_below = {};
};

[[nodiscard]] double storage_area_m2(const PitGeometry& g);
[[nodiscard]] double perimeter_m(const PitGeometry& g);                     // pi 2 a
[[nodiscard]] double ring_area_m2(const PitGeometry& g, const Ring& ring);  // perimeter dz
[[nodiscard]] double bottom_area_m2(const PitGeometry& g);
// Side wall below the inlet; of a pit pi D d with D outside of the gravel (the codes' absorption
// area).
[[nodiscard]] double wall_area_m2(const PitGeometry& g);

// Intake [m3/day] of every ring and, last, of the bottom at level_m >= 0 over the bottom; negative
// where water comes in. resistance_day and flow_m3_per_day have rings + 1 entries (bottom last).
// Returns the sum. With one soil and one resistance it rises with the level and never with the
// water around; where rings differ, the coupling of the parts can break such order by some percent
// (known misses in tests/property/law_limits.cpp).
double pit_intake_m3_per_day(const Pit& pit, std::span<const double> resistance_day, double level_m,
                             const WaterAround& around, std::span<double> flow_m3_per_day);

// What of it hangs on the level alone, for many cloggings at one level. reach_m: up to where the
// wall takes water in or lets it out, the level or a table over it. Of a trench: nothing.
struct PitAtLevel {
  struct Wall {
    std::size_t end;  // one past the last of the wet rings in one soil
    WallSoil soil;
    double resisting_per_m;  // 2/(C_w a) beside a clean bottom
  };
  double reach_m = 0.0;
  std::vector<Wall> walls = {};  // from the bottom up
  BottomAtLevel bottom = {};
};
[[nodiscard]] PitAtLevel pit_at_level(const Pit& pit, double reach_m);
// The same flow; at was made for this pit. Where the table stands over the level it is made anew.
double pit_intake_m3_per_day(const Pit& pit, const PitAtLevel& at,
                             std::span<const double> resistance_day, double level_m,
                             const WaterAround& around, std::span<double> flow_m3_per_day);

// The same with every resistance equal to resistance_day.
[[nodiscard]] double uniform_intake_m3_per_day(const Pit& pit, double resistance_day,
                                               double level_m, const WaterAround& around = {});

// The single resistance R [day] of all wetted rings and the bottom at which the pit takes in
// intake_m3_per_day at level_m; below 1e-12 day it counts as 0. nullopt if even R = 0 takes in
// less; infinity for no intake at all.
[[nodiscard]] std::optional<double> uniform_resistance_for_intake(const Pit& pit, double level_m,
                                                                  double intake_m3_per_day,
                                                                  const WaterAround& around = {});

}  // namespace restwell
