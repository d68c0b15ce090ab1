// What must hold of a rest, whatever the numbers.
#include "sim/rest.hpp"

#include <catch2/catch.hpp>

#include "sim/rest_report.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

// A pit near its end, the lower of two; the other one has room.
std::string failing_site(double years = 4) {
  SiteText site;
  site.years = years;
  site.household = "occupants: 3";
  site.west_invert = "1/8 in";
  site.start = "measured: {level: 7 ft 11 in, drop: 8 in/day}";
  return two_pits(site);
}

RestQuestion question(const Scenario& s, WhileResting::Kind to = WhileResting::Kind::others) {
  RestQuestion q;
  q.from = s.start + std::chrono::days(20);
  q.flow_to = {to, ""};
  q.service_day = 200;
  q.longest_rest_day = 365;
  q.look_ahead_day = 800;
  return q;
}

RestCurve expected_curve(const Scenario& s, const RestQuestion& q) {
  const TankHistory history = tank_history(s, 20 + q.longest_rest_day + q.look_ahead_day);
  return rest_curve(s, history, q, clogging_cases(s.biomat).front(), true);
}

}  // namespace

TEST_CASE("a resting pit drains and recovers, and never beyond a clean one") {
  const Scenario s = scenario_of(failing_site());
  const TankHistory history = tank_history(s, 20 + 365 + 300);
  RestQuestion q = question(s);
  q.look_ahead_day = 300;
  const std::vector<ClogCase> cases = clogging_cases(s.biomat);
  for (const std::size_t k : {Cases::expected, Cases::early, Cases::late}) {
    INFO(cases[k].name);
    const RestCurve c = rest_curve(s, history, q, cases[k], true);
    REQUIRE(c.level_m.size() == 365);
    for (std::size_t d = 1; d < c.level_m.size(); ++d) {
      CHECK(c.level_m[d] <= c.level_m[d - 1]);
      // While it drains, wet rings go on clogging a little with what they take in.
      if (c.level_m[d - 1] == 0.0) CHECK(c.takes_m3_per_day[d] >= c.takes_m3_per_day[d - 1]);
      CHECK(c.takes_m3_per_day[d] <= c.never_clogged.takes_m3_per_day);
    }
    CHECK(c.takes_m3_per_day.back() > c.takes_m3_per_day.front());
  }
}

TEST_CASE("with its water hauled away a longer rest ends in a later full pit") {
  SiteText site;
  site.years = 4;
  site.household = "occupants: 6";
  site.start = "measured: {level: 7 ft 11 in, drop: 12 in/day}";
  const Scenario s = scenario_of(one_pit(site));
  const RestQuestion q = question(s, WhileResting::Kind::haul);
  const RestCurve c = expected_curve(s, q);
  int before = -1;
  for (const RestPoint& p : c.points) {
    INFO("rest of " << p.rest_day << " days");
    const int full_again = p.lasts_day == never ? 1000000 : p.rest_day + p.lasts_day;
    CHECK(full_again >= before);
    before = full_again;
  }
  REQUIRE(c.points.back().lasts_day != never);  // else nothing was compared
  CHECK(day_or_beyond(c.never_clogged.lasts_day) >= c.points.back().lasts_day);
  CHECK(c.meanwhile.first_leaves == never);
}

TEST_CASE("what is hauled during a rest is what leaves the tank on its days") {
  SiteText site;
  site.years = 1;
  const Scenario s = scenario_of(one_pit(site));  // pumped on the start: it refills first
  RestQuestion q = question(s, WhileResting::Kind::haul);
  q.from = s.start;
  q.longest_rest_day = 60;
  q.look_ahead_day = 10;
  const TankHistory history = tank_history(s, q.longest_rest_day + q.look_ahead_day);
  const RestCurve c = rest_curve(s, history, q, clogging_cases(s.biomat).front(), true);
  const RunResult plain = run_expected(s);
  double sum = 0.0;
  for (std::size_t d = 0; d < 60; ++d) {
    sum += plain.tank[d].outflow_m3;
    REQUIRE(c.meanwhile.outflow_m3.at(d) == Approx(sum));
  }
  CHECK(c.meanwhile.outflow_m3[6] < 0.5 * 7 * history.week.mean_flow_m3_per_day);
}

