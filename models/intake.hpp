// Intake of one ring of wall, or of the bottom: a clogged layer and the soil behind it in series.
//
// Layer: q = (h - p)/R, h the head on it, p the soil's pressure head behind it, R its resistance
// [day]. Soil at the side, conductance kappa = f_wt Kfs/(C a) [1/day], o the pressure head far from
// the wall at the same height, water table less height (far below for a far table):
//     q = kappa (P(p) - P(o)),  P(x) = 2 max(x, 0) + exp(alpha min(x, 0))/alpha               (1)
// Solved, S = 1/alpha - P(o): if h >= kappa R S, q = kappa (2 h + S)/(1 + 2 kappa R) [p >= 0]; else
//     q = (W0(kappa R exp(alpha h + kappa R E)) - kappa R E)/(alpha R),  E = exp(alpha o)     (2)
// (Lambert W; the argument's logarithm is used). Below the table (o >= 0) that is
// q = (h - o)/(R + 1/(2 kappa)), of either sign.
// Bottom, layer of thickness z_b: p = H + z_b - R Kfs; if p >= 0, q = Kfs; else
//     q = W0(alpha R Kfs exp(alpha (H + z_b)))/(alpha R),                                     (3)
// and never more than what the water table leaves, T over the bottom, through saturated soil of
// conductance G [1/day]: q = (H - T)/(R + 1/G), of either sign.                               (4)
// (3) with (4) is the exact solution for a soil that takes the lesser of unit gradient, K(p), and G
// times the head over the table: an assumption that joins the two.
// Limits, far table: R -> 0 gives kappa (2 h + 1/alpha) (borehole theory); R large gives the crust
// equation q = (h + |psi| + z_b)/R = K(psi) (Hillel & Gardner 1969; Bouma 1975).
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
// in.
struct BottomConductance {
  double kfs_m_per_day;
  double alpha_per_m;
  double layer_m = 0.02;
  double saturated_per_day = std::numeric_limits<double>::infinity();  // G of (4)
};
[[nodiscard]] double bottom_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                                             double pond_m,
                                             double water_table_over_bottom_m = far_below_m);

}  // namespace restwell
