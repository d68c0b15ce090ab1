#include "tests/reference/flow.hpp"

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCore>
#include <Eigen/SparseLU>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

#include "tests/reference/flux.hpp"

namespace restwell::reference {

using Eigen::VectorXd;

std::vector<double> edge_flow_m3_per_day(const FlowProblem& problem, const State& state) {
  std::vector<double> flow(problem.network.edges.size());
  for (std::size_t e = 0; e < flow.size(); ++e) {
    const Edge& edge = problem.network.edges[e];
    flow[e] = edge.area_m2 * edge_flow(problem, e, state.pressure_m[edge.cell], state.level_m).q;
  }
  return flow;
}

VectorXd water_content(const FlowProblem& problem, const VectorXd& pressure_m) {
  VectorXd theta(pressure_m.size());
  for (Eigen::Index i = 0; i < theta.size(); ++i) {
    const Cell& c = problem.network.cells[static_cast<std::size_t>(i)];
    theta[i] = problem.network.soils[static_cast<std::size_t>(c.soil)].at(pressure_m[i]).theta;
  }
  return theta;
}

VectorXd stored(const FlowProblem& problem, const VectorXd& pressure_m) {
  return water_content(problem, pressure_m) +
         problem.specific_storage_per_m * pressure_m.cwiseMax(0.0);
}

namespace {

// Order of elimination by nested dissection: cells on a middle line of the grid come after those on
// its two sides. Far less fill than an ordering that does not know the grid.
struct Dissection {
  std::vector<int> column, row;  // of every cell in the grid
  std::vector<int> order;        // cells in order of elimination

  explicit Dissection(const std::vector<Cell>& cells) {
    const auto ranks = [&](const auto& coordinate) {
      std::vector<double> lines;
      for (const Cell& c : cells) lines.push_back(coordinate(c));
      std::sort(lines.begin(), lines.end());
      lines.erase(std::unique(lines.begin(), lines.end()), lines.end());
      std::vector<int> rank;
      for (const Cell& c : cells)
        rank.push_back(static_cast<int>(
            std::lower_bound(lines.begin(), lines.end(), coordinate(c)) - lines.begin()));
      return rank;
    };
    column = ranks([](const Cell& c) { return c.r_low_m; });
    row = ranks([](const Cell& c) { return c.z_low_m; });
    std::vector<int> all(cells.size());
    std::iota(all.begin(), all.end(), 0);
    split(std::move(all));
  }

  void split(std::vector<int> part) {
    const auto range = [&](const std::vector<int>& rank) {
      const auto [low, high] = std::minmax_element(
          part.begin(), part.end(), [&](int a, int b) { return rank[at(a)] < rank[at(b)]; });
      return rank[at(*high)] - rank[at(*low)];
    };
    if (part.size() <= 8) {
      order.insert(order.end(), part.begin(), part.end());
      return;
    }
    const std::vector<int>& rank = range(column) >= range(row) ? column : row;
    std::nth_element(part.begin(), part.begin() + static_cast<std::ptrdiff_t>(part.size() / 2),
                     part.end(), [&](int a, int b) { return rank[at(a)] < rank[at(b)]; });
    const int middle = rank[at(part[part.size() / 2])];
    std::vector<int> below, above, line;
    for (const int cell : part)
      (rank[at(cell)] < middle ? below : rank[at(cell)] > middle ? above : line).push_back(cell);
    split(std::move(below));
    split(std::move(above));
    order.insert(order.end(), line.begin(), line.end());
  }

  static std::size_t at(int i) { return static_cast<std::size_t>(i); }
};

}  // namespace

struct NewtonSolver::Work {
  const FlowProblem& problem;
  std::vector<int> cell_at;  // cell eliminated n-th: rows and columns of the matrix
  Eigen::SparseMatrix<double> matrix;
  Eigen::SparseLU<Eigen::SparseMatrix<double>, Eigen::NaturalOrdering<int>> lu;
  std::vector<double*> diagonal, upper_lower;  // entries: (i, i); (a, b) and (b, a) by face
  std::vector<SoilPoint> points;
  VectorXd residual, by_level;  // and the residual's derivative by the pond's level
  VectorXd intake_by_pressure;
  double pond_residual = 0, pond_by_level = 0, throughput = 0;

