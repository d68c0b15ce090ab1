// Flow through time: a pit whose level is given, or follows from what flows in, or a soil without
// a pond (filling, draining).
//
//     PitProblem pit;
//     TransientOptions options;
//     options.end_day = 2;
//     const FlowProblem flow = build(pit);
//     const TransientResult r = run_transient(flow, first_guess(pit, flow),
//                                             inflow(2.6, [](double day) { return 1.0; }),
//                                             options);
//     // r.rows[i].level_m, r.rows[i].taken_in_m3, ...
//
// Two-stage implicit Runge-Kutta, second order, L-stable (Alexander 1977, SIAM J. Numer. Anal.
// 14:1006); each stage is solved in the mixed form with the pond as one more unknown, so the ledger
// closes as well as Newton's method converges.
#pragma once

#include <array>
#include <functional>
#include <limits>
#include <vector>

#include "tests/reference/flow.hpp"
#include "tests/reference/pit.hpp"

namespace restwell::reference {

// What sets the pond's level. Neither: the level stays as it starts (and matters only to a pit).
struct PondDrive {
  std::function<double(double day)> level_m;            // given
  std::function<double(double day)> inflow_m3_per_day;  // storage_area dH/dt = inflow - intake
  double storage_area_m2 = 0;
};
[[nodiscard]] PondDrive fixed_level();
[[nodiscard]] PondDrive given_level(std::function<double(double day)> level_m);
[[nodiscard]] PondDrive inflow(double storage_area_m2,
                               std::function<double(double day)> inflow_m3_per_day);

struct TransientOptions {
  double end_day = 1;
  double first_step_day = 1e-5, longest_step_day = std::numeric_limits<double>::infinity();
  // Allowed error of a step in any cell's water content and in the level [m], roughly.
  double tolerance = 0.02, level_tolerance_m = 0.002;
  double fixed_step_day = 0;  // > 0: no control (tests of order)
  // Times that a step must end on: rows are written there, and forcing may jump there.
  std::vector<double> stops_day;
  bool every_step = false;  // rows at every step, not only at the stops and the end
  int most_iterations = std::numeric_limits<int>::max();  // of Newton's method, all steps together
  // Called with every row's state, for pressures and water contents on the way.
  std::function<void(double day, const State&)> observer;
};

constexpr std::size_t sides = 6;  // of enum Side
struct TransientRow {
  double day, level_m;
  double intake_m3_per_day;                 // pit wall and bottom, at this time
  double taken_in_m3, inflow_m3;            // since the start
  std::array<double, sides> in_by_side_m3;  // into the soil through every Side since the start
};

struct TransientResult {
  std::vector<TransientRow> rows;  // the first at the start
  State state;                     // at the end
  double balance_error = 0;        // |gain of soil and pond - what came in| over all water moved
  int steps = 0, rejected = 0, iterations = 0;
  double seconds = 0;
};

// Throws std::runtime_error if the steps get too short or the iterations too many.
[[nodiscard]] TransientResult run_transient(const FlowProblem& problem, const State& start,
                                            const PondDrive& drive,
                                            const TransientOptions& options);
// From first_guess(problem), or from a state of the same grid.
[[nodiscard]] TransientResult run_transient(const PitProblem& problem, const PondDrive& drive,
                                            const TransientOptions& options);

// Level at a time, straight between rows.
[[nodiscard]] double level_at(const TransientResult& result, double day);

}  // namespace restwell::reference
