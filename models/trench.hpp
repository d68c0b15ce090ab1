// Drain field of gravel trenches: an absorption element of long rectangles, in the place of a pit.
//
// count equal trenches of length l and width w, gravel from the bottom up to the pipe's invert
// ("full"; PitGeometry::depth_m) and on up to the ground. They fill alike and stand so far apart
// that none waters another's soil (assumption). With water H over the bottom, of each trench:
//     storage area  A_s = n_g l w                                                           (1)
//     wall          2 (l + w) H: an end takes as much per area as a long side (assumption)  (2)
//     bottom        l w                                                                     (3)
// Soil in plane flow. A line source has no steady saturated state without gravity (the pressure
// would go as a logarithm without end), so gravity and capillarity set the length over which the
// head is lost: far below, all the water falls at K, over a breadth of Q/(K l). Clean soil:
//     Q/l = Kfs (w + 2 E),  E = 1.33 H + .75/alpha + .47 sqrt(H w)                          (4)
// E: how far the wetted breadth stands out at each side, by the free surface (Kozeny's parabola
// under a canal on a deep water table has E = H), by the suction at the edge, and by the pressure
// under a wide bottom. 3/4 of it goes through the wall, 1/4 through the bottom next to its edges:
//     side    kappa = f_wt Kfs (3/4) E/(H (H + 1/alpha)), so that q = kappa
//             (2 h + 1/alpha) over the wall sums to that share; in the place of a pit's
//             f_wt Kfs/(C a)                                                                (5)
//     bottom  Kfs (1 + (1/2) E/w) in the place of Kfs                                       (6)
// The numbers are fitted (derived) to steady plane flow in Gardner soil; w .3-1 m, H .02-.6 m,
// alpha 1-36 1/m, gravel to .6 m below ground, resistance 0-300 d on wall and bottom. What that
// leaves: models/sources.md.
#pragma once

namespace restwell {

struct TrenchPlan {
  double length_m = 15.24;  // of each trench
  double width_m = 0.6096;
  int count = 1;
  bool operator==(const TrenchPlan&) const = default;
};

// Of all trenches together.
[[nodiscard]] double trench_area_m2(const TrenchPlan& t);
[[nodiscard]] double trench_perimeter_m(const TrenchPlan& t);

// H (H + 1/alpha)/((3/4) E) [m] of equation (5); pond_m > 0.
[[nodiscard]] double trench_side_scale_m(const TrenchPlan& t, double pond_m, double alpha_per_m);
// 1 + (1/2) E/w of equation (6); pond_m >= 0.
[[nodiscard]] double trench_bottom_gain(const TrenchPlan& t, double pond_m, double alpha_per_m);

// Conductance of the saturated soil under the bottom per area [1/day], for a water table that is
// felt: a strip that draws from ten widths away, pi K/(w ln 40) (the distance is assumed).
[[nodiscard]] double trench_bottom_saturated_per_day(const TrenchPlan& t, double kfs_m_per_day);

}  // namespace restwell