  explicit Work(const FlowProblem& p) : problem(p) {
    const auto n = static_cast<Eigen::Index>(p.network.cells.size());
    cell_at = Dissection(p.network.cells).order;
    std::vector<int> place(cell_at.size());
    for (int i = 0; i < n; ++i)
      place[static_cast<std::size_t>(cell_at[static_cast<std::size_t>(i)])] = i;
    const auto at = [&](int cell) { return place[static_cast<std::size_t>(cell)]; };
    std::vector<Eigen::Triplet<double>> entries;
    for (int i = 0; i < n; ++i) entries.emplace_back(i, i, 1.0);
    for (const Face& f : p.network.faces) {
      entries.emplace_back(at(f.a), at(f.b), 1.0);
      entries.emplace_back(at(f.b), at(f.a), 1.0);
    }
    matrix.resize(n, n);
    matrix.setFromTriplets(entries.begin(), entries.end());
    matrix.makeCompressed();
    for (int i = 0; i < n; ++i) diagonal.push_back(&matrix.coeffRef(at(i), at(i)));
    for (const Face& f : p.network.faces) {
      upper_lower.push_back(&matrix.coeffRef(at(f.a), at(f.b)));
      upper_lower.push_back(&matrix.coeffRef(at(f.b), at(f.a)));
    }
    lu.isSymmetric(true);
    lu.setPivotThreshold(0.1);
    lu.analyzePattern(matrix);
    points.resize(p.network.cells.size());
    residual.resize(n);
    by_level.resize(n);
    intake_by_pressure.resize(n);
  }

  // Solves matrix x = right; both by cell.
  [[nodiscard]] VectorXd solve(const VectorXd& right) const {
    VectorXd ordered(right.size()), x(right.size());
    for (Eigen::Index i = 0; i < right.size(); ++i)
      ordered[i] = right[cell_at[static_cast<std::size_t>(i)]];
    ordered = lu.solve(ordered).eval();
    for (Eigen::Index i = 0; i < right.size(); ++i)
      x[cell_at[static_cast<std::size_t>(i)]] = ordered[i];
    return x;
  }

