// Soils without a pit: a vertical column, and a disc of water (or a strip) on the ground.
// z_m = 0 is the ground, negative below.
#pragma once

#include <vector>

#include "tests/reference/flow.hpp"

namespace restwell::reference {

// One column of cells, 1 m2 in plan; every flow is per m2.
struct ColumnProblem {
  double length_m = 1;
  std::vector<std::pair<double, Soil>> layers;  // down to this depth, soil; top layer first
  Boundary top, base;  // no_flow, pressure, flux, free_drainage (base), seepage
  double cell_top_m = 0.01, cell_base_m = 0.01;  // sizes at both ends
  double slope = 0;                              // growth of the cells' size with distance
  double largest_cell_m = 1e9;
  double specific_storage_per_m = 0;
};
[[nodiscard]] FlowProblem build(const ColumnProblem& problem);

// Pressure head `pressure_m` on the ground inside the radius (half width), no flow outside of it,
// soil to far_m and depth_m, free drainage at the base.
struct DiscProblem {
  Shape shape = Shape::axisymmetric;
  double radius_m = 0.1;
  double pressure_m = 0;
  Soil soil = Soil::gardner(1, 5);
  double far_m = 5, depth_m = 5;
  double edge_cell_m = 0.002, slope = 0.15;
};
[[nodiscard]] FlowProblem build(const DiscProblem& problem);

// Every cell at one pressure, or at rest over a water table at z_m.
[[nodiscard]] State uniform_pressure(const FlowProblem& flow, double pressure_m);
[[nodiscard]] State hydrostatic(const FlowProblem& flow, double table_z_m);

// Sum over the edges of one side [m3/day] into the soil.
[[nodiscard]] double side_flow_m3_per_day(const FlowProblem& flow, const State& state, Side side);

}  // namespace restwell::reference
