// The water table of a file through time, and what pits in it do.
#include "sim/water_table.hpp"

#include <catch2/catch.hpp>

#include "sim/layout.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
using namespace std::chrono_literals;

namespace {

constexpr double ft = 0.3048;

WaterTable table_of(const std::string& text) {
  return *scenario_of(two_pits({.soil = "{perc: 15 min/inch, water_table: " + text + "}"}))
              .soil.water_table;
}

}  // namespace

TEST_CASE("one depth holds always") {
  const WaterTable t = table_of("30 ft");
  CHECK(table_depth_m(t, 2026y / 5 / 1) == Approx(30 * ft));
  CHECK(table_depth_m(t, 1990y / 12 / 31) == Approx(30 * ft));
  CHECK(shallowest_table_m(t) == Approx(30 * ft));
  CHECK(mean_table_m(t) == Approx(30 * ft));
}

TEST_CASE("a season has its high on the day given") {
  const WaterTable t = table_of("{mean: 20 ft, amplitude: 2 ft, high: 04-10}");
  CHECK(table_depth_m(t, 2027y / 4 / 10) == Approx(18 * ft));
  CHECK(table_depth_m(t, 2031y / 10 / 9) == Approx(22 * ft).epsilon(1e-4));
  CHECK(shallowest_table_m(t) == Approx(18 * ft));
  CHECK(mean_table_m(t) == Approx(20 * ft));
  CHECK(table_of("{mean: 20 ft, amplitude: 2 ft}").high == MonthDay{3, 20});
}

TEST_CASE("readings are joined by straight lines and go on at the ends") {
  const WaterTable t = table_of(
      "[{date: 2026-01-01, depth: 20 ft}, {date: 2026-01-11, depth: 30 ft}, "
      "{date: 2026-01-31, depth: 30 ft}]");
  CHECK(table_depth_m(t, 2020y / 1 / 1) == Approx(20 * ft));
  CHECK(table_depth_m(t, 2026y / 1 / 1) == Approx(20 * ft));
  CHECK(table_depth_m(t, 2026y / 1 / 4) == Approx(23 * ft));
  CHECK(table_depth_m(t, 2026y / 1 / 11) == Approx(30 * ft));
  CHECK(table_depth_m(t, 2050y / 1 / 1) == Approx(30 * ft));
  CHECK(shallowest_table_m(t) == Approx(20 * ft));
  CHECK(mean_table_m(t) == Approx((25.0 * 10 + 30.0 * 20) / 30 * ft));
}

TEST_CASE("a pit's bottom counts from the ground") {
  const Scenario s = scenario_of(
      two_pits({.soil = "{perc: 15 min/inch, water_table: {mean: 12 ft, amplitude: 4 ft}}"}));
  const SiteLayout site = lay_out(s);
  // 3 ft to the inlet, 8 ft deep
  CHECK(water_table_m(s.soil.water_table, site.pits[0], 2026y / 3 / 20) == Approx(3 * ft));
  CHECK(site.pits[0].water_table_m == Approx(-1 * ft));
  CHECK(water_table_m(std::nullopt, site.pits[0], 2026y / 3 / 20) == far_below_m);
}

TEST_CASE("a table over a pit's bottom is a warning, not a refusal") {
  const LoadedScenario loaded = parse_scenario(
      two_pits({.soil = "{perc: 15 min/inch, water_table: {mean: 12 ft, amplitude: 4 ft}}"}), "x");
  REQUIRE(loaded.warnings.size() >= 2);
  CHECK(loaded.warnings.back().find("west stands in groundwater: its bottom is 11 ft below ground, "
                                    "the water table 8 ft at its highest") != std::string::npos);
}

TEST_CASE("dates that a series of readings does not cover are told") {
  // The run: 2026-05-01 to 2029-04-30.
  const auto told = [](const std::string& readings) {
    std::string all;
    for (const std::string& w :
         parse_scenario(two_pits({.start = "new: yes, filled_with_stone: yes",
         .soil = "{perc: 15 min/inch, water_table: " + readings + "}"}),
                        "x")
             .warnings)
      all += w.substr(w.find("water_table: ") + 13) + "\n";
    return all;
  };
  CHECK(told("[{date: 2026-05-01, depth: 30 ft}, {date: 2029-05-01, depth: 30 ft}]").empty());
  CHECK(told("[{date: 2026-05-02, depth: 30 ft}, {date: 2029-05-01, depth: 30 ft}]") ==
        "the first reading is of 2026-05-02; that depth is taken before it too\n");
  CHECK(told("[{date: 2020-01-01, depth: 30 ft}, {date: 2027-01-01, depth: 30 ft}]") ==
        "readings end on 2027-01-01; that depth is held from then on\n");
  const std::string none = "no reading lies within the run, 2026-05-01 to 2029-05-01; ";
  CHECK(told("[{date: 2090-02-28, depth: 30 ft}]") ==
        none + "the depth of 2090-02-28 is held throughout\n");
  CHECK(told("[{date: 2020-02-28, depth: 30 ft}]") ==
        none + "the depth of 2020-02-28 is held throughout\n");
  CHECK(told("[{date: 2020-02-28, depth: 30 ft}, {date: 2090-02-28, depth: 30 ft}]") ==
        none + "the depth goes straight from one to the next across it\n");
}

TEST_CASE("a table in words: one depth once, one reading in the singular") {
  const auto words = [](const std::string& table) {
    return table_words(table_of(table), UnitSystem::us);
  };
  CHECK(words("[{date: 2026-01-01, depth: 9 ft}]") == "9.0 ft below ground by 1 reading");
  CHECK(words("[{date: 2026-01-01, depth: 9 ft}, {date: 2026-02-01, depth: 12 ft}]") ==
        "9.0 ft to 12.0 ft below ground by 2 readings");
  CHECK(words("{mean: 20 ft, amplitude: 0.01 ft, high: 04-10}") ==
        "20.0 ft below ground through the year, highest on 04-10");
}

TEST_CASE("a part of the season can be set by its path, and a depth makes way for a season") {
  const auto set_to = [](const std::string& table, const std::vector<PathValue>& values) {
    return *parse_scenario(two_pits({.soil = "{perc: 15 min/inch, water_table: " + table + "}"}),
                           "x", {}, values)
                .scenario.soil.water_table;
  };
  const std::string season = "{mean: 30 ft, amplitude: 2 ft}";
  CHECK(set_to(season, {{"soil.water_table.mean", "40 ft"}}).mean_m == Approx(40 * ft));
  CHECK(set_to(season, {{"soil.water_table", "50 ft"}}).amplitude_m == 0.0);
  CHECK(
      set_to("20 ft", {{"soil.water_table.mean", "40 ft"}, {"soil.water_table.amplitude", "3 ft"}})
          .amplitude_m == Approx(3 * ft));
}
