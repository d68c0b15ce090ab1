// Planned work: what is done on a date acts from that date on, and on nothing else.
#include <catch2/catch.hpp>

#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

RunResult run_with_plan(const std::string& plan, double years = 2) {
  SiteText site;
  site.years = years;
  if (!plan.empty()) site.extra = "plan:\n" + plan;
  return run_expected(scenario_of(two_pits(site)));
}

double inflow(const RunResult& r, std::size_t pit, int from, int to) {
  double sum = 0.0;
  for (int d = from; d < to; ++d) {
    sum += r.cases.front().days[pit][static_cast<std::size_t>(d)].inflow_m3;
  }
  return sum;
}

double tank_outflow(const RunResult& r, int from, int to) {
  double sum = 0.0;
  for (int d = from; d < to; ++d) sum += r.tank[static_cast<std::size_t>(d)].outflow_m3;
  return sum;
}

}  // namespace

TEST_CASE("a plan that undoes itself on the same day changes nothing, to the last bit") {
  const RunResult plain = run_with_plan("");
  const RunResult undone = run_with_plan(
      "  - {date: 2026-09-01, outlet: A, capped: yes}\n"
      "  - {date: 2026-09-01, outlet: A, capped: no}\n"
      "  - {date: 2027-01-01, outlet: B, raised: 1 in}\n"
      "  - {date: 2027-01-01, outlet: B, raised: 0 in}\n");
  REQUIRE(undone.phases.size() == 3);
  for (std::size_t p = 0; p < 2; ++p) {
    for (std::size_t d = 0; d < plain.tank.size(); ++d) {
      const PitDay& a = plain.cases.front().days[p][d];
      const PitDay& b = undone.cases.front().days[p][d];
      REQUIRE(a.level_m == b.level_m);
      REQUIRE(a.intake_m3 == b.intake_m3);
    }
  }
}

TEST_CASE("a capped outlet sends its pit's water to the other one") {
  const RunResult r = run_with_plan(
      "  - {date: 2026-06-30, outlet: A, capped: yes}\n"
      "  - {date: 2026-09-28, outlet: A, capped: no}\n");
  const int from = 60;
  const int to = 150;
  CHECK(inflow(r, 0, 0, from) > 0.0);
  CHECK(inflow(r, 0, from, to) == 0.0);
  CHECK(inflow(r, 1, from, to) == Approx(tank_outflow(r, from, to)).epsilon(1e-9));
  CHECK(inflow(r, 0, to, to + 30) > 0.0);
  const RunResult plain = run_with_plan("");
  CHECK(inflow(plain, 0, 0, from) == inflow(r, 0, 0, from));
  const auto level = [](const RunResult& x, int day) {
    return x.cases.front().days[0][static_cast<std::size_t>(day)].level_m;
  };
  CHECK(level(r, to - 1) < level(plain, to - 1));
  CHECK(worst_balance_error(r) < 1e-9);
}

TEST_CASE("hauled water reaches no pit and stands in the ledger") {
  const RunResult r = run_with_plan(
      "  - {date: 2026-06-30, haul: yes}\n"
      "  - {date: 2026-07-30, haul: no}\n");
  const int from = 60;
  const int to = 90;
  CHECK(inflow(r, 0, from, to) == 0.0);
  CHECK(inflow(r, 1, from, to) == 0.0);
  CHECK(tank_outflow(r, from, to) > 0.0);
  CHECK(r.cases.front().ledger.hauled == Approx(tank_outflow(r, from, to)).epsilon(1e-12));
  CHECK(inflow(r, 0, to, to + 30) > 0.0);
  CHECK(worst_balance_error(r) < 1e-9);
}

