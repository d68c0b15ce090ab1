#include "tests/reference/pit.hpp"

#include <algorithm>
#include <cmath>

#include "tests/reference/thread_time.hpp"

namespace restwell::reference {

namespace {

double shortest_capillary_length(const PitProblem& problem) {
  double length = problem.layers.front().soil.capillary_length_m();
  for (const SoilLayer& layer : problem.layers)
    length = std::min(length, layer.soil.capillary_length_m());
  return length;
}

int layer_at(const PitProblem& problem, double z) {
  const double depth = problem.depth_m - z;
  std::size_t i = 0;
  while (i + 1 < problem.layers.size() && depth > problem.layers[i].to_depth_m) ++i;
  return static_cast<int>(i);
}

void sort_unique(std::vector<double>& nodes) {
  std::sort(nodes.begin(), nodes.end());
  const auto close = [](double x, double y) { return y - x < 1e-6; };
  nodes.erase(std::unique(nodes.begin(), nodes.end(), close), nodes.end());
}

}  // namespace

std::function<double(double)> uniform(double resistance_day) {
  return [resistance_day](double) { return resistance_day; };
}

Extent default_extent(const PitProblem& problem) {
  if (problem.water_table)
    return {problem.water_table->far_m, problem.water_table->aquifer_base_below_bottom_m};
  double longest = 0;
  for (const SoilLayer& layer : problem.layers)
    longest = std::max(longest, layer.soil.capillary_length_m());
  const double reach = 10 * (problem.pond_m + problem.radius_m) + 8 * longest;
  return {problem.far_m.value_or(problem.radius_m + reach),
          problem.below_bottom_m.value_or(0.5 * reach)};
}

FlowProblem build(const PitProblem& problem) {
  const Extent extent = default_extent(problem);
  const double a = problem.radius_m, top = problem.depth_m, base = -extent.below_bottom_m;
  const double pond = problem.pond_m, f = problem.resolution;
  // Cells at the wall resolve the capillary length, the pit and the pond.
  const double small = std::min({std::max(0.1 * shortest_capillary_length(problem), 0.002),
                                 0.025 * a, pond > 0 ? 0.03 * pond : 0.025 * a, 0.0125}) /
                       f;
  const double slope = 0.18 / f, largest = problem.largest_cell_m / f;

  std::vector<double> z_fixed{base, 0, top};
  std::vector<Focus> z_foci{{0, small}};
  const auto add_z = [&](double z, double size) {
    if (z <= base || z >= top) return;
    z_fixed.push_back(z);
    z_foci.push_back({z, size});
  };
  add_z(pond, small);
  for (const double z : problem.more_waters_m) add_z(z, small);
  for (const double z : problem.wall_nodes_m) add_z(z, 2 * small);
  for (std::size_t i = 0; i + 1 < problem.layers.size(); ++i)
    add_z(top - problem.layers[i].to_depth_m, 2 * small);
  double at_wall = small;
  if (problem.gap_cells > 0) {
    std::sort(z_foci.begin(), z_foci.end(),
              [](const Focus& x, const Focus& y) { return x.at_m < y.at_m; });
    for (std::size_t i = 1; i < z_foci.size(); ++i) {
      Focus &low = z_foci[i - 1], &high = z_foci[i];
      const double size =
          std::max((high.at_m - low.at_m) / problem.gap_cells, problem.least_cell_m) / f;
      low.size_m = std::min(low.size_m, size);
      high.size_m = std::min(high.size_m, size);
      // The wall takes water between the two.
      if (high.at_m > 0) at_wall = std::min(at_wall, size);
    }
  }
  if (problem.water_table) add_z(-problem.water_table->below_bottom_m, 0.1 / f);
  sort_unique(z_fixed);

  FlowProblem flow;
  std::vector<Soil> soils;
  for (const SoilLayer& layer : problem.layers) soils.push_back(layer.soil);
  flow.network = make_network(
      problem.shape, true, graded_nodes({0, a, extent.far_m}, {{a, at_wall}}, slope, largest),
      graded_nodes(z_fixed, z_foci, slope, largest), {a, 0}, std::move(soils),
      [&](double, double z) { return layer_at(problem, z); });
  flow.specific_storage_per_m = problem.specific_storage_per_m;
  flow.bottom_layer_m = problem.bottom_layer_m;
  using Kind = Boundary::Kind;
  for (const Edge& e : flow.network.edges) {
    const double z = 0.5 * (e.z_low_m + e.z_high_m);
    Boundary b;
    if (e.side == Side::pit_wall) b = {Kind::pond, 0, problem.wall_resistance_day(z)};
    if (e.side == Side::pit_bottom) b = {Kind::pond, 0, problem.bottom_resistance_day};
    if (e.side == Side::top) b = {Kind::flux, problem.surface_flux_m_per_day, 0};
    if (e.side == Side::base && !problem.water_table) b.kind = Kind::free_drainage;
    if (e.side == Side::outer && problem.water_table)
      b = {Kind::pressure, -problem.water_table->below_bottom_m - z, 0};
    flow.boundary.push_back(b);
  }
  return flow;
}

State first_guess(const PitProblem& problem, const FlowProblem& flow) {
  State state;
  state.level_m = problem.pond_m;
  state.pressure_m.resize(static_cast<Eigen::Index>(flow.network.cells.size()));
  for (std::size_t i = 0; i < flow.network.cells.size(); ++i) {
    const Cell& cell = flow.network.cells[i];
    const double suction =
        std::min(flow.network.soils[static_cast<std::size_t>(cell.soil)].capillary_length_m(), 1.0);
    state.pressure_m[static_cast<Eigen::Index>(i)] =
        problem.water_table ? -problem.water_table->below_bottom_m - cell.z_m() : -suction;
  }
  return state;
}

Intake intake(const FlowProblem& problem, const State& state) {
  Intake result;
  const std::vector<double> flow = edge_flow_m3_per_day(problem, state);
  for (std::size_t e = 0; e < flow.size(); ++e) {
    const Edge& edge = problem.network.edges[e];
    if (edge.side == Side::pit_bottom) result.bottom_m3_per_day += flow[e];
    if (edge.side != Side::pit_wall) continue;
    result.wall_m3_per_day += flow[e];
    result.wall.push_back({edge.z_low_m, edge.z_high_m, flow[e] / edge.area_m2});
  }
  result.total_m3_per_day = result.wall_m3_per_day + result.bottom_m3_per_day;
  return result;
}

SteadyIntake steady_intake(const PitProblem& problem) {
  const double start = thread_seconds();
  SteadyIntake result;
  result.problem = build(problem);
  result.state = first_guess(problem, result.problem);
  result.iterations = solve_steady(result.problem, result.state).iterations;
  static_cast<Intake&>(result) = intake(result.problem, result.state);
  double sum = 0;
  for (const double q : edge_flow_m3_per_day(result.problem, result.state)) sum += q;
  result.imbalance = std::abs(sum) / std::max(std::abs(result.total_m3_per_day), 1e-12);
  result.cells = static_cast<int>(result.problem.network.cells.size());
  result.seconds = thread_seconds() - start;
  return result;
}

}  // namespace restwell::reference
