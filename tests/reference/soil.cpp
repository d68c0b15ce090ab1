#include "tests/reference/soil.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace restwell::reference {

namespace {

// Over the last tenth of a millimetre K and theta run straight to their full values: slopes stay
// finite.
constexpr double wet_end_m = 1e-4, dry_end_m = 1e4, node_step = 0.005;  // step in ln|p|

double gauss_integral(const std::function<double(double)>& f, double from, double to) {
  constexpr double x[] = {0.0, 0.5384693101056831, 0.9061798459386640};
  constexpr double w[] = {0.5688888888888889, 0.4786286704993665, 0.2369268850561891};
  const double half = 0.5 * (to - from), middle = 0.5 * (to + from);
  double sum = w[0] * f(middle);
  for (int j = 1; j < 3; ++j) sum += w[j] * (f(middle + x[j] * half) + f(middle - x[j] * half));
  return sum * half;
}

}  // namespace

// phi at nodes s_i = ln|p|, i from wet to dry; cubic Hermite between, with dphi/ds = K p exact.
struct Soil::Table {
  Functions functions;
  std::vector<double> phi, slope;

  [[nodiscard]] double phi_at(std::size_t i, double u) const {
    const double v = 1 - u;
    return phi[i] * v * v * (1 + 2 * u) + phi[i + 1] * u * u * (1 + 2 * v) +
           node_step * u * v * (slope[i] * v - slope[i + 1] * u);
  }
};

Soil Soil::gardner(double ks_m_per_day, double alpha_per_m, double theta_s, double theta_r) {
  Soil soil;
  soil.ks_ = ks_m_per_day;
  soil.alpha_ = alpha_per_m;
  soil.theta_s_ = theta_s;
  soil.theta_r_ = theta_r;
  soil.phi0_ = ks_m_per_day / alpha_per_m;
  return soil;
}

Soil Soil::from_functions(double ks_m_per_day, double theta_s, Functions below_zero) {
  Soil soil;
  soil.ks_ = ks_m_per_day;
  soil.theta_s_ = theta_s;
  soil.theta_r_ = below_zero(-dry_end_m).theta;
  auto table = std::make_shared<Table>();
  table->functions = std::move(below_zero);
  const auto k_times_size = [&](double s) {  // dphi/d(-s)
    const double size = std::exp(s);
    return table->functions(-size).k * size;
  };
  const double s0 = std::log(wet_end_m);
  const auto n = static_cast<std::size_t>(std::ceil((std::log(dry_end_m) - s0) / node_step)) + 1;
  table->phi.resize(n);
  table->slope.resize(n);
  for (std::size_t k = n; k-- > 0;) {
    const double s = s0 + static_cast<double>(k) * node_step;
    table->slope[k] = -k_times_size(s);
    // The rest beyond the dry end counts as if K fell as p^-2 from there.
    table->phi[k] = k + 1 == n ? -table->slope[k]
                               : table->phi[k + 1] + gauss_integral(k_times_size, s, s + node_step);
  }
  soil.phi0_ = table->phi[0] + wet_end_m * 0.5 * (ks_m_per_day + table->functions(-wet_end_m).k);
  soil.table_ = std::move(table);
  return soil;
}

Soil Soil::van_genuchten(double ks_m_per_day, double alpha_per_m, double n, double theta_s,
                         double theta_r, double air_entry_m, double l) {
  const double m = 1 - 1 / n;
  const double x_entry = std::pow(alpha_per_m * air_entry_m, n);
  const double se_entry = std::pow(1 + x_entry, -m);
  const double g_entry = 1 - std::pow(x_entry / (1 + x_entry), m);
  return from_functions(ks_m_per_day, theta_s, [=](double p) {
    if (-p <= air_entry_m) return SoilPoint{theta_s, 0, ks_m_per_day, 0, 0};
    const double x = std::pow(-alpha_per_m * p, n);
    const double se = std::pow(1 + x, -m) / se_entry;
    const double f = std::pow(x / (1 + x), m);  // (1 - Se^(1/m))^m
    // 1 - f loses its digits when dry: then f = exp(-m ln(1 + 1/x)).
    const double g = -std::expm1(-m * std::log1p(1 / x)) / g_entry;
    const double dse = m * n * x / (1 + x) / -p * se;  // dSe/dp
    const double k = ks_m_per_day * std::pow(se, l) * g * g;
    // dg/dp = -df/dp, f = (x/(1+x))^m, dx/dp = n x/p.
    const double dg = m * f / (1 + x) * n / -p / g_entry;
    const double dk = k * (l * dse / se + 2 * dg / g);
    return SoilPoint{theta_r + (theta_s - theta_r) * se, (theta_s - theta_r) * dse, k, dk, 0};
  });
}