  // Residual [m3/day]: storage gain less inflow; with derivatives by p if asked.
  void evaluate(const State& state, const VectorXd& base, double dt, const PondBalance* pond,
                bool jacobian) {
    const Network& net = problem.network;
    residual.setZero();
    throughput = 0;
    if (jacobian) {
      std::fill_n(matrix.valuePtr(), matrix.nonZeros(), 0.0);
      by_level.setZero();
      intake_by_pressure.setZero();
    }
    for (std::size_t i = 0; i < net.cells.size(); ++i) {
      const auto at = static_cast<Eigen::Index>(i);
      const double p = state.pressure_m[at];
      points[i] = net.soils[static_cast<std::size_t>(net.cells[i].soil)].at(p);
      if (std::isinf(dt)) continue;
      const double per = net.cells[i].volume_m3 / dt, ss = problem.specific_storage_per_m;
      residual[at] += per * (points[i].theta + ss * std::max(p, 0.0) - base[at]);
      if (jacobian) *diagonal[i] += per * (points[i].capacity + (p > 0 ? ss : 0));
    }
    for (std::size_t k = 0; k < net.faces.size(); ++k) {
      const Face& face = net.faces[k];
      const auto a = static_cast<std::size_t>(face.a), b = static_cast<std::size_t>(face.b);
      const int sa = net.cells[a].soil, sb = net.cells[b].soil;
      const Flow f =
          sa == sb
              ? darcy(points[a], points[b], face.distance_a_m + face.distance_b_m, face.vertical)
              : darcy_two_soils(net.soils[static_cast<std::size_t>(sa)], state.pressure_m[face.a],
                                net.soils[static_cast<std::size_t>(sb)], state.pressure_m[face.b],
                                face.distance_a_m, face.distance_b_m, face.vertical);
      residual[face.a] += face.area_m2 * f.q;
      residual[face.b] -= face.area_m2 * f.q;
      if (!jacobian) continue;
      *diagonal[a] += face.area_m2 * f.d1;
      *upper_lower[2 * k] += face.area_m2 * f.d2;
      *diagonal[b] -= face.area_m2 * f.d2;
      *upper_lower[2 * k + 1] -= face.area_m2 * f.d1;
    }
    double intake = 0;
    pond_by_level = 0;
    for (std::size_t e = 0; e < net.edges.size(); ++e) {
      const Edge& edge = net.edges[e];
      const Flow f = edge_flow(problem, e, state.pressure_m[edge.cell], state.level_m);
      residual[edge.cell] -= edge.area_m2 * f.q;
      throughput += edge.area_m2 * std::abs(f.q);
      const bool from_pond = problem.boundary[e].kind == Boundary::Kind::pond;
      if (from_pond) intake += edge.area_m2 * f.q;
      if (!jacobian) continue;
      *diagonal[static_cast<std::size_t>(edge.cell)] -= edge.area_m2 * f.d2;
      if (!from_pond) continue;
      by_level[edge.cell] -= edge.area_m2 * f.d1;
      intake_by_pressure[edge.cell] += edge.area_m2 * f.d2;
      pond_by_level += edge.area_m2 * f.d1;
    }
    if (pond) {
      pond_residual = pond->area_m2 * (state.level_m - pond->base_level_m) / dt -
                      pond->inflow_m3_per_day + intake;
      pond_by_level += pond->area_m2 / dt;
    }
  }

  // Size of the residual: of water content in one step, or as a share of what flows through.
  [[nodiscard]] double size(double dt, const PondBalance* pond) const {
    if (std::isinf(dt)) return residual.lpNorm<1>() / std::max(throughput, 1e-12);
    double largest = 0;
    for (std::size_t i = 0; i < problem.network.cells.size(); ++i)
      largest = std::max(largest, std::abs(residual[static_cast<Eigen::Index>(i)]) * dt /
                                      problem.network.cells[i].volume_m3);
    if (pond) largest = std::max(largest, std::abs(pond_residual) * dt / pond->area_m2);
    return largest;
  }

