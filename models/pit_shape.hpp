// Shape of the flow from a round pit: how readily the soil around wall and bottom takes water.
//
// Pond H in a pit of radius a, x = H/a, in a Gardner soil (K, alpha), u = H + 1/alpha. The borehole
// solution (Reynolds & Elrick), its pressure term split between wall and bottom:
//     Q = K (2 pi H u/C_w + pi a^2 (1 + B u/a)),   1/C = 1/C_w + B/(2 x)                      (1)
// For a ring under the head h, and for the bottom, p the pressure head behind the clogged layer:
//     wall q = K/(C_w a) (2 max(p,0) + exp(alpha min(p,0))/alpha)                             (2)
//     bottom q = K exp(alpha min(p,0)) + K B/a (max(p,0) + exp(alpha min(p,0))/alpha)         (3)
// Wall and bottom hold each other back: where one is clogged, the soil takes more from the other.
// With activities A from 0 (sealed) to 1 (clean):
//     1/C_w = (1 - A_bottom)/C_w0 + A_bottom/C_w1,   B = (1 - A_wall) B_0 + A_wall B_1         (4)
// C_w0, C_w1, B_0, B_1 depend on x and on alpha a, the pit's size over the soil's capillary
// length; fits to an independent solution of the flow (tests/reference), within 5 % for x .3-8 and
// alpha a .2-100. For the hole of a percolation test (alpha a about 1) C comes out within 6 % of
// Zhang et al. 1998; at the size of a pit, where gravity widens the wetted soil, it is smaller.
#pragma once

namespace restwell {

// x and alpha a of (1)-(4); x below .1 counts as .1 (assumed).
struct PitShape {
  double depth_over_radius;
  double alpha_radius;
};

// C_w of (4); 0 <= bottom_activity <= 1.
[[nodiscard]] double wall_shape_factor(const PitShape& shape, double bottom_activity);

// B of (4); 0 <= wall_activity <= 1.
[[nodiscard]] double bottom_spread(const PitShape& shape, double wall_activity);

// C of (1) with wall and bottom clean.
[[nodiscard]] double clean_shape_factor(const PitShape& shape);

}  // namespace restwell
