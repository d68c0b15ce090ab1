#include "tests/reference/column.hpp"

#include <algorithm>

namespace restwell::reference {

FlowProblem build(const ColumnProblem& problem) {
  std::vector<double> fixed{-problem.length_m, 0};
  std::vector<Focus> foci{{0, problem.cell_top_m}, {-problem.length_m, problem.cell_base_m}};
  std::vector<Soil> soils;
  for (const auto& [to_depth_m, soil] : problem.layers) {
    soils.push_back(soil);
    if (to_depth_m >= problem.length_m) continue;
    fixed.push_back(-to_depth_m);
    foci.push_back({-to_depth_m, std::min(problem.cell_top_m, problem.cell_base_m)});
  }
  std::sort(fixed.begin(), fixed.end());
  FlowProblem flow;
  flow.network = make_network(
      Shape::plane, false, {0, 1}, graded_nodes(fixed, foci, problem.slope, problem.largest_cell_m),
      {1e9, 1e9}, std::move(soils), [&](double, double z) {
        std::size_t i = 0;
        while (i + 1 < problem.layers.size() && -z > problem.layers[i].first) ++i;
        return static_cast<int>(i);
      });
  flow.specific_storage_per_m = problem.specific_storage_per_m;
  for (const Edge& e : flow.network.edges)
    flow.boundary.push_back(e.side == Side::top    ? problem.top
                            : e.side == Side::base ? problem.base
                                                   : Boundary{});
  return flow;
}

FlowProblem build(const DiscProblem& problem) {
  const double a = problem.radius_m, size = problem.edge_cell_m;
  FlowProblem flow;
  flow.network = make_network(problem.shape, true,
                              graded_nodes({0, a, problem.far_m}, {{a, size}}, problem.slope, 1e9),
                              graded_nodes({-problem.depth_m, 0}, {{0, size}}, problem.slope, 1e9),
                              {1e9, 1e9}, {problem.soil}, [](double, double) { return 0; });
  for (const Edge& e : flow.network.edges) {
    Boundary b;
    const double r = flow.network.cells[static_cast<std::size_t>(e.cell)].r_m();
    if (e.side == Side::top && r < a) b = {Boundary::Kind::pressure, problem.pressure_m, 0};
    if (e.side == Side::base) b.kind = Boundary::Kind::free_drainage;
    flow.boundary.push_back(b);
  }
  return flow;
}

State uniform_pressure(const FlowProblem& flow, double pressure_m) {
  const auto n = static_cast<Eigen::Index>(flow.network.cells.size());
  return {Eigen::VectorXd::Constant(n, pressure_m), 0};
}

State hydrostatic(const FlowProblem& flow, double table_z_m) {
  State state = uniform_pressure(flow, 0);
  for (std::size_t i = 0; i < flow.network.cells.size(); ++i)
    state.pressure_m[static_cast<Eigen::Index>(i)] = table_z_m - flow.network.cells[i].z_m();
  return state;
}

double side_flow_m3_per_day(const FlowProblem& flow, const State& state, Side side) {
  const std::vector<double> edges = edge_flow_m3_per_day(flow, state);
  double sum = 0;
  for (std::size_t e = 0; e < edges.size(); ++e)
    if (flow.network.edges[e].side == side) sum += edges[e];
  return sum;
}

}  // namespace restwell::reference
