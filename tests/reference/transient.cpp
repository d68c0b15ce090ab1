#include "tests/reference/transient.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace restwell::reference {

namespace {

using Eigen::VectorXd;
constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double gamma_part = 1 - 0.5 * std::numbers::sqrt2;

using SideRates = std::array<double, sides>;

SideRates side_rates(const FlowProblem& problem, const State& state) {
  SideRates rates{};
  const std::vector<double> flow = edge_flow_m3_per_day(problem, state);
  for (std::size_t e = 0; e < flow.size(); ++e)
    rates[static_cast<std::size_t>(problem.network.edges[e].side)] += flow[e];
  return rates;
}

double pit_share(const SideRates& by_side) {
  return by_side[static_cast<std::size_t>(Side::pit_wall)] +
         by_side[static_cast<std::size_t>(Side::pit_bottom)];
}

// One stage's outcome: soil and pond contents, flows, inflow.
struct Stage {
  State state;
  VectorXd stored;
  SideRates rates{};
  double inflow_m3_per_day = 0;
};

struct Run {
  const FlowProblem& problem;
  const PondDrive& drive;
  const TransientOptions& options;
  NewtonSolver solver{problem};
  VectorXd volume;
  TransientResult result;
  double day = 0;
  VectorXd content;  // w at `day`
  TransientRow now{};
  double water_moved_m3 = 0;

  Run(const FlowProblem& p, const State& start, const PondDrive& d, const TransientOptions& o)
      : problem(p), drive(d), options(o) {
    volume.resize(start.pressure_m.size());
    for (Eigen::Index i = 0; i < volume.size(); ++i)
      volume[i] = p.network.cells[static_cast<std::size_t>(i)].volume_m3;
    result.state = start;
    if (drive.level_m) result.state.level_m = drive.level_m(0);
    content = stored(p, start.pressure_m);
    write_row();
  }

  void write_row() {
    now.day = day;
    now.level_m = result.state.level_m;
    now.intake_m3_per_day = pit_share(side_rates(problem, result.state));
    result.rows.push_back(now);
    if (options.observer) options.observer(day, result.state);
  }

  bool solve(Stage& stage, const VectorXd& base, double base_level_m, double dt, double at_day) {
    PondBalance pond{drive.storage_area_m2, base_level_m, 0};
    if (drive.level_m) stage.state.level_m = drive.level_m(at_day);
    if (drive.inflow_m3_per_day) {
      pond.inflow_m3_per_day = stage.inflow_m3_per_day = drive.inflow_m3_per_day(at_day);
    }
    const NewtonReport report =
        solver.solve(stage.state, base, dt, drive.inflow_m3_per_day ? &pond : nullptr, 20);
    result.iterations += report.iterations;
    if (result.iterations > options.most_iterations)
      throw std::runtime_error("reference solver: too many iterations");
    if (!report.converged) return false;
    stage.stored = stored(problem, stage.state.pressure_m);
    stage.rates = side_rates(problem, stage.state);
    return true;
  }

  // Tries a step; returns the error over the tolerance, or infinity if Newton fails. Accepted when
  // the error is at most 1 or the step is fixed.
  double step(double dt) {
    constexpr double g = gamma_part;
    Stage one, two;
    one.state = result.state;
    const double level = result.state.level_m;
    if (!solve(one, content, level, g * dt, day + g * dt)) return infinite;
    const double ahead = (1 - g) / g;
    const VectorXd base = content + ahead * (one.stored - content);
    const double base_level = level + ahead * (one.state.level_m - level);
    two.state = one.state;
    // A hair before the end: forcing may jump there.
    if (!solve(two, base, base_level, g * dt, day + dt * (1 - 1e-9))) return infinite;
    // dt |k2 - k1| over ten: an estimate of first order, hence on the safe side.
    const VectorXd change = (two.stored - base) / g - (one.stored - content) / g;
    double error = 0.1 * change.lpNorm<Eigen::Infinity>() / options.tolerance;
    if (drive.inflow_m3_per_day) {
      const double level_change =
          (two.state.level_m - base_level) / g - (one.state.level_m - level) / g;
      error = std::max(error, 0.1 * std::abs(level_change) / options.level_tolerance_m);
    }
    if (options.fixed_step_day > 0) error = 0;
    // A pit that runs empty stops there.
    const double below_empty = std::min(level, 0.0) - two.state.level_m;
    if (drive.inflow_m3_per_day) error = std::max(error, below_empty / 2e-4);
    if (error > 1) return error;
    const double w1 = dt * (1 - g), w2 = dt * g;
    for (std::size_t s = 0; s < sides; ++s) {
      const double passed = w1 * one.rates[s] + w2 * two.rates[s];
      now.in_by_side_m3[s] += passed;
      water_moved_m3 += std::abs(passed);
    }
    now.inflow_m3 += w1 * one.inflow_m3_per_day + w2 * two.inflow_m3_per_day;
    now.taken_in_m3 = pit_share(now.in_by_side_m3);
    content = two.stored;
    result.state = two.state;
    ++result.steps;
    return error;
  }

