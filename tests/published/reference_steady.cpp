// The reference solver against steady solutions: Gardner column, Wooding's disc.
#include <Eigen/Dense>
#include <cmath>
#include <numbers>

#include "tests/reference/column.hpp"
#include "tests/support/rows.hpp"

using namespace restwell::reference;
using restwell::test::check_row;
using std::numbers::pi;

namespace {

// Flux over Ks from a disc of radius a at p = 0 into a Gardner soil, x = alpha a: Galerkin solution
// of the dual integral equations of the steady, linear flow problem (derived here). With lengths
// over a, the disc's flux f(r) = sum c_n (1 - r^2)^(n - 1/2) has the Hankel transforms
// F_n = j_n(k)/k^n, and phi on the disc is int f J0(k r) k/(s + x/2) dk, s = sqrt(k^2 + x^2/4).
double disc_flux_over_ks(double x, int terms) {
  Eigen::MatrixXd m = Eigen::MatrixXd::Zero(terms, terms);
  Eigen::VectorXd f(terms), at_zero(terms);
  const double k_end = 300;
  constexpr int steps = 30000;  // Simpson
  for (int i = 0; i <= steps; ++i) {
    const double k = std::max(k_end * i / steps, 1e-6);
    const double w = (i == 0 || i == steps ? 1.0 : i % 2 == 1 ? 4.0 : 2.0) * k_end / steps / 3;
    for (int n = 0; n < terms; ++n)
      f(n) = std::sph_bessel(static_cast<unsigned>(n), k) / std::pow(k, n);
    m += w * k / (std::sqrt(k * k + x * x / 4) + x / 2) * f * f.transpose();
  }
  m(0, 0) += 0.5 / k_end;  // the tail, sin^2 k/k^2
  double factor = 1;
  for (int n = 0; n < terms; ++n) at_zero(n) = factor /= 2 * n + 1;
  return 2 / x * m.ldlt().solve(at_zero).dot(at_zero);
}

double solver_flux_over_ks(double x, double edge_cell_m) {
  DiscProblem disc;
  disc.radius_m = 0.1;
  disc.soil = Soil::gardner(1, x / disc.radius_m);
  disc.edge_cell_m = edge_cell_m;
  disc.far_m = disc.depth_m = x < 0.1 ? 20 : 5;
  const FlowProblem flow = build(disc);
  State state = uniform_pressure(flow, -0.1);
  solve_steady(flow, state);
  return side_flow_m3_per_day(flow, state, Side::top) / (pi * 0.01);
}

}  // namespace

TEST_CASE("A steady Gardner column is exact on any grid") {
  // K(z) = q + (Ks - q) exp(-alpha z) over a water table (Gardner 1958, Soil Sci. 85:228).
  for (const double cell_m : {0.2, 0.05}) {
    for (const double alpha : {1.0, 10.0, 36.0}) {
      ColumnProblem column;
      column.length_m = 1;
      column.layers = {{1, Soil::gardner(0.1, alpha)}};
      column.top = {Boundary::Kind::flux, 0.03, 0};
      column.base = {Boundary::Kind::pressure, 0, 0};
      column.cell_top_m = column.cell_base_m = cell_m;
      const FlowProblem flow = build(column);
      State state = uniform_pressure(flow, -0.2);
      solve_steady(flow, state);
      for (std::size_t i = 0; i < flow.network.cells.size(); ++i) {
        const double z = flow.network.cells[i].z_m() + 1;
        const double k = 0.03 + 0.07 * std::exp(-alpha * z);
        check_row("z " + std::to_string(z), state.pressure_m[static_cast<Eigen::Index>(i)],
                  std::log(k / 0.1) / alpha, 1e-9, "Gardner 1958, closed form", 1e-12);
      }
    }
  }
}

TEST_CASE("Steady flux from a disc of water on the ground") {
  for (const double x : {0.02, 0.5, 2.0}) {
    const double exact = disc_flux_over_ks(x, 4);
    // The flux is singular at the disc's edge, so the error goes as the cell there: 2 fine -
    // coarse.
    const double coarse = solver_flux_over_ks(x, 0.002), fine = solver_flux_over_ks(x, 0.001);
    const std::string inputs = "alpha a " + std::to_string(x);
    check_row(inputs, fine, exact, 0.008, "Galerkin solution of the dual integral equations");
    check_row(inputs + ", extrapolated", 2 * fine - coarse, exact, 0.003,
              "Galerkin solution of the dual integral equations");
    // Wooding 1968 (Water Resour. Res. 4:1259), two terms for small discs: 354.648 cm/day for
    // a 10 cm, alpha .05 1/cm, Ks 100 cm/day. The exact flux lies up to 6.6 % above it.
    check_row(inputs, fine, 1 + 4 / (pi * x), 0.075, "Wooding 1968, two terms");
  }
}
