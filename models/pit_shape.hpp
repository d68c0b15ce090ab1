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
// They are those of clean soil, pressure and suction together. Behind a clogged layer there is
// suction alone, and gravity bears on the two unlike (derived here, nothing fitted):
// - Wall. Down its wet height d the flow by suction is a boundary layer, d2P/dr2 = alpha dP/dz with
//   P = K/alpha on the wall: sqrt(4 alpha/(pi d)) K/alpha in the mean (the heat-conduction
//   solution; Carslaw & Jaeger). With C_l, (4)'s limit for alpha a -> 0, where gravity has no say,
//       1/C_s = sqrt(1/C_l^2 + 4 alpha a/(pi x))                                               (5)
//   (to join them by the root of squares is assumed). kappa and kappa_c are C_w's times 1 - y and
//   1 + y alpha d, y = (C_w/C_s - 1)/(1 + alpha d): what clean soil takes under the mean head d/2
//   stays as it is.
// - Band. Where only a band of the wall takes, of a height d that is small against the pit, flow
//   spreads around it as from a line, and its logarithm takes the place of C_w0 where that lets
//   more through (derived but for 12): y = d/a, h its mean head, s the wall's share that takes
//       C_b = y ln((1 + s) (c/y + 12 max(1, 2 h/d)))/(pi (1 + s/2)),
//       1/c = alpha a/(16 e^-C) + 1/6.31                                                       (6)
//   A flat strip is a line of radius d/4. In sucking soil its reach is that of K0(alpha r/2), the
//   line source's (Raats 1970, from memory), C = .5772; where suction reaches further than the pit
//   that of a ring around a long sealed cylinder, 4 exp(int K0(t)/(t K1(t)) dt - ln t - C). At the
//   pit's foot, s = 1, it has 3/2 of the soil to go to, and is as wide as one of twice the height
//   (conformal map of the corner). Where gravity has the say its height alone counts: 12 is fitted
//   to the independent solution on half of 48 bands (d .001-.3 a, alpha a .5-30). A head that is
//   more than the band's own counts as height (assumed).
// - Bottom. A disc's flow by suction does not feel gravity (Wooding 1968, within 7 %), so
//   kappa_bc has B_l, (4)'s limit for alpha a -> 0; kappa_b is such that clean soil takes what (1)
//   says.
#pragma once

#include <limits>

namespace restwell {

// x and alpha a of (1)-(5). Below x = .1 for the bottom and .01 for the wall the functions keep
// their value (assumed).
struct PitShape {
  double depth_over_radius;
  double alpha_radius;
};

// A wall's soil: what of (4) does not hang on the depth. The weights are those of the limit for
// alpha a -> 0, beside a clean and beside a sealed bottom; band_reach is c of (6).
struct WallSoil {
  double alpha_radius;
  double clean_capillary, sealed_capillary;
  double band_reach;
};
[[nodiscard]] WallSoil wall_soil(double alpha_radius);

// x and its logarithm.
struct WallDepth {
  double over_radius, log;
};
[[nodiscard]] WallDepth wall_depth(double over_radius);

// C_b of (6), y and 2 h/a given; infinite where the band is too high for that.
[[nodiscard]] double band_shape_factor(const WallSoil& soil, double over_radius,
                                       double heads_over_radius, double share_of_wall);

// C_w of (4); 0 <= bottom_activity <= 1.
[[nodiscard]] double wall_shape_factor(
    const WallSoil& soil, const WallDepth& depth, double bottom_activity,
    double band_factor = std::numeric_limits<double>::infinity());

// C_s of (5).
[[nodiscard]] double wall_suction_factor(const WallSoil& soil, const WallDepth& depth,
                                         double bottom_activity);

// B of kappa_b, kappa_bc and, as (4) has it, of saturated soil. Where the pond gets shallow against
// x = .1, suction alone is left.
struct BottomSpread {
  double pressure, suction, saturated;
};
// B_0 and B_1, and the share of the wall's activity that the bottom feels: all that hangs on the
// level.
struct BottomAtLevel {
  BottomSpread beside_sealed_wall, beside_clean_wall;
  double wall_counts;
};
[[nodiscard]] BottomAtLevel bottom_at_level(const PitShape& shape);
// B of (4); 0 <= wall_activity <= 1.
[[nodiscard]] BottomSpread bottom_spreads(const BottomAtLevel& bottom, double wall_activity);

// C of (1) with wall and bottom clean.
[[nodiscard]] double clean_shape_factor(const PitShape& shape);

}  // namespace restwell