Soil Soil::yolo_light_clay() {
  constexpr double ks = 1.23e-7 * 86400;
  return from_functions(ks, 0.495, [](double p) {
    const double cm = -100 * p;
    const double power = std::pow(cm, 1.77);
    const double k = ks * 124.6 / (124.6 + power);
    const double dk = k * power * 1.77 / (124.6 + power) / -p;
    if (cm <= 1) return SoilPoint{0.495, 0, k, dk, 0};
    const double l = std::log(cm), l3 = l * l * l;
    const double below = 739 + l3 * l;
    return SoilPoint{0.124 + 739 * 0.371 / below, 739 * 0.371 / (below * below) * 4 * l3 / -p, k,
                     dk, 0};
  });
}

SoilPoint Soil::at(double p_m) const {
  if (p_m >= 0) return {theta_s_, 0, ks_, 0, phi0_ + ks_ * p_m};
  if (!table_) {
    const double se = std::exp(alpha_ * p_m), k = ks_ * se;
    return {theta_r_ + (theta_s_ - theta_r_) * se, (theta_s_ - theta_r_) * alpha_ * se, k,
            alpha_ * k, k / alpha_};
  }
  const double size = std::min(-p_m, dry_end_m);
  SoilPoint point = table_->functions(-std::max(size, wet_end_m));
  const double position = (std::log(size) - std::log(wet_end_m)) / node_step;
  if (position < 0) {
    const double dk = (ks_ - point.k) / wet_end_m, dtheta = (theta_s_ - point.theta) / wet_end_m;
    return {theta_s_ - dtheta * size, dtheta, ks_ - dk * size, dk,
            phi0_ - ks_ * size + 0.5 * dk * size * size};
  }
  const auto i = std::min(static_cast<std::size_t>(position), table_->phi.size() - 2);
  point.phi = table_->phi_at(i, position - static_cast<double>(i));
  return point;
}

double Soil::pressure_at_phi(double phi) const {
  if (phi >= phi0_) return (phi - phi0_) / ks_;
  if (!table_) return std::log(phi / phi0_) / alpha_;
  const auto& nodes = table_->phi;
  if (phi >= nodes.front()) {  // phi0 - phi = Ks s - dK s^2/2
    const double dk = (ks_ - table_->functions(-wet_end_m).k) / wet_end_m;
    return -2 * (phi0_ - phi) / (ks_ + std::sqrt(ks_ * ks_ - 2 * dk * (phi0_ - phi)));
  }
  if (phi <= nodes.back()) return -dry_end_m;
  const auto above =
      std::partition_point(nodes.begin(), nodes.end(), [&](double node) { return node > phi; });
  const auto i = static_cast<std::size_t>(above - nodes.begin()) - 1;
  double low = 0, high = 1;  // phi falls with u
  double u = (nodes[i] - phi) / (nodes[i] - nodes[i + 1]);
  for (int k = 0; k < 60; ++k) {
    const double error = table_->phi_at(i, u) - phi;
    (error > 0 ? low : high) = u;
    const double slope = table_->slope[i] * (1 - u) + table_->slope[i + 1] * u;
    double next = u - error / (slope * node_step);
    if (next <= low || next >= high) next = 0.5 * (low + high);
    if (std::abs(next - u) < 1e-13) break;
    u = next;
  }
  return -std::exp(std::log(wet_end_m) + (static_cast<double>(i) + u) * node_step);
}

}  // namespace restwell::reference
