// The reference solver: order in space, mass balance, resolution and extent, limits of the pond.
#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "tests/reference/column.hpp"
#include "tests/reference/transient.hpp"
#include "tests/support/rows.hpp"

using namespace restwell::reference;
using restwell::test::check_row;

namespace {

struct PitCase {
  const char* name;
  PitProblem problem;
};

// Clean, clogged and half-clogged pits in sharp and blunt soils, layers, a water table, a trench.
std::vector<PitCase> pit_cases() {
  std::vector<PitCase> cases;
  const auto add = [&](const char* name, double alpha, double pond_m, double resistance_day) {
    PitProblem p;
    p.layers = {{1e9, Soil::gardner(0.25, alpha)}};
    p.pond_m = pond_m;
    p.wall_resistance_day = uniform(resistance_day);
    p.bottom_resistance_day = resistance_day;
    cases.push_back({name, p});
    return cases.size() - 1;
  };
  add("sharp, clean", 36, 0.5, 0);
  add("sharp, deep, clogged", 36, 2.5, 20);
  add("blunt, clean", 1, 1, 0);
  add("middle, hardly clogged", 12, 1, 2);
  add("middle, hard clogged", 12, 1, 200);
  auto& front = cases[add("clogged part-way up", 12, 2, 0)].problem;
  front.wall_resistance_day = [](double z) { return z < 1 ? 50.0 : 0.5; };
  front.wall_nodes_m = {1};
  front.bottom_resistance_day = 100;
  auto& table = cases[add("water table in the pit", 12, 1.5, 5)].problem;
  table.water_table = WaterTable{-0.5, 30, 5};
  auto& layers = cases[add("tight layer under the pit", 12, 1, 5)].problem;
  layers.layers = {{layers.depth_m + 0.5, Soil::gardner(0.25, 12)}, {1e9, Soil::gardner(0.02, 4)}};
  auto& trench = cases[add("trench", 12, 0.3, 5)].problem;
  trench.shape = Shape::plane;
  trench.radius_m = 0.45;
  trench.depth_m = 0.9;
  auto& loam = cases[add("van Genuchten loam", 12, 1, 2)].problem;
  loam.layers = {{1e9, Soil::van_genuchten(0.2496, 3.6, 1.56, 0.43, 0.078)}};
  return cases;
}

}  // namespace

TEST_CASE("Twice the resolution changes a pit's steady intake by less than two percent") {
  for (PitCase& c : pit_cases()) {
    const SteadyIntake coarse = steady_intake(c.problem);
    c.problem.resolution = 2;
    const SteadyIntake fine = steady_intake(c.problem);
    INFO(fmt::format("{}: {} m3/day with {} cells ({:.2f} s), {} with {} ({:.2f} s)", c.name,
                     coarse.total_m3_per_day, coarse.cells, coarse.seconds, fine.total_m3_per_day,
                     fine.cells, fine.seconds));
    CHECK(std::abs(coarse.total_m3_per_day / fine.total_m3_per_day - 1) < 0.02);
    CHECK(std::abs(coarse.bottom_m3_per_day / fine.bottom_m3_per_day - 1) < 0.02);
    CHECK(coarse.imbalance < 1e-7);
    CHECK(fine.imbalance < 1e-7);
  }
}

TEST_CASE("The default extent of the soil does not tell in the intake") {
  for (PitCase& c : pit_cases()) {
    if (c.problem.water_table) continue;  // there the distance is part of the question
    const double intake = steady_intake(c.problem).total_m3_per_day;
    const Extent extent = default_extent(c.problem);
    c.problem.far_m = 2 * extent.far_m;
    c.problem.below_bottom_m = 2 * extent.below_bottom_m;
    INFO(c.name);
    CHECK(steady_intake(c.problem).total_m3_per_day == Approx(intake).epsilon(0.01));
  }
}