  void go() {
    const double first_stored = volume.dot(content), first_level = result.state.level_m;
    std::vector<double> stops = options.stops_day;
    stops.push_back(options.end_day);
    std::sort(stops.begin(), stops.end());
    for (const double stop : stops) {
      if (stop <= day || stop > options.end_day) continue;
      double dt = options.fixed_step_day > 0 ? options.fixed_step_day : options.first_step_day;
      while (day < stop) {
        dt = std::min(dt, options.longest_step_day);
        const double left = stop - day;
        const bool last = dt >= left * (1 - 1e-9);
        // Two like steps rather than a long and a tiny one.
        const double take = last                                             ? left
                            : dt > 0.5 * left && options.fixed_step_day <= 0 ? 0.5 * left
                                                                             : dt;
        const double error = step(take);
        if (error > 1) {
          ++result.rejected;
          dt = take * (std::isinf(error) ? 0.3 : std::max(0.2, 0.9 / std::sqrt(error)));
          if (dt < 1e-12) throw std::runtime_error("reference solver: time step too short");
          continue;
        }
        day = last ? stop : day + take;
        if (options.fixed_step_day <= 0)
          dt = std::max(take, dt) * std::clamp(0.9 / std::sqrt(std::max(error, 1e-9)), 0.3, 2.5);
        if (options.every_step || last) write_row();
      }
    }
    const double gain = volume.dot(content) - first_stored;
    double in = 0;
    for (const double side : now.in_by_side_m3) in += side;
    double error = std::abs(gain - in);
    if (drive.inflow_m3_per_day)
      error += std::abs(drive.storage_area_m2 * (result.state.level_m - first_level) -
                        (now.inflow_m3 - now.taken_in_m3));
    result.balance_error = error / std::max(water_moved_m3, 1e-12);
  }
};

}  // namespace

PondDrive fixed_level() { return {}; }
PondDrive given_level(std::function<double(double)> level_m) { return {std::move(level_m), {}, 0}; }
PondDrive inflow(double storage_area_m2, std::function<double(double)> inflow_m3_per_day) {
  return {{}, std::move(inflow_m3_per_day), storage_area_m2};
}

TransientResult run_transient(const FlowProblem& problem, const State& start,
                              const PondDrive& drive, const TransientOptions& options) {
  const auto begin = std::chrono::steady_clock::now();
  Run run(problem, start, drive, options);
  run.go();
  run.result.seconds =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return std::move(run.result);
}

TransientResult run_transient(const PitProblem& problem, const PondDrive& drive,
                              const TransientOptions& options) {
  const FlowProblem flow = build(problem);
  return run_transient(flow, first_guess(problem, flow), drive, options);
}

double level_at(const TransientResult& result, double day) {
  const auto& rows = result.rows;
  std::size_t i = 1;
  while (i + 1 < rows.size() && rows[i].day < day) ++i;
  const TransientRow &a = rows[i - 1], &b = rows[i];
  return a.level_m + (b.level_m - a.level_m) * (day - a.day) / (b.day - a.day);
}

}  // namespace restwell::reference
