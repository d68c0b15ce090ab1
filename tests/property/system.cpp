// What must hold for any site: balances, symmetry, order, convergence, independence of threads.
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>

#include "models/constants.hpp"
#include "sim/parallel.hpp"
#include "tests/support/process.hpp"
#include "tests/support/sites.hpp"
#include "tests/support/sound_run.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

int first_full(const RunResult& r) { return day_or_beyond(r.cases[0].pits[0].first_full); }
int first_leaves(const RunResult& r) { return day_or_beyond(r.cases[0].first_leaves); }
int first_pump(const RunResult& r) {
  int first = 1000000;
  for (const CriterionDates& c : r.criteria) {
    if (!c.met.empty()) first = std::min(first, c.met.front());
  }
  return first;
}

// Dates of a family of sites must not come later as the family goes on. A leak is no reason to pump
// sooner: it brings no solids, and the faster flow even settles a little less.
enum class Pumping { never_later, not_judged };
template <typename Make, typename Value>
void check_never_later(const std::vector<Value>& values, const Make& make,
                       Pumping pumping = Pumping::never_later) {
  int full = 2000000, leaves = 2000000, pump = 2000000;
  for (const Value& value : values) {
    const RunResult r = run_expected(make(value));
    INFO("value " << value << ": full " << first_full(r) << ", leaves " << first_leaves(r)
                  << ", pump " << first_pump(r));
    CHECK(first_full(r) <= full);
    CHECK(first_leaves(r) <= leaves);
    if (pumping == Pumping::never_later) CHECK(first_pump(r) <= pump);
    full = first_full(r);
    leaves = first_leaves(r);
    pump = first_pump(r);
  }
  CHECK(full < 1000000);  // the family reaches the case that the order is about
}

}  // namespace

TEST_CASE("every shipped scenario is sound over its years, early and late case too") {
  int scenarios = 0;
  for (const auto& file : shipped_scenarios()) {
    ++scenarios;
    const Scenario scenario = load_scenario(file).scenario;
    REQUIRE(scenario.years >= 20);
    INFO(file.filename().string());
    const RunResult r = run(scenario, main_cases(scenario.biomat));
    CHECK(what_is_unsound(r) == "");
    for (const TankRecord& d : r.tank) {
      REQUIRE(d.outflow_m3 >= 0.0);
      REQUIRE(d.tss_out_kg >= 0.0);
    }
    for (const auto& pit : r.cases[Cases::expected].days)
      for (const PitDay& d : pit) REQUIRE(d.overflow_m3 >= 0.0);
  }
  CHECK(scenarios >= 5);
}

TEST_CASE("two equal pits on equal inverts share equally and rise alike") {
  const RunResult r = run_expected(scenario_of(two_pits({.household = "occupants: 6"})));
  CHECK(r.free_share[0] == Approx(0.5).margin(1e-12));
  for (int d = 0; d < r.days(); ++d) {
    const auto i = static_cast<std::size_t>(d);
    REQUIRE(r.cases[0].days[0][i].level_m == Approx(r.cases[0].days[1][i].level_m).margin(1e-6));
  }
}

TEST_CASE("equal pits share equally also when both back up into the box") {
  const RunResult r = run_expected(scenario_of(
      two_pits({.household = "occupants: 8", .depth = "4 ft", .soil = "{perc: 30 min/inch}"})));
  REQUIRE(r.cases[0].pits[0].first_reaches_box != never);
  REQUIRE(r.cases[0].first_leaves != never);
  const auto& volume = r.cases[0].outlet_m3_by_year;
  CHECK(volume[0].back() / (volume[0].back() + volume[1].back()) == Approx(0.5).margin(1e-3));
}

TEST_CASE("more occupants never mean a later pump-out, full pit or overflow") {
  check_never_later(std::vector<int>{1, 2, 3, 4, 5, 6, 8}, [](int people) {
    return scenario_of(one_pit(
        {.household = fmt::format("occupants: {}", people), .start = "new: yes", .years = 6}));
  });
}

TEST_CASE("a smaller pit never fills later") {
  check_never_later(std::vector<double>{10, 8, 7, 6, 5, 4}, [](double depth) {
    return scenario_of(
        one_pit({.depth = fmt::format("{} ft", depth), .start = "new: yes", .years = 6}));
  });
  check_never_later(std::vector<double>{9, 8, 7, 6, 5, 4}, [](double diameter) {
    return scenario_of(
        one_pit({.diameter = fmt::format("{} ft", diameter), .start = "new: yes", .years = 6}));
  });
}

TEST_CASE("a slower soil never lets a pit fill later") {
  check_never_later(std::vector<double>{5, 10, 15, 20, 30, 45}, [](double perc) {
    return scenario_of(one_pit(
        {.start = "new: yes", .soil = fmt::format("{{perc: {} min/inch}}", perc), .years = 6}));
  });
}

TEST_CASE("a bigger leak never lets a pit fill later") {
  check_never_later(
      std::vector<double>{0, 20, 50, 100, 200, 400},
      [](double leak) {
        return scenario_of(
            one_pit({.household = fmt::format("occupants: 3, leak: {} gal/day", leak),
                     .start = "new: yes",
                     .years = 6}));
      },
      Pumping::not_judged);
}

