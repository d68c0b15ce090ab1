// A run of the pits on a kept tank is the main job's, to the last bit; so is a copy of it.
#include "sim/pits_run.hpp"

#include <catch2/catch.hpp>

#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

TEST_CASE("pits run on a kept tank give what the main job gives, to the last bit") {
  SiteText site;
  site.years = 2;
  site.extra =
      "plan:\n"
      "  - {date: 2026-09-01, outlet: A, capped: yes}\n"
      "  - {date: 2027-01-01, outlet: A, capped: no}\n";
  const Scenario s = scenario_of(two_pits(site));
  const RunResult whole = run_expected(s);

  const TankHistory history = tank_history(s, whole.days());
  const PlannedBox plan = planned_box(s);
  PitsRun pits(s, history, plan, s.biomat, pits_at_start(s, s.biomat, history.week).pits);
  const int copied_on = 200;
  std::unique_ptr<PitsRun> copy;
  const auto same = [&](const DownstreamDay& today, int day) {
    for (std::size_t p = 0; p < 2; ++p) {
      const PitDay& expected = whole.cases.front().days[p][static_cast<std::size_t>(day)];
      if (today.pits[p].level_m != expected.level_m) return false;
      if (today.pits[p].intake_m3 != expected.intake_m3) return false;
    }
    return true;
  };
  while (!pits.at_end()) {
    if (pits.day() == copied_on) copy = std::make_unique<PitsRun>(pits);
    const int day = pits.day();
    REQUIRE(same(pits.next_day(), day));
  }
  REQUIRE(copy);
  REQUIRE(copy->day() == copied_on);
  while (!copy->at_end()) {
    const int day = copy->day();
    REQUIRE(same(copy->next_day(), day));
  }
}
