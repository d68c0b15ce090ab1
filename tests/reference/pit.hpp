// The question asked of the reference solver: what does a pit (or a trench) take in?
//
//     PitProblem problem;                       // defaults: 6 ft pit in a Gardner soil
//     problem.layers = {{1e9, Soil::gardner(0.25, 12)}};
//     problem.wall_resistance_day = uniform(5);
//     const SteadyIntake q = steady_intake(problem);      // q.total_m3_per_day, q.bottom_..., ...
//
// z_m is the height over the pit's bottom, depths are below the ground. Units: m, m3, day. In plane
// geometry radius_m is half the trench's width and every flow is that of both halves of one metre
// of trench; in axisymmetric geometry that of the whole pit.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "tests/reference/flow.hpp"

namespace restwell::reference {

struct SoilLayer {
  double to_depth_m;  // below the ground; the last one may be as large as you like
  Soil soil;
};

// Hydrostatic over a water table at far_m from the axis, in an aquifer with a tight base.
struct WaterTable {
  double below_bottom_m;               // of the pit; negative: the table stands in the pit's height
  double far_m;                        // where it is not disturbed
  double aquifer_base_below_bottom_m;  // no flow below this
};

struct PitProblem {
  Shape shape = Shape::axisymmetric;
  double radius_m = 0.9144;
  double depth_m = 3.9624;  // ground to the pit's bottom
  double pond_m = 1.0;      // water over the bottom
  std::vector<SoilLayer> layers = {{1e9, Soil::gardner(0.25, 12)}};
  // Layer on the wall by height over the bottom, and on the bottom: q = (head - p)/R. 0: bare soil.
  std::function<double(double z_m)> wall_resistance_day = [](double) { return 0.0; };
  double bottom_resistance_day = 0;
  double bottom_layer_m = 0.02;
  std::optional<WaterTable>
      water_table;                    // none: free drainage at the base, no flow at the far side
  double surface_flux_m_per_day = 0;  // into the ground
  double specific_storage_per_m = 0;
  std::optional<double> far_m, below_bottom_m;  // extent of the soil; defaults see default_extent
  double resolution = 1;                        // 2: cells of half the size
  double largest_cell_m = 1e9;
  std::vector<double> wall_nodes_m;  // heights where the wall's resistance jumps: nodes of the grid
  // > 0: between two neighbouring heights of these, the bottom, the layers' boundaries and the
  // waters' (pond_m and more_waters_m) the cells at either are at most 1/gap_cells of the gap.
  double gap_cells = 0;
  double least_cell_m = 5e-4;  // of gap_cells
  std::vector<double> more_waters_m;
};

[[nodiscard]] std::function<double(double)> uniform(double resistance_day);

struct Extent {
  double far_m, below_bottom_m;
};
// No water table: a + 10 (H + a) + 8 capillary lengths aside, half of that below.
[[nodiscard]] Extent default_extent(const PitProblem& problem);

// Cells, faces and boundaries of a pit; edges of kind pond are its wall and bottom.
[[nodiscard]] FlowProblem build(const PitProblem& problem);
// Hydrostatic over the water table, or a suction of one capillary length (at most 1 m); pond_m.
[[nodiscard]] State first_guess(const PitProblem& problem, const FlowProblem& flow);

struct WallFace {
  double z_low_m, z_high_m;
  double q_m_per_day;  // over the whole face, wetted or not; negative: water leaves the soil
};

struct Intake {
  double total_m3_per_day = 0, wall_m3_per_day = 0, bottom_m3_per_day = 0;
  std::vector<WallFace> wall;  // from the bottom up
};
[[nodiscard]] Intake intake(const FlowProblem& problem, const State& state);

struct SteadyIntake : Intake {
  double imbalance = 0;  // |in - out| of the whole soil over the total intake
  int cells = 0, iterations = 0;
  double seconds = 0;  // of this thread on its core
  FlowProblem problem;
  State state;  // pressure by cell of problem.network
};
// Throws std::runtime_error if no steady state is found.
[[nodiscard]] SteadyIntake steady_intake(const PitProblem& problem);

}  // namespace restwell::reference
