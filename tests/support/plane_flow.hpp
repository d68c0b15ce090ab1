// Steady plane flow from one side of a water-filled trench into Gardner soil: an independent check
// of models/trench.hpp that shares no equation with it but the soil's.
//
// Unknown: the Kirchhoff potential phi, K dp = d phi: phi = Ks/alpha exp(alpha p) for p < 0,
// Ks/alpha
// + Ks p above. Flux -grad phi + K down, K = alpha phi or Ks. Finite volumes on a stretched grid,
// half of the trench by symmetry, no flow at the ground, the far side and above the water, unit
// gradient below; Newton's method, banded elimination. The wall carries a layer of resistance R.
#pragma once

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <vector>

namespace restwell::test {

struct PlaneTrench {
  double width_m = 0.6, pond_m = 0.3;
  double kfs_m_per_day = 0.25, alpha_per_m = 12.0;
  double side_resistance_day = 0.0, bottom_resistance_day = 0.0;
  double ground_above_water_m = 0.6;
  double refine = 1.0;  // finer grid
};
struct PlaneIntake {
  double side_m2_per_day = 0.0, bottom_m2_per_day = 0.0;  // per metre of length, both sides
};

class PlaneFlow {
 public:
  explicit PlaneFlow(const PlaneTrench& t) : t_(t), k_(t.kfs_m_per_day), alpha_(t.alpha_per_m) {
    const double least = std::min({0.01, t.width_m / 16, t.pond_m / 8}) / t.refine;
    const double half = t.width_m / 2;
    bottom_z_ = t.pond_m + t.ground_above_water_m;
    water_z_ = t.ground_above_water_m;
    join(x_, mirrored(spaced(half, least), half));
    join(x_, shifted(spaced(std::max(6.0, 10 / alpha_), least), half));
    join(z_, mirrored(spaced(water_z_, least), water_z_));
    const auto part = spaced(t.pond_m / 2, least);
    join(z_, shifted(part, water_z_));
    join(z_, mirrored(part, bottom_z_));
    join(z_, shifted(spaced(std::max(6.0, 12 / alpha_), least), bottom_z_));
    nx_ = x_.size() - 1;
    nz_ = z_.size() - 1;
    band_ = std::min(nx_, nz_);
  }

  PlaneIntake steady() {
    const std::size_t n = nx_ * nz_;
    std::vector<double> phi(n, 0.02 * k_ / alpha_);
    for (int iteration = 0; iteration < 60; ++iteration) {
      assemble(phi);
      const std::vector<double> step = solved();
      double change = 0.0, largest = 0.0;
      for (std::size_t i = 0; i < n; ++i) {
        const double next = std::max(phi[i] - step[i], 0.1 * phi[i]);
        change = std::max(change, std::abs(next - phi[i]));
        largest = std::max(largest, next);
        phi[i] = next;
      }
      if (change < 1e-8 * largest) return intake_;
    }
    throw std::runtime_error("plane flow does not converge");
  }

 private:
  using Values = std::vector<double>;

  // Faces from 0 to a length, each interval a fifth wider than the last.
  [[nodiscard]] Values spaced(double length, double least) const {
    Values f{0.0};
    for (double h = least; f.back() < length; h *= 1.0 + 0.2 / t_.refine) f.push_back(f.back() + h);
    const double scale = length / f.back();
    for (double& v : f) v *= scale;
    return f;
  }
  static Values shifted(Values f, double by) {
    for (double& v : f) v += by;
    return f;
  }
  static Values mirrored(Values f, double end) {
    std::ranges::reverse(f);
    for (double& v : f) v = end - v;
    return f;
  }
  static void join(Values& faces, const Values& more) {
    faces.insert(faces.end(), more.begin() + (faces.empty() ? 0 : 1), more.end());
  }

  [[nodiscard]] double dx(std::size_t i) const { return x_[i + 1] - x_[i]; }
  [[nodiscard]] double dz(std::size_t j) const { return z_[j + 1] - z_[j]; }
  [[nodiscard]] double mid_x(std::size_t i) const { return (x_[i] + x_[i + 1]) / 2; }
  [[nodiscard]] double mid_z(std::size_t j) const { return (z_[j] + z_[j + 1]) / 2; }
  [[nodiscard]] bool soil(std::size_t i, std::size_t j) const {
    return mid_x(i) > t_.width_m / 2 || mid_z(j) > bottom_z_;
  }
  [[nodiscard]] std::size_t cell(std::size_t i, std::size_t j) const {
    return nx_ <= nz_ ? j * nx_ + i : i * nz_ + j;
  }
  [[nodiscard]] double conductivity(double phi) const { return std::min(k_, alpha_ * phi); }
  [[nodiscard]] double slope(double phi) const { return phi >= k_ / alpha_ ? 0.0 : alpha_; }
  [[nodiscard]] double potential(double p) const {
    return p >= 0 ? k_ / alpha_ + k_ * p : k_ / alpha_ * std::exp(alpha_ * p);
  }

