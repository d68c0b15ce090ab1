// Richards' equation on a network of cells, and its solution by Newton's method.
//
//     d w(p)/dt = div(K(p) grad(p + z)),   w = theta(p) + Ss max(p, 0)                      (1)
// Face flow, up (1) to down (2) or inner to outer, at distance d:
//     q = (phi1 - phi2)/d + g (W K1 + (1 - W) K2),  W = 1/(1 - exp(-Pe)) - 1/Pe,
//     Pe = d (K1 - K2)/(phi1 - phi2),  g = 1 for vertical faces, 0 for lateral ones.        (2)
// For a Gardner soil this is the exact steady flow between two nodes (exponential fitting) and the
// scheme keeps phi > 0 on any grid; for a full soil it is Darcy's law; otherwise the weight slides
// from the mean to the upper cell as gravity outweighs suction. Where two soils meet, or a layer of
// resistance R lies on the soil, the pressure between is solved for so that both sides carry the
// same flow.
#pragma once

#include <Eigen/Core>
#include <memory>
#include <vector>

#include "tests/reference/grid.hpp"

namespace restwell::reference {

// What acts on one edge.
struct Boundary {
  enum class Kind {
    no_flow,
    pressure,       // pressure head value at the edge
    flux,           // value [m/day] into the soil
    free_drainage,  // unit gradient, base only
    seepage,        // water leaves at p = 0, none enters
    pond,           // pit wall or bottom: layer of resistance_day, pond above it or seepage
  };
  Kind kind = Kind::no_flow;
  double value = 0;
  double resistance_day = 0;
};

struct FlowProblem {
  Network network;
  std::vector<Boundary> boundary;  // one for every edge
  double specific_storage_per_m = 0;
  double bottom_layer_m = 0.02;  // z_b of q = (H + z_b - p)/R
  // Below this level the bottom's intake fades linearly to none: an empty pit takes in nothing.
  double empty_pond_m = 0.002;
  // A steady state is found when what is left over is this share of what flows through. Over a wide
  // aquifer rounding alone leaves more.
  double steady_tolerance = 1e-9;
};

struct State {
  Eigen::VectorXd pressure_m;  // by cell
  double level_m = 0;          // pond over the pit's bottom; below 0 or 0: none
};

// Flow [m3/day] into the soil through every edge.
[[nodiscard]] std::vector<double> edge_flow_m3_per_day(const FlowProblem& problem,
                                                       const State& state);
[[nodiscard]] Eigen::VectorXd water_content(const FlowProblem& problem,
                                            const Eigen::VectorXd& pressure_m);
// Content w of (1), with the specific storage.
[[nodiscard]] Eigen::VectorXd stored(const FlowProblem& problem, const Eigen::VectorXd& pressure_m);

// The pond's own balance, solved together with the soil: area (H - base)/dt = inflow - intake.
struct PondBalance {
  double area_m2, base_level_m, inflow_m3_per_day;
};

struct NewtonReport {
  bool converged = false;
  int iterations = 0;
};

class NewtonSolver {
 public:
  explicit NewtonSolver(const FlowProblem& problem);
  ~NewtonSolver();
  // One implicit stage: w(p) - base_stored = dt flows(p), in place. dt_day infinite: steady state.
  // pond null: the level is given.
  NewtonReport solve(State& state, const Eigen::VectorXd& base_stored, double dt_day,
                     const PondBalance* pond, int most_iterations);

 private:
  struct Work;
  std::unique_ptr<Work> work_;
};

// Steady state from a first guess: Newton, and pseudo-time steps where that does not converge.
// Throws std::runtime_error if neither does.
NewtonReport solve_steady(const FlowProblem& problem, State& state);

}  // namespace restwell::reference
