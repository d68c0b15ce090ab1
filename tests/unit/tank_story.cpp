// What is known of the tank, put in order: stretches, drops, and questions that cannot be answered.
#include "sim/tank_story.hpp"

#include <catch2/catch.hpp>

#include "sim/diagnostic.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
using Catch::Matchers::Contains;
using From = Stretch::From;

namespace {

constexpr double in = 0.0254;

Date on_day(int y, unsigned m, unsigned d) {
  return std::chrono::sys_days(std::chrono::year(y) / std::chrono::month(m) / std::chrono::day(d));
}

// The scenarios start on 2026-05-01.
Scenario site(const std::string& tank) {
  return scenario_of(
      one_pit({.tank = "{volume: 1000 gal, liquid_depth: 48 in, " + tank + "}", .years = 20}));
}

TankReading reading(int y, unsigned m, unsigned d, double sludge_in, double scum_in) {
  return {on_day(y, m, d), sludge_in * in, scum_in * in};
}

std::string refusal(const Scenario& scenario, const std::vector<TankReading>& readings,
                    const std::vector<Date>& pumped = {}) {
  try {
    static_cast<void>(tank_story(scenario, readings, pumped));
  } catch (const QuestionError& e) {
    return e.what();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("a pump-out and readings after it are one stretch") {
  const TankStory s = tank_story(site("pumped: 2024-05-01"),
                                 {reading(2026, 5, 1, 14, 3), reading(2025, 5, 1, 7, 1)}, {});
  REQUIRE(s.stretches.size() == 1);
  CHECK(s.stretches[0].from == From::pumped);
  CHECK(s.stretches[0].begin == on_day(2024, 5, 1));
  REQUIRE(s.stretches[0].readings.size() == 2);
  CHECK(s.stretches[0].readings[0].date == on_day(2025, 5, 1));
  CHECK(s.now == on_day(2026, 5, 1));
  CHECK(s.drops.empty());
}

TEST_CASE(
    "readings of the file count, found is one on the start date, the command line overrules") {
  const Scenario scenario = site(
      "pumped: 2024-05-01, found: {sludge: 9 in, scum: 2 in}, "
      "readings: [{date: 2025-05-01, sludge: 4 in, scum: 1 in}]");
  const TankStory file = tank_story(scenario, {}, {});
  REQUIRE(file.stretches[0].readings.size() == 2);
  CHECK(file.stretches[0].readings[1].date == on_day(2026, 5, 1));
  CHECK(file.stretches[0].readings[1].sludge_m == Approx(9 * in));
  const TankStory asked = tank_story(scenario, {reading(2026, 5, 1, 12, 2)}, {});
  REQUIRE(asked.stretches[0].readings.size() == 2);
  CHECK(asked.stretches[0].readings[1].sludge_m == Approx(12 * in));
  const TankStory pumped = tank_story(scenario, {}, {on_day(2023, 1, 1)});
  CHECK(pumped.stretches[0].begin == on_day(2023, 1, 1));
}

TEST_CASE(
    "without a pump-out the first reading begins the story, found alone begins without a rate") {
  const TankStory two =
      tank_story(site("found: {sludge: 9 in, scum: 2 in}"), {reading(2025, 1, 1, 4, 1)}, {});
  REQUIRE(two.stretches.size() == 1);
  CHECK(two.stretches[0].from == From::reading);
  CHECK(two.stretches[0].begin == on_day(2025, 1, 1));
  CHECK(two.stretches[0].readings.size() == 1);
  CHECK_FALSE(two.only_found);
  const TankStory alone = tank_story(site("found: {sludge: 9 in, scum: 2 in}"), {}, {});
  CHECK(alone.only_found);
  CHECK(alone.stretches[0].from == From::reading);
  const TankStory nothing = tank_story(site("pump_out: never"), {}, {});
  CHECK(nothing.taken_as_pumped);
  CHECK(nothing.stretches[0].begin == on_day(2026, 5, 1));
}

TEST_CASE("a reading that is lower than the one before begins anew") {
  const TankStory s = tank_story(
      site("pumped: 2022-05-01"),
      {reading(2024, 5, 1, 12, 2), reading(2025, 5, 1, 4, 1), reading(2026, 5, 1, 8, 1)}, {});
  REQUIRE(s.stretches.size() == 2);
  CHECK(s.stretches[1].from == From::reading);
  CHECK(s.stretches[1].begin == on_day(2025, 5, 1));
  CHECK(s.stretches[1].readings.size() == 1);
  REQUIRE(s.drops.size() == 1);
  CHECK(s.drops[0].first.date == on_day(2024, 5, 1));
  // An inch less may be the stick's error.
  CHECK(tank_story(site("pumped: 2022-05-01"),
                   {reading(2024, 5, 1, 12, 2), reading(2025, 5, 1, 11, 2)}, {})
            .drops.empty());
}

TEST_CASE("pump-outs between readings part them, and one on the day of a reading came after it") {
  const TankStory s =
      tank_story(site("pump_out: never"), {reading(2026, 5, 1, 14, 3), reading(2028, 5, 1, 12, 2)},
                 {on_day(2026, 5, 1), on_day(2022, 5, 1)});
  REQUIRE(s.stretches.size() == 2);
  CHECK(s.stretches[0].begin == on_day(2022, 5, 1));
  REQUIRE(s.stretches[0].readings.size() == 1);
  CHECK(s.stretches[0].readings[0].date == on_day(2026, 5, 1));
  CHECK(s.stretches[1].begin == on_day(2026, 5, 1));
  CHECK(s.stretches[1].readings.size() == 1);
  CHECK(s.drops.empty());
  CHECK(s.now == on_day(2028, 5, 1));
  // Planned in the file, and a reading lies behind it.
  const TankStory planned = tank_story(site("pumped: 2024-05-01, pump_out: {on: 2027-05-01}"),
                                       {reading(2028, 5, 1, 5, 1)}, {});
  REQUIRE(planned.stretches.size() == 2);
  CHECK(planned.stretches[1].begin == on_day(2027, 5, 1));
}

TEST_CASE("questions that cannot be answered say what is missing or wrong, all at once") {
  const TankReading today = reading(2026, 5, 1, 14, 3);
  CHECK_THAT(refusal(site("pump_out: never"), {today}),
             Contains("not how fast it fills") && Contains("--pumped DATE"));
  CHECK(refusal(site("pump_out: never"), {today}, {on_day(2024, 5, 1)}) == "accepted");
  CHECK_THAT(refusal(site("pump_out: never"), {reading(2025, 5, 1, 20, 3), today}),
             Contains("was pumped between the two"));
  CHECK_THAT(refusal(site("pumped: 2024-05-01"), {reading(2024, 4, 30, 2, 1)}),
             Contains("the reading of 2024-04-30 is not after the first pump-out known"));
  CHECK_THAT(refusal(site("pumped: 2024-05-01"), {reading(2024, 5, 1, 2, 1)}),
             Contains("--pumped DATE --pumped 2024-05-01"));
  CHECK_THAT(refusal(site("pumped: 2024-05-01"), {reading(2026, 5, 1, 40, 9)}),
             Contains("liquid depth is 48.0 in"));
  CHECK_THAT(refusal(site("new: yes"), {reading(2026, 5, 1, 1, 0)}), Contains("first used"));
  CHECK_THAT(refusal(site("new: yes"), {reading(2027, 5, 1, 1, 0)}, {on_day(2025, 1, 1)}),
             Contains("does not fit the file"));
  CHECK_THAT(refusal(site("pumped: 2024-05-01"), {today, today}), Contains("two readings of"));
  CHECK_THAT(refusal(site("pump_out: never"), {}, {on_day(2027, 1, 1)}), Contains("pump_out: on"));
  const std::string all =
      refusal(site("pumped: 2024-05-01"), {reading(2023, 1, 1, 40, 9), reading(2026, 5, 1, 49, 0)});
  CHECK_THAT(all, Contains("not after the first pump-out") && Contains("of 2023-01-01 has") &&
                      Contains("of 2026-05-01 has"));
}

TEST_CASE("a pump-out of long ago is taken as 30 years ago") {
  const TankStory s = tank_story(site("pumped: 1950-05-01"), {reading(2026, 5, 1, 14, 3)}, {});
  CHECK((s.now - s.stretches[0].begin).count() == longest_story_day);
  CHECK(s.stretches[0].readings.size() == 1);
  CHECK(s.notes.size() == 1);
}
