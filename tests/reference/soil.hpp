// Hydraulic functions of the reference solver's soils. Units: m, day. Pressure head p_m < 0 is
// unsaturated; at p >= 0 the soil is full and K = Ks.
//
// Besides K(p) and theta(p) every soil knows its Kirchhoff potential phi(p) = int_-inf^p K dp
// [m2/day]: the mean conductivity between two pressures is then (phi1 - phi2)/(p1 - p2) exactly.
#pragma once

#include <functional>
#include <memory>
#include <string>

namespace restwell::reference {

// All functions at one pressure. capacity = dtheta/dp [1/m], dk = dK/dp [1/day].
struct SoilPoint {
  double theta, capacity, k, dk, phi;
};

class Soil {
 public:
  // K = Ks exp(alpha p) (Gardner 1958), theta = theta_r + (theta_s - theta_r) K/Ks.
  static Soil gardner(double ks_m_per_day, double alpha_per_m, double theta_s = 0.40,
                      double theta_r = 0.10);
  // van Genuchten 1980: Se = (1 + (alpha |p|)^n)^-m, m = 1 - 1/n,
  // K = Ks Se^l (1 - (1 - Se^(1/m))^m)^2. With an air entry suction h_e the soil stays full down to
  // -h_e and both functions are scaled to start there (Ippisch, Vogel & Bastian 2006, Adv. Water
  // Resour. 29:1780); at n < 1.3 K without it falls to a fraction within the first millimetre
  // (Vogel, van Genuchten & Cislerova 2001, Adv. Water Resour. 24:133, use 2 cm).
  static Soil van_genuchten(double ks_m_per_day, double alpha_per_m, double n, double theta_s,
                            double theta_r, double air_entry_m = 0, double l = 0.5);
  // Yolo light clay, functions of Haverkamp et al. 1977 (Soil Sci. Soc. Am. J. 41:285), p in cm:
  // theta = .124 + 739 (.495 - .124)/(739 + (ln|p|)^4) below -1 cm, K = Ks 124.6/(124.6 +
  // |p|^1.77), Ks = 1.23e-5 cm/s.
  static Soil yolo_light_clay();
  // Any functions of p < 0: fills theta, capacity, k, dk (phi is integrated numerically).
  using Functions = std::function<SoilPoint(double p_m)>;
  static Soil from_functions(double ks_m_per_day, double theta_s, Functions below_zero);

  [[nodiscard]] SoilPoint at(double p_m) const;
  // Inverse of phi; phi > 0. Clamped at the dry end of the table (-1e4 m) for tabulated soils.
  [[nodiscard]] double pressure_at_phi(double phi) const;
  [[nodiscard]] double ks_m_per_day() const { return ks_; }
  [[nodiscard]] double theta_s() const { return theta_s_; }
  [[nodiscard]] double driest_theta() const { return theta_r_; }
  // Capillary length phi(0)/Ks [m]; 1/alpha for Gardner soils.
  [[nodiscard]] double capillary_length_m() const { return phi0_ / ks_; }

 private:
  struct Table;
  double ks_ = 0, alpha_ = 0, theta_s_ = 0, theta_r_ = 0, phi0_ = 0;
  std::shared_ptr<const Table> table_;  // empty for Gardner soils, whose phi = K/alpha
};

}  // namespace restwell::reference