TEST_CASE("a new pit behind a capped outlet stays dry until it is opened") {
  const Scenario s = scenario_of(R"(name: Test site (invented)
start: 2026-05-01
years: 1
household: {occupants: 4}
tank: {volume: 1000 gal, pumped: 2025-05-01}
box:
  lid: 8 in
  outlets:
    - {name: A, to: east}
    - {name: B, to: new, capped: yes}
pits:
  - {name: east, diameter: 6 ft, depth: 8 ft, in_service: 5 years}
  - {name: new, diameter: 6 ft, depth: 8 ft, new: yes}
soil: {perc: 15 min/inch}
plan:
  - {date: 2026-08-09, outlet: A, capped: yes}
  - {date: 2026-08-09, outlet: B, capped: no}
)");
  const RunResult r = run_expected(s);
  const int from = 100;
  CHECK(inflow(r, 1, 0, from) == 0.0);
  CHECK(inflow(r, 0, from, r.days()) == 0.0);
  CHECK(inflow(r, 1, from, r.days()) > 0.0);
  CHECK(r.cases.front().days[1][from - 1].level_m == 0.0);
  for (const double resistance : r.cases.front().profiles.front().resistance_day[1]) {
    CHECK(resistance == s.biomat.clean_resistance_day);
  }
}

TEST_CASE("a raised lip moves the share and leaves the pit where it is") {
  const RunResult r = run_with_plan("  - {date: 2026-06-30, outlet: A, raised: 1 in}\n");
  CHECK(inflow(r, 0, 0, 60) == Approx(inflow(r, 1, 0, 60)).epsilon(1e-6));
  CHECK(inflow(r, 0, 61, 180) < 0.02 * inflow(r, 1, 61, 180));
  REQUIRE(r.phases.size() == 2);
  const SiteLayout& before = r.phases[0].site;
  const SiteLayout& after = r.phases[1].site;
  CHECK(after.outlets[0].lip_m == Approx(before.outlets[0].lip_m + 0.0254));
  CHECK(after.pits[0].bottom_over_datum_m == before.pits[0].bottom_over_datum_m);
}

TEST_CASE("one pipe can be led to another pit") {
  SiteText site;
  site.years = 1;
  std::string text = one_pit(site);
  text.insert(text.find("soil:"), "  - {name: west, diameter: 6 ft, depth: 8 ft, new: yes}\n");
  text += "plan:\n  - {date: 2026-06-30, to: west}\n";
  const RunResult r = run_expected(scenario_of(text));
  CHECK(inflow(r, 0, 0, 60) > 0.0);
  CHECK(inflow(r, 0, 60, r.days()) == 0.0);
  CHECK(inflow(r, 1, 0, 60) == 0.0);
  CHECK(inflow(r, 1, 60, r.days()) == Approx(tank_outflow(r, 60, r.days())).epsilon(1e-9));
}

TEST_CASE("a metered flow is the mean flow, and leaves the solids alone") {
  SiteText plain;
  plain.years = 1;
  SiteText metered = plain;
  metered.household = "occupants: 4, metered: 100 gal/day";
  const RunResult a = run_expected(scenario_of(two_pits(plain)));
  const RunResult b = run_expected(scenario_of(two_pits(metered)));
  CHECK(b.week.mean_flow_m3_per_day == Approx(100 * 3.785412e-3).epsilon(1e-4));
  CHECK(b.tank.front().tss_in_kg == a.tank.front().tss_in_kg);
}

TEST_CASE("the meter counts the softener too") {
  SiteText site;
  site.years = 1;
  site.household =
      "occupants: 4, metered: 200 gal/day, leak: 10 gal/day, "
      "softener: {every: 8 days, volume: 80 gal}";
  const RunResult r = run_expected(scenario_of(two_pits(site)));
  CHECK(r.week.mean_flow_m3_per_day == Approx(200 * 3.785412e-3).epsilon(1e-4));
  double sum = 0.0;
  for (const TankRecord& d : r.tank) sum += d.inflow_m3;
  CHECK(sum / r.days() == Approx(200 * 3.785412e-3).epsilon(0.01));
}