  [[nodiscard]] double norm() const { return residual.lpNorm<1>() + std::abs(pond_residual); }
};

NewtonSolver::NewtonSolver(const FlowProblem& problem) : work_(std::make_unique<Work>(problem)) {}
NewtonSolver::~NewtonSolver() = default;

NewtonReport NewtonSolver::solve(State& state, const VectorXd& base_stored, double dt_day,
                                 const PondBalance* pond, int most_iterations) {
  Work& w = *work_;
  const Network& net = w.problem.network;
  const double tolerance = std::isinf(dt_day) ? w.problem.steady_tolerance : 1e-10;
  NewtonReport report;
  w.pond_residual = 0;
  w.evaluate(state, base_stored, dt_day, pond, true);
  for (report.iterations = 0; report.iterations < most_iterations; ++report.iterations) {
    if (w.size(dt_day, pond) < tolerance) {
      report.converged = true;
      return report;
    }
    // Unknowns are steps of phi: columns over K, so that dry cells do not spoil the scale.
    for (int i = 0; i < w.matrix.outerSize(); ++i)
      for (Eigen::SparseMatrix<double>::InnerIterator it(w.matrix, i); it; ++it)
        it.valueRef() /=
            w.points[static_cast<std::size_t>(w.cell_at[static_cast<std::size_t>(i)])].k;
    VectorXd diagonal(w.residual.size());
    for (Eigen::Index i = 0; i < diagonal.size(); ++i)
      diagonal[i] = *w.diagonal[static_cast<std::size_t>(i)];
    w.lu.factorize(w.matrix);
    if (w.lu.info() != Eigen::Success) return report;
    VectorXd step = w.solve(-w.residual);
    double level_step = 0;
    if (pond) {  // bordered system: the level is one more unknown
      const VectorXd column = w.solve(-w.by_level);
      VectorXd row = w.intake_by_pressure;
      for (Eigen::Index i = 0; i < row.size(); ++i)
        row[i] /= w.points[static_cast<std::size_t>(i)].k;
      level_step = (-w.pond_residual - row.dot(step)) / (w.pond_by_level + row.dot(column));
      step += level_step * column;
    }
    if (!step.allFinite()) return report;
    VectorXd powers = VectorXd::Ones(step.size());
    if (!std::isinf(dt_day)) {
      for (Eigen::Index i = 0; i < step.size(); ++i) {
        const auto at = static_cast<std::size_t>(i);
        const SoilPoint& s = w.points[at];
        if (s.capacity <= 0) continue;
        const double dry = net.soils[static_cast<std::size_t>(net.cells[at].soil)].driest_theta();
        const double like_theta =
            std::clamp(s.capacity * s.phi / (s.k * (s.theta - dry + 1e-6)), 0.05, 1.0);
        const double stored_part =
            net.cells[at].volume_m3 / dt_day * s.capacity / s.k / diagonal[i];
        powers[i] = 1 - std::clamp(stored_part, 0.0, 1.0) * (1 - like_theta);
      }
    }
    const State before = state;
    const std::vector<SoilPoint> points = w.points;
    const double norm = w.norm();
    for (double part = 1;; part *= 0.5) {
      for (Eigen::Index i = 0; i < step.size(); ++i) {
        const auto at = static_cast<std::size_t>(i);
        const Soil& soil = net.soils[static_cast<std::size_t>(net.cells[at].soil)];
        // Where storage rules, the step is one of water content rather than of phi: taken in
        // phi^power, whose course is like theta's.
        const double relative = part * step[i] / points[at].phi, power = powers[i];
        const double factor =
            power > 0.99 ? 1 + relative : std::pow(std::max(1 + power * relative, 0.0), 1 / power);
        const double phi = points[at].phi * std::max(factor, 1e-3);
        state.pressure_m[i] = soil.pressure_at_phi(phi);
      }
      state.level_m = before.level_m + part * level_step;
      w.evaluate(state, base_stored, dt_day, pond, false);
      if (w.norm() < norm * (1 - 1e-4 * part) || part < 0.1) break;
    }
    w.evaluate(state, base_stored, dt_day, pond, true);
  }
  report.converged = w.size(dt_day, pond) < tolerance;
  return report;
}

NewtonReport solve_steady(const FlowProblem& problem, State& state) {
  constexpr double infinite = std::numeric_limits<double>::infinity();
  NewtonSolver solver(problem);
  const State start = state;
  NewtonReport report = solver.solve(state, state.pressure_m, infinite, nullptr, 40);
  if (report.converged) return report;
  state = start;
  int iterations = report.iterations;
  double dt = 1e-3;
  while (iterations < 400 && dt > 1e-9) {
    const State before = state;
    const VectorXd base = stored(problem, state.pressure_m);
    report = solver.solve(state, base, dt, nullptr, 15);
    iterations += report.iterations;
    if (!report.converged) {
      state = before;
      dt *= 0.2;
      continue;
    }
    dt *= report.iterations < 6 ? 5 : 2;
    if (dt < 10) continue;
    const State stepped = state;
    report = solver.solve(state, base, infinite, nullptr, 20);
    iterations += report.iterations;
    report.iterations = iterations;
    if (report.converged) return report;
    state = stepped;
  }
  throw std::runtime_error("reference solver: no steady state found");
}

}  // namespace restwell::reference
