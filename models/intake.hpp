// Intake of one ring of wall, or of the bottom: a clogged layer and the soil behind it in series.
//
// Layer: q = (h - p)/R, h the head on it, p the soil's pressure head behind it, R its resistance
// [day]. Soil at the side with the conductances [1/day] kappa of its pressure and kappa_c of its
// suction (kappa = kappa_c = f Kfs/(C a) but for models/pit_shape.hpp), o the pressure head far
// from the wall at the same height, water table less height (far below for a far table):
//     q = P(p) - P(o),  P(x) = 2 kappa max(x, 0) + kappa_c exp(alpha min(x, 0))/alpha         (1)
// Solved, S = kappa_c/alpha - P(o): if h >= R S, q = (2 kappa h + S)/(1 + 2 kappa R) [p >= 0]; else
//     q = (W0(kappa_c R exp(alpha h + kappa_c R E)) - kappa_c R E)/(alpha R),  E = exp(alpha o) (2)
// (Lambert W; the argument's logarithm is used). Below the table (o >= 0) that is
// q = (h - o)/(R + 1/(2 kappa)), of either sign.
// Bottom, layer of thickness z_b; the soil takes K by gravity and spreads water with the
// conductances kappa_b and kappa_bc [1/day], by pressure and by suction:
//     q = Kfs exp(alpha min(p, 0)) + kappa_b max(p, 0) + kappa_bc exp(alpha min(p, 0))/alpha  (3)
// With K_e = Kfs + kappa_bc/alpha, its intake at p = 0: q = (K_e + kappa_b H)/(1 + kappa_b R) if
// H >= R K_e; K_e if H + z_b >= R K_e (the layer's own depth pulls only while the soil below is
// not full); else q = W0(alpha R K_e exp(alpha (H + z_b)))/(alpha R).                         (4)
// Of such a flow q_f, p = H - R q_f behind the layer, a water table T over the bottom leaves
//     q = q_f - (q_f - j)/(1 + R g),  j = q_f s/sqrt(q_f^2 + s^2) (s if s < 0),
//     s = g (p - T),  g = G exp(alpha min(max(p, T), 0))                                      (5)
// G the conductance of saturated soil [1/day]: s is what passes if the soil is full down to the
// table, as dry as behind the layer or at the bottom's height over the table, whichever is wetter.
// The table's water and the pit's hold each other up well before they touch: on bare soil the
// independent solution (tests/reference) lies within 15 % of the root of squares. Its power, 2, was
// chosen on half of the first set, tables from 5 m to none below the bottom (1.7 and 2.3 are about
// as good, 3 and the lesser of the two worse). The layer comes in to first order (derived); s < 0
// gives q = (H - T)/(R + 1/g), so that q has the sign of H - T, but no more than at T = p: wetter
// soil lets more through, yet no table lets a bottom take more than a lower one does.
// Over a boundary of two soils that holds water as a table at T <= 0 would (models/perched.hpp) the
// column between passes K exp(alpha p) less what the held water presses (Gardner's steady column):
//     q = K_e (exp(alpha min(p, 0)) - exp(alpha T)) + kappa_b max(p, 0)                       (6)
// (that the spread is held back alike is assumed); for T -> -inf this is (4).
// Limits, far table: R -> 0 gives kappa (2 h + 1/alpha) (borehole theory); R large gives the
// crust equation q = (h + |psi| + z_b)/R = K(psi) (Hillel & Gardner 1969; Bouma 1975).
#pragma once

#include <limits>

namespace restwell {

// Solves w + ln w = log_argument, i.e. w = W0(exp(log_argument)), for any finite argument without
// overflow; relative error below 1e-13.
[[nodiscard]] double lambert_w_of_exp(double log_argument);
// W0(factor exp(exponent)), factor > 0, the same without the logarithm of the factor.
[[nodiscard]] double lambert_w_of(double factor, double exponent);
// Of exp(x), against 1, below this x.
inline constexpr double nothing_left = -40.0;
// exp(min(x, 0)), the Gardner conductivity's share at x = alpha p; 0 below nothing_left.
[[nodiscard]] double exp_to_one(double x);

// A water table as high as this over anything is too far below to be felt.
inline constexpr double far_below_m = -1e9;

struct SideConductance {
  double kappa_per_day;
  double alpha_per_m;
  double suction_ratio = 1.0;  // kappa_c over kappa_per_day
  double pressure_loss = 0.0;  // of (1)'s kappa, as a share of kappa_per_day, where E is 0
};
// What the water outside makes of it: E, kappa and S of (1) and (2). The same for any o below
// nothing_left/alpha.
struct SideOutside {
  double near, kappa_per_day, pull_m_per_day;
};
[[nodiscard]] SideOutside side_outside(const SideConductance& side,
                                       double outside_head_m = far_below_m);

// Side intake q [m/day] at mean head_m >= 0 over the wetted part; resistance_day >= 0;
// outside_head_m is o of (1). Has the sign of head_m - outside_head_m.
[[nodiscard]] double unsaturated_side_intake_m_per_day(const SideConductance& side,
                                                       const SideOutside& outside,
                                                       double resistance_day, double head_m);
[[nodiscard]] inline double side_intake_m_per_day(const SideConductance& side,
                                                  const SideOutside& outside, double resistance_day,
                                                  double head_m) {
  // p >= 0; h - p is written out, so that R = 0 needs no case of its own.
  if (head_m >= resistance_day * outside.pull_m_per_day) {
    return (2.0 * outside.kappa_per_day * head_m + outside.pull_m_per_day) /
           (1.0 + 2.0 * outside.kappa_per_day * resistance_day);
  }
  return unsaturated_side_intake_m_per_day(side, outside, resistance_day, head_m);
}
[[nodiscard]] inline double side_intake_m_per_day(const SideConductance& side,
                                                  double resistance_day, double head_m,
                                                  double outside_head_m = far_below_m) {
  return side_intake_m_per_day(side, side_outside(side, outside_head_m), resistance_day, head_m);
}

// Bottom intake q [m/day] at pond_m over the bottom; a water table over the bottom presses water
// in. Without spread: a unit gradient below.
struct BottomConductance {
  double kfs_m_per_day;
  double alpha_per_m;
  double spread_per_day = 0.0;                                         // kappa_b
  double saturated_per_day = std::numeric_limits<double>::infinity();  // G of (5)
  double layer_m = 0.02;
  double suction_ratio = 1.0;  // kappa_bc over spread_per_day
};
// What saturated soil down to a table lets through, (H - T)/(R + 1/G): no more than this above
// water that a tight layer holds up.
[[nodiscard]] double saturated_intake_m_per_day(const BottomConductance& bottom,
                                                double resistance_day, double pond_m,
                                                double water_table_over_bottom_m);
// (6), held_over_bottom_m <= 0.
[[nodiscard]] double bottom_intake_over_m_per_day(const BottomConductance& bottom,
                                                  double resistance_day, double pond_m,
                                                  double held_over_bottom_m);
[[nodiscard]] double bottom_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                                             double pond_m,
                                             double water_table_over_bottom_m = far_below_m);

}  // namespace restwell
