#include "tests/reference/comparison/mound.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>

#include "models/groundwater.hpp"
#include "tests/reference/comparison/compare.hpp"
#include "tests/reference/transient.hpp"

namespace restwell::comparison {

namespace {

using std::numbers::pi;

double reach_m(const Case& c) {
  const GroundwaterParameters ground;
  return 1.5 * std::sqrt(c.soil.kfs_m_per_day * ground.aquifer_thickness_m / ground.specific_yield *
                         ground.mound_time_day);
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

// As the product keeps it: weighted exponentially over the past season.
double mean_intake_m3_per_day(const reference::TransientResult& result, double memory_day) {
  double mean = 0;
  for (std::size_t i = 1; i < result.rows.size(); ++i) {
    const auto& from = result.rows[i - 1];
    const auto& to = result.rows[i];
    const double dt = to.day - from.day;
    mean += ((to.taken_in_m3 - from.taken_in_m3) / dt - mean) * -std::expm1(-dt / memory_day);
  }
  return mean;
}

}  // namespace

double base_rise_by_theory_m(const Case& c, double intake_m3_per_day) {
  const double b = GroundwaterParameters{}.aquifer_thickness_m + 1 / c.soil.alpha_per_m;
  double rise = 0;
  for (int i = 0; i < 50; ++i) {
    const double carried = std::log(reach_m(c) * std::exp(std::numbers::egamma) / (b + rise));
    rise = std::sqrt(b * b + intake_m3_per_day / (pi * c.soil.kfs_m_per_day) * carried) - b;
  }
  return rise;
}

Mound mound_after_a_year(const Case& c, const MoundOptions& how) {
  const auto begin = std::chrono::steady_clock::now();
  const GroundwaterParameters ground;
  const double table = -c.table_below_bottom_m.value();
  reference::PitProblem problem = reference_problem(c, how.resolution);
  problem.water_table->far_m = 3 * reach_m(c);
  problem.water_table->aquifer_base_below_bottom_m = ground.aquifer_thickness_m - table;
  // Raising a table D below the ground by a little fills (content's range) (1 - exp(-alpha D)).
  const double below_ground = problem.depth_m - table;
  const double range = ground.specific_yield / -std::expm1(-c.soil.alpha_per_m * below_ground);
  problem.layers.front().soil =
      reference::Soil::gardner(c.soil.kfs_m_per_day, c.soil.alpha_per_m, 0.1 + range, 0.1);
  reference::TransientOptions options;
  options.end_day = ground.mound_time_day;
  options.every_step = true;
  options.first_step_day = 1e-3;
  options.tolerance = 0.05;
  options.most_iterations = how.most_iterations;
  const reference::FlowProblem flow = reference::build(problem);
  reference::State start = reference::first_guess(problem, flow);
  const double dry = -6.9 / c.soil.alpha_per_m;
  start.pressure_m = start.pressure_m.cwiseMax(dry);
  const reference::TransientResult result =
      reference::run_transient(flow, start, reference::fixed_level(), options);

  Mound m;
  m.reference_m3_per_day = result.rows.back().intake_m3_per_day;
  const double base = table - ground.aquifer_thickness_m;
  m.base_rise_m = head_on_axis_m(flow, result.state, base) - table;
  m.table_rise_m = head_on_axis_m(flow, result.state, table) - table;
  const double mean = mean_intake_m3_per_day(result, ground.mound_memory_day);
  const auto product_mound = [&](double intake) {
    return mound_height_m(ground, intake, pi * c.radius_m * c.radius_m, c.soil.kfs_m_per_day);
  };
  m.product_rise_m = product_mound(mean);
  m.theory_rise_m = base_rise_by_theory_m(c, mean);

  const Law law = law_of(c);
  m.law_m3_per_day = intake_with_mound_m3_per_day(law, c.pond_m, product_mound);
  m.law_no_mound_m3_per_day = law.intake_m3_per_day(c.pond_m);
  m.law_edge_m3_per_day = intake_with_mound_m3_per_day(law, c.pond_m, [&](double intake) {
    const double h0 = ground.aquifer_thickness_m;
    return std::sqrt(h0 * h0 +
                     intake / (pi * c.soil.kfs_m_per_day) * std::log(reach_m(c) / c.radius_m)) -
           h0;
  });
  m.iterations = result.iterations;
  m.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return m;
}

}  // namespace restwell::comparison