TEST_CASE("of a single pit nothing is said of others") {
  SiteText site;
  site.years = 1;
  site.household = "occupants: 8";
  site.depth = "4 ft";
  site.start = "measured: {level: 47 in, drop: 6 in/day}";
  const Scenario s = scenario_of(one_pit(site));
  RestQuestion q = question(s, WhileResting::Kind::haul);
  q.longest_rest_day = 60;
  q.look_ahead_day = 210;
  const Report report = rest_report(rest(s, q), {});
  REQUIRE(report.answer.front().text.find("even a new, clean pit") != std::string::npos);
  CHECK(report.answer.front().text.find("others") == std::string::npos);
}

TEST_CASE("turns with a reserve pit are held against both in service") {
  std::string text = failing_site();
  const std::string west = "invert: 1/8 in";
  text.replace(text.find(west), west.size(), "invert: 0 in, capped: yes");
  Scenario s = scenario_of(text);
  s.pits[1].start = {};
  s.pits[1].start.kind = PitStart::Kind::brand_new;
  RestQuestion q = question(s, WhileResting::Kind::pit);
  q.flow_to.pit = "west";
  q.from = s.start;
  q.longest_rest_day = 10;
  q.service_day = 20;
  q.look_ahead_day = 300;
  const RestResult r = rest(s, q);
  REQUIRE(r.partner == std::size_t{1});
  REQUIRE(r.both_without_turns);
  Scenario by_hand = s;
  PlannedWork open;
  open.date = q.from;
  open.outlet = 1;
  open.capped = false;
  by_hand.plan.push_back(open);
  const RunResult both = run_expected(by_hand);
  const int both_leave = both.cases.front().first_leaves;
  const int alone_leaves = run_expected(s).cases.front().first_leaves;
  CHECK(r.turns.front().first_leaves[0] ==
        (both_leave == never || both_leave >= q.look_ahead_day ? never : both_leave));
  REQUIRE(alone_leaves != never);
  CHECK(both_leave != alone_leaves);  // else nothing was told apart
}

TEST_CASE("turns that overflow sooner than no turns are said to") {
  RestResult r;
  r.scenario = scenario_of(failing_site(1));
  r.question = question(r.scenario);
  r.curves.resize(3);
  for (RestCurve& c : r.curves) {
    c.points.resize(1);
    c.meanwhile.highest_m.resize(2);
    c.meanwhile.first_full.assign(2, never);
    c.shortest = RestPoint{};
  }
  r.curves[Cases::early].clog_case.name = "early";
  r.as_it_is = {never, 700, never};
  r.partner = 1;
  r.both_without_turns = true;
  r.turns = {{0.0, {22, 16, 23}, {never, 700, never}, 0.7},
             {9.0, {never, 360, never}, {never, 430, never}, 0.9}};
  const auto told = [&] {
    const std::vector<AnswerLine> answer = rest_report(r, {}).answer;
    const auto turns = std::ranges::find(answer, "Taking turns", &AnswerLine::topic);
    return turns == answer.end() ? std::string() : turns->text;
  };
  REQUIRE_FALSE(told().empty());
  CHECK(told().find("overflows later: in the early case after 1.9 years, with turns after 1.2") !=
        std::string::npos);
  r.turns.front().first_leaves[Cases::early] = 400;
  CHECK(told().find("overflows later") == std::string::npos);
}

