// The reference solver against steady solutions: Gardner column, Wooding's disc.
#include <Eigen/Dense>
#include <cmath>
#include <numbers>

#include "tests/reference/column.hpp"
#include "tests/reference/pit.hpp"
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

TEST_CASE("Radial and plane flow in a full layer: Thiem and Darcy") {
  // One layer of cells 1 m high between heads 2 m and 1 m at r = 0.1 and 10 m (Thiem 1906), or in a
  // slice 9.9 m long.
  for (const Shape shape : {Shape::axisymmetric, Shape::plane}) {
    FlowProblem flow;
    flow.network =
        make_network(shape, false, graded_nodes({0.1, 10}, {{0.1, 0.02}}, 0.3, 1e9), {0, 1},
                     {0, 1e9}, {Soil::gardner(2, 10)}, [](double, double) { return 0; });
    for (const Edge& e : flow.network.edges) {
      Boundary b;
      if (e.side == Side::inner) b = {Boundary::Kind::pressure, 2, 0};
      if (e.side == Side::outer) b = {Boundary::Kind::pressure, 1, 0};
      flow.boundary.push_back(b);
    }
    State state = uniform_pressure(flow, 1.5);
    solve_steady(flow, state);
    const bool round = shape == Shape::axisymmetric;
    check_row(round ? "ring" : "slice", side_flow_m3_per_day(flow, state, Side::inner),
              round ? 2 * pi * 2 / std::log(100.0) : 2 / 9.9, 1e-8,
              round ? "Thiem 1906" : "Darcy's law");
  }
}

TEST_CASE("Seepage through a dam and into a well: Dupuit's discharge, exact with a seepage face") {
  // Head 10 m at r = 12 m (well) or 10 m away (dam), 2 m inside, tight base: discharge is exactly
  // K (H^2 - h^2)/(2 L), or pi K (H^2 - h^2)/ln(R/a), whatever the seepage face's height (Charny
  // 1951). The capillary fringe adds about 2/(alpha (H + h)): 0.5 % here.
  for (const Shape shape : {Shape::axisymmetric, Shape::plane}) {
    FlowProblem flow;
    flow.network = make_network(shape, false, graded_nodes({2, 12}, {{2, 0.04}}, 0.12, 0.5),
                                graded_nodes({0, 2, 12}, {{2, 0.05}}, 0.12, 0.2), {0, 1e9},
                                {Soil::gardner(1, 36)}, [](double, double) { return 0; });
    for (const Edge& e : flow.network.edges) {
      const double z = 0.5 * (e.z_low_m + e.z_high_m);
      Boundary b;
      if (e.side == Side::inner && z < 2) b = {Boundary::Kind::pressure, 2 - z, 0};
      if (e.side == Side::inner && z > 2) b.kind = Boundary::Kind::seepage;
      if (e.side == Side::outer) b = {Boundary::Kind::pressure, 10 - z, 0};
      flow.boundary.push_back(b);
    }
    State state = hydrostatic(flow, 10);
    solve_steady(flow, state);
    const bool round = shape == Shape::axisymmetric;
    const double dupuit = round ? pi * 96 / std::log(6.0) : 96.0 / 20;
    check_row(round ? "well" : "dam", -side_flow_m3_per_day(flow, state, Side::inner), dupuit,
              0.015, "Dupuit 1863, proved by Charny 1951 (from memory)");
  }
}

TEST_CASE("Shape factor of the constant-head well") {
  // Q = Kfs (2 pi H^2/C + pi a^2 + 2 pi H/(alpha C)) (Reynolds & Elrick 1985), solved for C.
  // Expected C: fits of Zhang et al. 1998 (from memory), for their boreholes of a few centimetres.
  struct Row {
    double alpha_per_m, ratio, expected;
  };
  const auto zhang = [](double alpha, double x) {
    if (alpha < 2) return std::pow(x / (2.081 + 0.121 * x), 0.672);
    if (alpha < 8) return std::pow(x / (1.992 + 0.091 * x), 0.683);
    return std::pow(x / (2.074 + 0.093 * x), 0.754);
  };
  for (const double alpha : {1.0, 4.0, 12.0, 36.0}) {
    for (const double ratio : {1.0, 2.0, 5.0, 10.0}) {
      PitProblem well;
      well.radius_m = 0.05;
      well.pond_m = ratio * well.radius_m;
      well.depth_m = well.pond_m + 1;
      well.layers = {{1e9, Soil::gardner(1, alpha)}};
      const double q = steady_intake(well).total_m3_per_day;
      const double a = well.radius_m, h = well.pond_m;
      const double c = 2 * pi * (h * h + h / alpha) / (q - pi * a * a);
      const std::string inputs =
          "alpha " + std::to_string(alpha) + " 1/m, H/a " + std::to_string(ratio);
      // 12 1/m is the soil their third fit was made for; 36 shares it, and the ends stray.
      check_row(inputs, c, zhang(alpha, ratio), alpha == 12 ? 0.03 : 0.10,
                "Zhang et al. 1998, fits to C of Reynolds & Elrick (from memory)");
      // Glover's source line (Zangar 1953) has neither gravity nor suction: its C lies low.
      const double glover = std::asinh(ratio) - std::sqrt(1 + 1 / (ratio * ratio)) + 1 / ratio;
      INFO(inputs << ": C " << c << ", Glover " << glover);
      CHECK(c > glover);
      CHECK(c < 1.3 * glover);
    }
  }
}
