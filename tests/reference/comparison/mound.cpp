#include "tests/reference/comparison/mound.hpp"

#include <cmath>
#include <numbers>

#include "models/groundwater.hpp"
#include "tests/reference/comparison/compare.hpp"
#include "tests/reference/transient.hpp"

namespace restwell::comparison {

namespace {

using std::numbers::pi;

const GroundwaterParameters ground;

double reach_m(const Case& c) {
  return 1.5 * std::sqrt(c.soil.kfs_m_per_day * ground.aquifer_thickness_m / ground.specific_yield *
                         ground.mound_time_day);
}

// Rise at the radius r by level flow in an aquifer of thickness b below the table.
double level_flow_rise_m(const Case& c, double b, double r, double intake_m3_per_day) {
  return std::sqrt(b * b +
                   intake_m3_per_day / (pi * c.soil.kfs_m_per_day) * std::log(reach_m(c) / r)) -
         b;
}

reference::PitProblem problem_of(const Case& c, double far_m, double resolution) {
  reference::PitProblem problem = reference_problem(c, resolution);
  problem.water_table = reference::WaterTable{
      .below_bottom_m = c.table_below_bottom_m.value(),
      .far_m = far_m,
      .aquifer_base_below_bottom_m = c.table_below_bottom_m.value() + ground.aquifer_thickness_m};
  return problem;
}

// Head of the cell on the axis that holds the height z.
double head_on_axis_m(const reference::FlowProblem& flow, const reference::State& state, double z) {
  for (std::size_t i = 0; i < flow.network.cells.size(); ++i) {
    const reference::Cell& cell = flow.network.cells[i];
    if (cell.r_low_m > 0 || z < cell.z_low_m || z >= cell.z_high_m) continue;
    return state.pressure_m[static_cast<Eigen::Index>(i)] + cell.z_m();
  }
  return std::nan("");
}

// Hydrostatic over the table, but nowhere drier than at a thousandth of the full soil's K.
reference::State damp_start(const Case& c, const reference::PitProblem& problem,
                            const reference::FlowProblem& flow) {
  reference::State state = reference::first_guess(problem, flow);
  state.pressure_m = state.pressure_m.cwiseMax(-6.9 / c.soil.alpha_per_m);
  return state;
}

}  // namespace

double base_rise_by_theory_m(const Case& c, double intake_m3_per_day) {
  const double b = ground.aquifer_thickness_m + 1 / c.soil.alpha_per_m;
  double rise = 0;
  for (int i = 0; i < 50; ++i)
    rise = level_flow_rise_m(c, b, (b + rise) * std::exp(-std::numbers::egamma), intake_m3_per_day);
  return rise;
}

double product_rise_by_theory_m(const Case& c, double intake_m3_per_day) {
  return level_flow_rise_m(c, ground.aquifer_thickness_m, c.radius_m * std::exp(-0.5),
                           intake_m3_per_day);
}

Mound mound_of(const Case& c, double resolution) {
  Mound m;
  const reference::PitProblem problem = problem_of(c, reach_m(c), resolution);
  reference::FlowProblem flow = reference::build(problem);
  flow.steady_tolerance = 1e-6;
  reference::State state = damp_start(c, problem, flow);
  reference::solve_steady(flow, state);
  m.reference_m3_per_day = reference::intake(flow, state).total_m3_per_day;
  const double table = -c.table_below_bottom_m.value();
  m.base_rise_m = head_on_axis_m(flow, state, table - ground.aquifer_thickness_m) - table;
  m.table_rise_m = head_on_axis_m(flow, state, table) - table;

  const auto product_mound = [&](double intake) {
    return mound_height_m(ground, intake, pi * c.radius_m * c.radius_m, c.soil.kfs_m_per_day);
  };
  m.product_rise_m = product_mound(m.reference_m3_per_day);
  m.theory_rise_m = base_rise_by_theory_m(c, m.reference_m3_per_day);
  const Law law = law_of(c);
  m.law_m3_per_day = intake_with_mound_m3_per_day(law, c.pond_m, product_mound);
  m.law_edge_m3_per_day = intake_with_mound_m3_per_day(law, c.pond_m, [&](double intake) {
    return level_flow_rise_m(c, ground.aquifer_thickness_m, c.radius_m, intake);
  });
  m.law_no_mound_m3_per_day = law.intake_m3_per_day(c.pond_m);
  return m;
}

double intake_after_a_year_m3_per_day(const Case& c, double resolution, int most_iterations) {
  reference::PitProblem problem = problem_of(c, 3 * reach_m(c), resolution);
  // Raising a table D below the ground by a little fills (content's range) (1 - exp(-alpha D)).
  const double below_ground = problem.depth_m + c.table_below_bottom_m.value();
  const double range = ground.specific_yield / -std::expm1(-c.soil.alpha_per_m * below_ground);
  problem.layers.front().soil =
      reference::Soil::gardner(c.soil.kfs_m_per_day, c.soil.alpha_per_m, 0.1 + range, 0.1);
  reference::TransientOptions options;
  options.end_day = ground.mound_time_day;
  options.first_step_day = 1e-3;
  options.tolerance = 0.05;
  options.most_iterations = most_iterations;
  const reference::FlowProblem flow = reference::build(problem);
  return reference::run_transient(flow, damp_start(c, problem, flow), reference::fixed_level(),
                                  options)
      .rows.back()
      .intake_m3_per_day;
}

}  // namespace restwell::comparison
