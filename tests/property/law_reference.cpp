// The intake law of a pit against the reference solver, on a part of the designed set. The whole
// set: tests/reference/README.md.
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "tests/reference/comparison/compare.hpp"

using namespace restwell::comparison;
namespace reference = restwell::reference;

namespace {

constexpr double target = 0.30;  // the worst, aimed at; not what came out

double error_of(const Case& c) {
  const double reference = reference::steady_intake(reference_problem(c)).total_m3_per_day;
  return law_intake_m3_per_day(c, c.pond_m) / reference - 1;
}

Case second_case(int number) {
  return designed_cases(40, second_seed)[static_cast<std::size_t>(number - 1)];
}

// A pit of 2 m in soil of .3 m/day over a tight layer.
Case over_tight_layer(double boundary_m, double times_tighter, double resistance_day) {
  Case c;
  c.regime = Regime::layers;
  c.radius_m = 0.9;
  c.pond_m = 2.0;
  c.soil_above = restwell::Soil{.kfs_m_per_day = 0.3, .alpha_per_m = 12.0};
  c.soil = restwell::Soil{.kfs_m_per_day = 0.3 / times_tighter, .alpha_per_m = 12.0};
  c.boundary_m = boundary_m;
  c.lower_day = c.upper_day = c.bottom_day = resistance_day;
  c.front_m = 1e9;
  return c;
}

// Every fifth pit of each regime, and steady.
struct Part {
  std::vector<Case> cases;
  std::vector<double> law, reference;
};
const Part& part() {
  static const Part p = [] {
    Part made;
    for (const Case& c : designed_cases(40)) {
      if (((c.number - 1) / static_cast<int>(std::size(all_regimes))) % 5 != 0) continue;
      made.cases.push_back(c);
      made.law.push_back(law_intake_m3_per_day(c, c.pond_m));
      made.reference.push_back(reference::steady_intake(reference_problem(c)).total_m3_per_day);
    }
    return made;
  }();
  return p;
}

}  // namespace

TEST_CASE("steady intake by the law agrees with the reference") {
  const Part& p = part();
  REQUIRE(p.cases.size() == 48);
  std::vector<double> errors;
  for (std::size_t i = 0; i < p.cases.size(); ++i) {
    errors.push_back(p.law[i] / p.reference[i] - 1);
    INFO("case " << p.cases[i].number << ", " << name_of(p.cases[i].regime) << ": law " << p.law[i]
                 << ", reference " << p.reference[i] << " m3/day");
    CHECK(std::abs(errors.back()) < target);
  }
  const Spread s = spread_of(errors);
  CHECK(s.median < 0.05);
  CHECK(s.percentile_95 < 0.15);
}

// Two layers are left out: there the targets are missed at part of the depth (README.md).
TEST_CASE("so it does with the pit partly full") {
  std::vector<double> errors;
  for (const Case& c : part().cases) {
    if (c.regime == Regime::layers) continue;
    const Law law = law_of(c);
    for (const double share : {0.1, 0.35, 0.75}) {
      reference::PitProblem problem = reference_problem(c);
      problem.pond_m = share * c.pond_m;
      const double got =
          !c.table_below_bottom_m
              ? law.intake_m3_per_day(problem.pond_m)
              : intake_with_mound_m3_per_day(
                    law, problem.pond_m, [&](double intake) { return edge_mound_m(c, intake); });
      const double expected = reference::steady_intake(problem).total_m3_per_day;
      errors.push_back(got / expected - 1);
      INFO("case " << c.number << ", " << name_of(c.regime) << ", " << share
                   << " of the depth: law " << got << ", reference " << expected << " m3/day");
      CHECK(std::abs(errors.back()) < target);
    }
  }
  const Spread s = spread_of(errors);
  CHECK(s.median < 0.05);
  CHECK(s.percentile_95 < 0.15);
}

// Nothing of (5) in models/pit_shape.hpp is fitted.
TEST_CASE("behind a clogged wall suction draws down a boundary layer") {
  for (const double alpha_per_m : {12.0, 36.0}) {  // alpha H well over 1
    for (const double pond_m : {1.0, 3.0}) {
      Case c;
      c.radius_m = 0.9;
      c.pond_m = pond_m;
      c.soil = {.kfs_m_per_day = 0.25, .alpha_per_m = alpha_per_m};
      c.lower_day = c.upper_day = 60.0;
      c.bottom_day = 1000.0;
      c.front_m = 1e9;
      INFO("alpha " << alpha_per_m << ", pond " << pond_m);
      CHECK(std::abs(error_of(c)) < 0.05);
    }
  }
}