TEST_CASE("Order of the reference solver in space at a pit: one or better") {
  // Flow is singular at the pit's edges and, when it is clean, at the water line. (Smooth flow:
  // two, see the columns.)
  for (const double resistance_day : {0.0, 5.0}) {
    PitProblem pit;
    pit.wall_resistance_day = uniform(resistance_day);
    pit.bottom_resistance_day = resistance_day;
    double q[3];
    for (int i = 0; i < 3; ++i) {
      pit.resolution = 0.5 * std::exp2(i);
      q[i] = steady_intake(pit).total_m3_per_day;
    }
    INFO("R " << resistance_day << ": " << q[0] << " " << q[1] << " " << q[2]);
    CHECK(std::log2(std::abs(q[1] - q[0]) / std::abs(q[2] - q[1])) > 0.8);
  }
}

TEST_CASE("Through time nothing is lost, and a slow pit follows its steady intake") {
  PitProblem pit;
  pit.pond_m = 1;
  pit.wall_resistance_day = uniform(5);
  pit.bottom_resistance_day = 5;
  const SteadyIntake steady = steady_intake(pit);
  TransientOptions options;
  options.end_day = 100;
  // So large a store that the level falls by centimetres in months.
  const double area_m2 = 500;
  const TransientResult r = run_transient(steady.problem, steady.state,
                                          inflow(area_m2, [](double) { return 0.0; }), options);
  CHECK(r.balance_error < 1e-7);
  PitProblem lower = pit;
  lower.pond_m = r.state.level_m;
  CHECK(lower.pond_m < 0.95);
  check_row("intake at the level reached", r.rows.back().intake_m3_per_day,
            steady_intake(lower).total_m3_per_day, 0.01, "steady solution");
}

TEST_CASE("A pulse train fills and empties a pit without loss") {
  PitProblem pit;
  pit.pond_m = 0.3;
  pit.wall_resistance_day = uniform(5);
  pit.bottom_resistance_day = 5;
  const FlowProblem flow = build(pit);
  State start = first_guess(pit, flow);
  start.level_m = 0;
  TransientOptions options;
  options.end_day = 1;
  options.stops_day = {7 / 24.0, 8 / 24.0};
  const double area_m2 = 1.05;
  const TransientResult r = run_transient(
      flow, start,
      inflow(area_m2, [](double day) { return day >= 7 / 24.0 && day < 8 / 24.0 ? 8.4 : 0.0; }),
      options);
  CHECK(r.balance_error < 1e-7);
  CHECK(r.rows.back().inflow_m3 == Approx(0.35).epsilon(1e-9));
  CHECK(std::abs(r.rows[1].level_m) < 1e-3);  // dry until the pulse
  CHECK(r.rows[2].level_m > 0.2);
  CHECK(r.rows.back().level_m + 1e-3 > 0);
  CHECK(area_m2 * r.rows.back().level_m ==
        Approx(r.rows.back().inflow_m3 - r.rows.back().taken_in_m3).margin(1e-6));
}

TEST_CASE("A full column drains to its field state and no further") {
  // Loam from full, water table kept at its base: it ends at rest over the table.
  ColumnProblem column;
  column.length_m = 2;
  const Soil loam = Soil::van_genuchten(0.2496, 3.6, 1.56, 0.43, 0.078);
  column.layers = {{9, loam}};
  column.base = {Boundary::Kind::pressure, 0, 0};
  column.cell_top_m = column.cell_base_m = 0.04;
  const FlowProblem flow = build(column);
  TransientOptions options;
  options.end_day = 3000;
  const TransientResult r = run_transient(flow, uniform_pressure(flow, 0), fixed_level(), options);
  CHECK(r.balance_error < 1e-6);
  const State rest = hydrostatic(flow, -2);
  for (Eigen::Index i = 0; i < rest.pressure_m.size(); ++i)
    CHECK(r.state.pressure_m[i] == Approx(rest.pressure_m[i]).margin(0.02));
}

TEST_CASE("Groundwater over the pond comes in, and an empty pit lets none out") {
  PitProblem pit;
  pit.pond_m = 0.2;
  pit.water_table = WaterTable{-1.5, 20, 4};
  CHECK(steady_intake(pit).total_m3_per_day < 0);
  pit.pond_m = 0;
  pit.water_table = WaterTable{2, 20, 6};
  CHECK(std::abs(steady_intake(pit).total_m3_per_day) < 1e-9);
}