TEST_CASE("a rest of no days changes nothing, to the last bit") {
  const Scenario s = scenario_of(failing_site(1));
  const RestQuestion q = question(s);
  const RestWorks works = rest_works(s, 0, q.flow_to, q.from, q.from);
  REQUIRE(works.all().size() == 2);
  const RunResult plain = run_expected(s);
  const RunResult rested = run_expected(with_works(s, works.all()));
  REQUIRE(rested.phases.size() == 2);
  for (std::size_t p = 0; p < 2; ++p) {
    for (std::size_t d = 0; d < plain.tank.size(); ++d) {
      REQUIRE(plain.cases.front().days[p][d].level_m == rested.cases.front().days[p][d].level_m);
    }
  }
  // And the table's first row is the plain run's first full day.
  const RestCurve c = expected_curve(s, q);
  int first = never;
  for (int d = 20; d < plain.days() && first == never; ++d) {
    if (plain.cases.front().days[0][static_cast<std::size_t>(d)].full) first = d - 20;
  }
  REQUIRE(first != never);
  CHECK(c.points.front().rest_day == 0);
  CHECK(c.points.front().lasts_day == first);
}

TEST_CASE("rest and service run by hand give the dates of the search") {
  const Scenario s = scenario_of(failing_site());
  const RestQuestion q = question(s);
  const RestCurve c = expected_curve(s, q);
  int compared = 0;
  for (const RestPoint& p : c.points) {
    if (p.rest_day != 30 && p.rest_day != 120 && p.rest_day != 365) continue;
    INFO("rest of " << p.rest_day << " days, lasts " << p.lasts_day);
    const RestWorks works =
        rest_works(s, 0, q.flow_to, q.from, q.from + std::chrono::days(p.rest_day));
    const RunResult r = run_expected(with_works(s, works.all()));
    const int back = 20 + p.rest_day;
    const std::vector<PitDay>& days = r.cases.front().days[0];
    CHECK(days[static_cast<std::size_t>(back - 1)].level_m == p.level_m);
    int lasts = never;
    for (int d = back; d < std::min(r.days(), back + q.look_ahead_day) && lasts == never; ++d) {
      if (days[static_cast<std::size_t>(d)].full) lasts = d - back;
    }
    CHECK(lasts == p.lasts_day);
    ++compared;
  }
  CHECK(compared == 3);
}

TEST_CASE("the shortest rest buys the service, and one a week shorter does not") {
  const Scenario s = scenario_of(failing_site());
  const RestQuestion q = question(s);
  const TankHistory history = tank_history(s, 20 + q.longest_rest_day + q.look_ahead_day);
  const ClogCase expected = clogging_cases(s.biomat).front();
  const RestCurve c = rest_curve(s, history, q, expected, true);
  REQUIRE(c.shortest);
  REQUIRE(c.shortest->rest_day > 7);
  CHECK(day_or_beyond(c.shortest->lasts_day) >= q.service_day);
  RestQuestion shorter = q;
  shorter.longest_rest_day = c.shortest->rest_day - 7;
  const RestCurve less = rest_curve(s, history, shorter, expected, true);
  CHECK_FALSE(less.shortest);
}

TEST_CASE("two pits that take turns are the plan run by hand") {
  const Scenario s = scenario_of(failing_site());
  RestQuestion q = question(s);
  q.longest_rest_day = 30;
  q.look_ahead_day = 500;
  const RestResult r = rest(s, q);
  REQUIRE(r.partner == std::size_t{1});
  for (const Turns& turns : r.turns) {
    if (turns.months != 3.0) continue;
    Scenario by_hand = s;
    by_hand.years = 520 / 365.25;
    bool own_rests = true;
    for (int turn = 0; turn < 6; ++turn) {
      const int day = 20 + static_cast<int>(std::lround(turn * 3 * 365.25 / 12));
      for (const std::size_t outlet : {std::size_t{0}, std::size_t{1}}) {
        PlannedWork w;
        w.date = s.start + std::chrono::days(day);
        w.outlet = outlet;
        w.capped = (outlet == 0) == own_rests;
        by_hand.plan.push_back(w);
      }
      own_rests = !own_rests;
    }
    const RunResult run = run_expected(by_hand);
    CHECK(run.cases.front().first_leaves - 20 ==
          (turns.first_leaves[0] == never ? never - 20 : turns.first_leaves[0]));
  }
}
