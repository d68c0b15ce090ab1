// Intake of one ring of wall, or of the bottom: a clogged layer and the soil behind it in series.
//
// Layer: q = (h - p)/R, h the head on it, p the soil's pressure head behind it, R its resistance
// [day]. Soil at the side, conductance kappa = f Kfs/(C a) [1/day], o the pressure head far from
// the wall at the same height, water table less height (far below for a far table):
//     q = kappa (P(p) - P(o)),  P(x) = 2 max(x, 0) + exp(alpha min(x, 0))/alpha               (1)
// Solved, S = 1/alpha - P(o): if h >= kappa R S, q = kappa (2 h + S)/(1 + 2 kappa R) [p >= 0]; else
//     q = (W0(kappa R exp(alpha h + kappa R E)) - kappa R E)/(alpha R),  E = exp(alpha o)     (2)
// (Lambert W; the argument's logarithm is used). Below the table (o >= 0) that is
// q = (h - o)/(R + 1/(2 kappa)), of either sign.
// Bottom, layer of thickness z_b; the soil takes K by gravity and spreads water with the
// conductance kappa_b [1/day]:
//     q = Kfs exp(alpha min(p, 0)) + kappa_b (max(p, 0) + exp(alpha min(p, 0))/alpha)         (3)
// With K_e = Kfs + kappa_b/alpha, its intake at p = 0: q = (K_e + kappa_b H)/(1 + kappa_b R) if
// H >= R K_e; K_e if H + z_b >= R K_e (the layer's own depth pulls only while the soil below is
// not full); else q = W0(alpha R K_e exp(alpha (H + z_b)))/(alpha R).                         (4)
// Never more than what the water table leaves, T over the bottom, through saturated soil of
// conductance G [1/day]: q = (H - T)/(R + 1/G), of either sign; to join the two so is assumed (5).
// Limits, far table: R -> 0 gives kappa (2 h + 1/alpha) (borehole theory); R large gives the
// crust equation q = (h + |psi| + z_b)/R = K(psi) (Hillel & Gardner 1969; Bouma 1975).
#pragma once

#include <limits>

namespace restwell {

// Solves w + ln w = log_argument, i.e. w = W0(exp(log_argument)), for any finite argument without
// overflow; relative error below 1e-13.
[[nodiscard]] double lambert_w_of_exp(double log_argument);

// A water table as high as this over anything is too far below to be felt.
inline constexpr double far_below_m = -1e9;

// Side intake q [m/day] at mean head_m >= 0 over the wetted part; resistance_day >= 0;
// outside_head_m is o of (1). Has the sign of head_m - outside_head_m.
struct SideConductance {
  double kappa_per_day;
  double alpha_per_m;
};
[[nodiscard]] double side_intake_m_per_day(const SideConductance& side, double resistance_day,
                                           double head_m, double outside_head_m = far_below_m);

// Bottom intake q [m/day] at pond_m over the bottom; a water table over the bottom presses water
// in. Without spread: a unit gradient below.
struct BottomConductance {
  double kfs_m_per_day;
  double alpha_per_m;
  double spread_per_day = 0.0;                                         // kappa_b
  double saturated_per_day = std::numeric_limits<double>::infinity();  // G of (5)
  double layer_m = 0.02;
};
[[nodiscard]] double bottom_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                                             double pond_m,
                                             double water_table_over_bottom_m = far_below_m);

}  // namespace restwell
