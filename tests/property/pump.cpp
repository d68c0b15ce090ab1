// What must hold for any site's pump-out dates.
#include <catch2/catch.hpp>

#include "sim/pump_report.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double in = 0.0254;

Date on_day(int y, unsigned m, unsigned d) {
  return std::chrono::sys_days(std::chrono::year(y) / std::chrono::month(m) / std::chrono::day(d));
}

Scenario site(const std::string& tank, double years = 1) {
  return scenario_of(
      one_pit({.tank = "{volume: 1000 gal, liquid_depth: 48 in, " + tank + "}", .years = years}));
}

PumpStudy study(const Scenario& scenario, const std::vector<TankReading>& readings) {
  return study_pumping(scenario, tank_story(scenario, readings, {}));
}

int or_beyond(const std::optional<MarkMet>& mark) { return mark ? mark->day : 1000000; }

}  // namespace

TEST_CASE("more people never pump later, a disposer never later, with and without a reading") {
  const Scenario scenario = site("pumped: 2024-05-01");
  for (const std::vector<TankReading>& readings :
       {std::vector<TankReading>{}, {{on_day(2026, 5, 1), 7 * in, 1 * in}}}) {
    const PumpStudy s = study(scenario, readings);
    REQUIRE(s.others.size() == 16);
    int as_given = 0;
    for (std::size_t i = 0; i < s.others.size(); ++i) {
      const OtherHousehold& o = s.others[i];
      as_given += o.as_given ? 1 : 0;
      INFO(o.people << " people, disposer " << o.disposer);
      const std::size_t fewer = i - (o.disposer ? 1 : 2);
      if (i < 1 || (!o.disposer && i < 2)) continue;
      CHECK(or_beyond(o.interval) <= or_beyond(s.others[fewer].interval));
      CHECK(o.next_day.value_or(1000000) <= s.others[fewer].next_day.value_or(1000000));
    }
    CHECK(as_given == 1);
    CHECK(or_beyond(s.others.back().interval) < or_beyond(s.others.front().interval));
    // The household itself stands in the table as in the answer.
    for (const OtherHousehold& o : s.others) {
      if (!o.as_given || !s.corrected.next) continue;
      const auto day = (*s.corrected.next - s.story.now).count();
      CHECK(std::abs(static_cast<int>(day) - o.next_day.value()) <= 2);
    }
  }
}

TEST_CASE("a deeper reading never asks for a later pump-out, and earliest is before latest") {
  const Scenario scenario = site("pumped: 2024-05-01", 10);
  Date before = on_day(2200, 1, 1);
  for (const double depth : {5.0, 9.0, 13.0, 17.0}) {
    const PumpStudy s = study_dates(
        scenario, tank_story(scenario, {{on_day(2026, 5, 1), (depth - 1) * in, 1 * in}}, {}));
    INFO(depth << " in");
    REQUIRE(s.fit);
    const Date next = s.corrected.next.value_or(on_day(2100, 1, 1));
    CHECK(next <= before);
    before = next;
    CHECK(s.earliest.next.value_or(on_day(2100, 1, 1)) <= next);
    CHECK(next <= s.latest.next.value_or(on_day(2100, 1, 1)));
    CHECK(s.earliest.factor > s.corrected.factor);
    CHECK(s.corrected.factor > s.latest.factor);
  }
  CHECK(before < on_day(2100, 1, 1));
}

TEST_CASE(
    "pits are never worse off for pumping on time, and water and solids balance in each plan") {
  const PumpStudy s = study(site("found: {sludge: 14 in, scum: 3 in}", 6), {});
  REQUIRE(s.plans.size() == 3);
  const PumpPlan& on_time = s.plans.front();
  const PumpPlan& never_again = s.plans.back();
  CHECK(on_time.run.pumped.size() > s.plans[1].run.pumped.size());
  CHECK(never_again.run.pumped.empty());
  for (const PumpPlan& p : s.plans) CHECK(worst_balance_error(p.run) < 1e-9);
  CHECK(on_time.run.tank_ledger.solids_out < never_again.run.tank_ledger.solids_out);
  for (std::size_t k = 0; k < on_time.run.cases.size(); ++k) {
    CHECK(day_or_beyond(never_again.run.cases[k].first_leaves) <=
          day_or_beyond(on_time.run.cases[k].first_leaves));
    CHECK(capacity_at_end(never_again.run.cases[k]) < capacity_at_end(on_time.run.cases[k]));
  }
}

TEST_CASE("the run goes on from the fitted model") {
  const Scenario scenario = site("pumped: 2024-05-01");
  const PumpStudy s = study(scenario, {{on_day(2026, 5, 1), 10 * in, 2 * in}});
  REQUIRE(s.fit);
  const RunResult& run = s.plans.back().run;
  const Layers start = layers(scenario.tank.tank, scenario.tank_parameters, run.tank_start.solids);
  CHECK(start.sludge_first_m + start.scum_first_m == Approx(12 * in).epsilon(1e-3));
  // The tank of the run follows the curve shown.
  const Date last = date_of(scenario.start, run.days() - 1);
  int compared = 0;
  for (const CoursePoint& p : s.corrected.points) {
    if (p.date != last) continue;
    ++compared;
    CHECK(run.tank.back().layers.sludge_first_m == Approx(p.layers.sludge_first_m).epsilon(5e-3));
  }
  CHECK(compared == 1);
}

TEST_CASE("years of pit life are counted from day to day, none where nothing is lost") {
  CHECK(lost_words(3653, 1826, 7305) == "5.0 years");
  CHECK(lost_words(never, 3653, 7305) == "at least 10.0 years");
  CHECK(lost_words(never, never, 7305).empty());
  CHECK(lost_words(1826, never, 7305).empty());
  CHECK(lost_words(1826, 1826, 7305).empty());
}