  struct Flux {
    double q, slope;  // into the soil [m/day], and against phi of the cell
  };
  // Through a wall under the head h with a layer, half a cell from the cell's middle.
  [[nodiscard]] Flux through_wall(double phi, double half, double h, double r, double g) const {
    if (r <= 0.0) return {(potential(h) - phi) / half + g * conductivity(potential(h)), -1 / half};
    double low = -300.0, high = h;
    for (int i = 0; i < 100; ++i) {
      const double p = (low + high) / 2;
      const double soil_takes = (potential(p) - phi) / half + g * conductivity(potential(p));
      ((h - p) / r > soil_takes ? low : high) = p;
    }
    const double p = (low + high) / 2;
    const double d_phi = p >= 0 ? k_ : alpha_ * potential(p);
    const double d_soil = d_phi / half + (p >= 0 ? 0.0 : g * alpha_ * d_phi);
    return {(h - p) / r, -1 / half / (1 + r * d_soil)};
  }

  double& at(std::size_t row, std::size_t column) {
    return matrix_[row * (2 * band_ + 1) + (column + band_ - row)];
  }
  void exchange(std::size_t from, std::size_t to, double flow, double d_from, double d_to) {
    residual_[from] += flow;
    residual_[to] -= flow;
    at(from, from) += d_from;
    at(from, to) += d_to;
    at(to, from) -= d_from;
    at(to, to) -= d_to;
  }
  void enters(std::size_t c, const Flux& f, double area, double& sum) {
    residual_[c] -= f.q * area;
    at(c, c) -= f.slope * area;
    sum += 2 * f.q * area;
  }

  void assemble(const Values& phi) {
    matrix_.assign(nx_ * nz_ * (2 * band_ + 1), 0.0);
    residual_.assign(nx_ * nz_, 0.0);
    intake_ = {};
    for (std::size_t i = 0; i < nx_; ++i) {
      for (std::size_t j = 0; j < nz_; ++j) {
        const std::size_t c = cell(i, j);
        if (!soil(i, j)) {
          at(c, c) = 1.0;
          continue;
        }
        if (i + 1 < nx_) {
          const double g = dz(j) / (mid_x(i + 1) - mid_x(i));
          const std::size_t o = cell(i + 1, j);
          exchange(c, o, g * (phi[c] - phi[o]), g, -g);
        }
        if (j + 1 < nz_) {
          const double distance = mid_z(j + 1) - mid_z(j), g = dx(i) / distance;
          const double up = std::max(0.5, 1 - 1 / (alpha_ * distance));  // no wiggles
          const std::size_t o = cell(i, j + 1);
          exchange(c, o,
                   g * (phi[c] - phi[o]) +
                       dx(i) * (up * conductivity(phi[c]) + (1 - up) * conductivity(phi[o])),
                   g + dx(i) * up * slope(phi[c]), -g + dx(i) * (1 - up) * slope(phi[o]));
        } else {
          residual_[c] += dx(i) * conductivity(phi[c]);
          at(c, c) += dx(i) * slope(phi[c]) + 1e-12;
        }
        if (i > 0 && !soil(i - 1, j) && mid_z(j) > water_z_)
          enters(c, through_wall(phi[c], dx(i) / 2, mid_z(j) - water_z_, t_.side_resistance_day, 0),
                 dz(j), intake_.side_m2_per_day);
        if (j > 0 && !soil(i, j - 1)) {
          const double layer_m = t_.bottom_resistance_day > 0 ? 0.02 : 0.0;
          enters(c,
                 through_wall(phi[c], dz(j) / 2, t_.pond_m + layer_m, t_.bottom_resistance_day, 1),
                 dx(i), intake_.bottom_m2_per_day);
        }
      }
    }
  }

  // matrix_ x = residual_, without pivoting.
  Values solved() {
    const std::size_t n = residual_.size(), w = 2 * band_ + 1;
    for (std::size_t p = 0; p < n; ++p) {
      const std::size_t last = std::min(n - 1, p + band_);
      const double* pivot = &matrix_[p * w + band_];
      for (std::size_t q = p + 1; q <= last; ++q) {
        double* row = &matrix_[q * w + (p + band_ - q)];
        if (row[0] == 0.0) continue;
        const double factor = row[0] / pivot[0];
        for (std::size_t k = 0; k <= last - p; ++k) row[k] -= factor * pivot[k];
        residual_[q] -= factor * residual_[p];
      }
    }
    Values x = residual_;
    for (std::size_t p = n; p-- > 0;) {
      const std::size_t last = std::min(n - 1, p + band_);
      for (std::size_t q = p + 1; q <= last; ++q) x[p] -= at(p, q) * x[q];
      x[p] /= at(p, p);
    }
    return x;
  }

  PlaneTrench t_;
  double k_, alpha_, bottom_z_ = 0.0, water_z_ = 0.0;
  std::size_t nx_ = 0, nz_ = 0, band_ = 0;
  Values x_, z_, matrix_, residual_;
  PlaneIntake intake_;
};

inline PlaneIntake plane_intake(const PlaneTrench& t) { return PlaneFlow(t).steady(); }

}  // namespace restwell::test
