// Intake of one ring of wall, or of the bottom: a clogged layer and the soil behind it in series.
//
// Layer: q = (h - p)/R, h the head on it, p the soil's pressure head behind it, R its resistance
// [day]. Soil at the side, conductance kappa = f_wt Kfs/(C a) [1/day]:
//     q = kappa (2 max(p, 0) + exp(alpha min(p, 0))/alpha)                                  (1)
// Solved: p = (h/R - kappa/alpha)/(1/R + 2 kappa); if p >= 0, q = (h - p)/R; else
//     q = W0(kappa R exp(alpha h))/(alpha R)   (Lambert W; the argument's logarithm is used). (2)
// Bottom, layer of thickness z_b (none if R = 0), h = H + z_b; the soil takes K by gravity and
// spreads water with the conductance kappa_b [1/day]:
//     q = Kfs exp(alpha min(p, 0)) + kappa_b (max(p, 0) + exp(alpha min(p, 0))/alpha)       (3)
// With K_e = Kfs + kappa_b/alpha, its intake at p = 0: if h >= R K_e, q = (K_e + kappa_b h)/(1 +
// kappa_b R); else q = W0(alpha R K_e exp(alpha h))/(alpha R).                              (4)
// Limits: R -> 0 gives kappa (2 h + 1/alpha) (borehole theory); R large gives the crust equation
// q = (h + |psi| + z_b)/R = K(psi) (Hillel & Gardner 1969; Bouma 1975).
#pragma once

namespace restwell {

// Solves w + ln w = log_argument, i.e. w = W0(exp(log_argument)), for any finite argument without
// overflow; relative error below 1e-13.
[[nodiscard]] double lambert_w_of_exp(double log_argument);

// Side intake q [m/day] at mean head_m >= 0 over the wetted part; resistance_day >= 0.
struct SideConductance {
  double kappa_per_day;
  double alpha_per_m;
};
[[nodiscard]] double side_intake_m_per_day(const SideConductance& side, double resistance_day,
                                           double head_m);

// Bottom intake q [m/day] at pond_m over the bottom. Without spread: a unit gradient below.
struct BottomConductance {
  double kfs_m_per_day;
  double alpha_per_m;
  double spread_per_day = 0.0;  // kappa_b
  double layer_m = 0.02;
};
[[nodiscard]] double bottom_intake_m_per_day(const BottomConductance& bottom, double resistance_day,
                                             double pond_m);

}  // namespace restwell