TEST_CASE("halving ring height, pit step and surge step moves overflow by less than 2 %") {
  const auto check = [](const std::string& text) {
    Scenario scenario = scenario_of(text);
    const CaseRun coarse = run_expected(scenario).cases[0];
    scenario.limits.ring_height_m *= 0.5;
    scenario.limits.pit_step_day *= 0.5;
    scenario.limits.surge_head_change *= 0.5;
    const CaseRun fine = run_expected(scenario).cases[0];
    REQUIRE(coarse.first_leaves != never);
    REQUIRE(fine.first_leaves != never);
    // Reported, so that the size of it is seen and not only its bound.
    WARN("overflow on day " << coarse.first_leaves << ", with everything halved on day "
                            << fine.first_leaves << "; first full on day "
                            << coarse.pits[0].first_full << " and " << fine.pits[0].first_full);
    CHECK(std::abs(fine.first_leaves - coarse.first_leaves) < 0.02 * fine.first_leaves);
    // The first full day of a typical week's run falls on the week's busiest day, so it moves by
    // whole weeks.
    CHECK(std::abs(fine.pits[0].first_full - coarse.pits[0].first_full) <=
          std::max(7.0, 0.02 * fine.pits[0].first_full));
  };
  check(one_pit({.depth = "6 ft", .start = "new: yes", .years = 8}));
  check(one_pit({.household = "occupants: 5", .depth = "7 ft", .start = "new: yes", .years = 8}));
  check(two_pits({.household = "occupants: 5",
                  .west_invert = "0.125 in",
                  .depth = "4 ft",
                  .start = "new: yes",
                  .years = 8}));
}

TEST_CASE("the tank's long steps move no date by a day and no share by a tenth of a point") {
  int left = 0;
  for (const Mode mode : {Mode::steady, Mode::random}) {
    for (const char* west : {"0 in", "0.125 in", "0.25 in"}) {
      for (const char* perc : {"15 min/inch", "30 min/inch"}) {
        Scenario scenario = scenario_of(two_pits({.household = "occupants: 5",
                                                  .west_invert = west,
                                                  .depth = "5 ft",
                                                  .soil = fmt::format("{{perc: {}}}", perc),
                                                  .years = 8}));
        scenario.mode = mode;
        const RunResult coarse = run_expected(scenario);
        scenario.limits.surge_head_change = 0.01;
        const RunResult fine = run_expected(scenario);
        const CaseRun &a = coarse.cases[0], &b = fine.cases[0];
        INFO("west " << west << ", " << perc << ", "
                     << (mode == Mode::steady ? "steady" : "random"));
        CHECK(std::abs(day_or_beyond(a.first_leaves) - day_or_beyond(b.first_leaves)) <= 1);
        if (b.first_leaves != never) ++left;
        CHECK(coarse.pumped == fine.pumped);
        const auto share = [](const CaseRun& c) {
          double first = 0.0, all = 0.0;
          for (std::size_t y = 0; y < c.outlet_m3_by_year[0].size(); ++y) {
            first += c.outlet_m3_by_year[0][y];
            all += c.outlet_m3_by_year[0][y] + c.outlet_m3_by_year[1][y];
          }
          return first / all;
        };
        CHECK(std::abs(share(a) - share(b)) < 1e-3);
      }
    }
  }
  CHECK(left > 3);  // dates were compared, not only their absence
}

TEST_CASE("an intake curve that serves several days moves no date by a day") {
  const auto check = [](const std::string& text) {
    Scenario scenario = scenario_of(text);
    const CaseRun several = run_expected(scenario).cases[0];
    scenario.limits.intake_step_day = 1.0;
    const CaseRun daily = run_expected(scenario).cases[0];
    REQUIRE(daily.first_leaves != never);
    CHECK(std::abs(several.first_leaves - daily.first_leaves) <= 1);
    const auto& a = several.profiles.back().resistance_day;
    const auto& b = daily.profiles.back().resistance_day;
    for (std::size_t p = 0; p < a.size(); ++p) {
      for (std::size_t j = 0; j < a[p].size(); ++j) {
        CHECK(a[p][j] == Approx(b[p][j]).epsilon(2e-3).margin(1e-3));
      }
    }
  };
  check(one_pit({.depth = "6 ft", .start = "new: yes", .years = 8}));
  check(one_pit({.household = "occupants: 5", .depth = "7 ft", .start = "new: yes", .years = 8}));
}

TEST_CASE("the same file and seed give the same bits, another seed does not") {
  Scenario scenario = scenario_of(two_pits({.years = 1}));
  scenario.mode = Mode::random;
  const RunResult a = run_expected(scenario);
  const RunResult b = run_expected(scenario);
  // Alone or beside other cases, on one thread or several.
  const RunResult c = run(scenario, clogging_cases(scenario.biomat));
  scenario.seed += 1;
  const RunResult other = run_expected(scenario);
  bool differs = false;
  for (std::size_t d = 0; d < a.tank.size(); ++d) {
    REQUIRE(a.tank[d].outflow_m3 == b.tank[d].outflow_m3);
    REQUIRE(a.cases[0].days[0][d].level_m == b.cases[0].days[0][d].level_m);
    REQUIRE(a.cases[0].days[0][d].level_m == c.cases[0].days[0][d].level_m);
    differs = differs || a.tank[d].outflow_m3 != other.tank[d].outflow_m3;
  }
  CHECK(differs);
}

TEST_CASE("work in parallel is done once each, and its first failure is told") {
  for (const unsigned threads : {1u, 2u, 7u}) {
    std::vector<int> done(100, 0);
    for_each_parallel(
        done.size(), [&](std::size_t i) { ++done[i]; }, threads);
    CHECK(std::count(done.begin(), done.end(), 1) == 100);
    CHECK_THROWS_WITH(for_each_parallel(
                          done.size(),
                          [](std::size_t i) {
                            if (i >= 40) throw std::runtime_error(std::to_string(i));
                          },
                          threads),
                      "40");
  }
}