// 12 of (6) in models/pit_shape.hpp was fitted on the other half of this grid.
TEST_CASE("a narrow clean band takes as a line does") {
  for (const bool above_front : {false, true}) {
    int round = 0;
    for (const double alpha_radius : {0.5, 2.0, 8.0, 30.0}) {
      for (const double over_radius : {0.001, 0.003, 0.01, 0.03, 0.1, 0.3}) {
        if (round++ % 2 == 0) continue;
        Case c;
        c.radius_m = 0.8;
        c.soil = {.kfs_m_per_day = 0.3, .alpha_per_m = alpha_radius / c.radius_m};
        c.bottom_day = 1e5;
        const double foot_m = above_front ? 0.8 : 0.0;
        c.front_m = above_front ? foot_m : 1e9;
        c.lower_day = above_front ? 1e5 : 0.0;
        const double level_m = foot_m + over_radius * c.radius_m;
        c.pond_m = above_front ? 2 * foot_m : level_m;
        reference::PitProblem problem = reference_problem(c);
        problem.pond_m = level_m;
        problem.gap_cells = 15;
        problem.least_cell_m = 1e-6;
        const double got = law_of(c).intake_m3_per_day(level_m);
        const double expected = reference::steady_intake(problem).total_m3_per_day;
        INFO((above_front ? "front" : "foot")
             << ", alpha a " << alpha_radius << ", d/a " << over_radius << ": law " << got
             << ", reference " << expected << " m3/day");
        CHECK(std::abs(got / expected - 1) < 0.15);
      }
    }
  }
}

TEST_CASE("a fine layer whose foot a coarse one leaves dry") {
  for (const double thickness_m : {0.03, 0.1, 0.4}) {
    for (const double pond_m : {0.05, 0.4}) {
      Case c;
      c.regime = Regime::layers;
      c.radius_m = 0.9;
      c.pond_m = pond_m;
      c.soil_above = restwell::Soil{.kfs_m_per_day = 0.05, .alpha_per_m = 12.0};
      c.soil = restwell::Soil{.kfs_m_per_day = 1.0, .alpha_per_m = 24.0};
      c.boundary_m = -thickness_m;
      c.front_m = 1e9;
      INFO("layer " << thickness_m << " m, pond " << pond_m << " m");
      CHECK(std::abs(error_of(c)) < target);
    }
  }
}

TEST_CASE("the law orders pits as the reference does") {
  CHECK(same_order(part().law, part().reference, 0.35) == 1.0);
  CHECK(same_order(part().law, part().reference, 0.10) > 0.98);
}

TEST_CASE("doubling the reference's resolution moves it by less than 2 percent") {
  for (std::size_t i = 0; i < part().cases.size(); i += 8) {
    const Case& c = part().cases[i];
    const double fine = reference::steady_intake(reference_problem(c, 2.0)).total_m3_per_day;
    INFO("case " << c.number << ", " << name_of(c.regime));
    CHECK(std::abs(fine / part().reference[i] - 1) < 0.02);
  }
}

TEST_CASE("water on a tight layer below the pit, and a pit down into it") {
  for (const double boundary_m : {-2.0, -0.5, 0.2}) {
    for (const double times_tighter : {10.0, 100.0}) {
      for (const double resistance_day : {0.2, 10.0}) {
        INFO("boundary " << boundary_m << " m, " << times_tighter << " times, R "
                         << resistance_day);
        CHECK(std::abs(error_of(over_tight_layer(boundary_m, times_tighter, resistance_day))) <
              0.5 * target);
      }
    }
  }
}

// Found by blind sets.
TEST_CASE("clean fast soil over slow, the boundary in the pit's height") {
  CHECK(std::abs(error_of(second_case(221))) < target);
}
TEST_CASE("a clogged pit in a fine layer that ends at a coarse one") {
  CHECK(std::abs(error_of(second_case(107))) < target);
}
TEST_CASE("a shallow pond closely over a layer nine times tighter") {
  double worst = 0;
  for (const Case& c : designed_cases(40, second_seed)) {
    if (c.regime != Regime::layers || c.pond_m > 0.4) continue;
    try {
      worst = std::min(worst, error_of(c));
    } catch (const std::runtime_error&) {  // one that the reference does not solve
    }
  }
  CHECK(worst > -target);
}
