// What must hold between cases of one site.
#include "sim/whatif.hpp"

#include <catch2/catch.hpp>

#include "sim/whatif_links.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

std::vector<CaseOutcome> outcomes(const std::string& site,
                                  const std::vector<std::vector<PathValue>>& sets,
                                  bool keeps_past = true, unsigned threads = 0) {
  std::vector<CaseToRun> cases{{"as it is", scenario_of(site), false, false}};
  for (const auto& set : sets)
    cases.push_back(
        {"case", parse_scenario(site, "test.yaml", {}, set).scenario, keeps_past, false});
  return run_cases(cases, {}, threads);
}

std::vector<std::vector<PathValue>> each(const std::string& path,
                                         const std::vector<std::string>& values) {
  std::vector<std::vector<PathValue>> sets;
  for (const std::string& v : values) sets.push_back({{path, v}});
  return sets;
}

int interval(const CaseOutcome& o) { return day_or_beyond(o.pump_interval_day); }

void check_same(const CaseOutcome& a, const CaseOutcome& b) {
  CHECK(a.flow_m3_per_day == b.flow_m3_per_day);
  CHECK(a.solids_kg_per_day == b.solids_kg_per_day);
  CHECK(a.week_m3 == b.week_m3);
  CHECK(a.bod_kg_per_day == b.bod_kg_per_day);
  CHECK(a.pump_interval_day == b.pump_interval_day);
  CHECK(a.first_full == b.first_full);
  CHECK(a.overflow == b.overflow);
  for (std::size_t p = 0; p < a.pits.size(); ++p) {
    CHECK(a.pits[p].highest_m == b.pits[p].highest_m);
    CHECK(a.pits[p].now_m3_per_day == b.pits[p].now_m3_per_day);
  }
}

}  // namespace

TEST_CASE("more occupants: more water and solids, pumped more often, full and over no later") {
  const auto all = outcomes(one_pit({.household = "occupants: 2", .start = "new: yes", .years = 4}),
                            each("household.occupants", {"3", "4", "6", "8"}));
  for (std::size_t i = 1; i < all.size(); ++i) {
    INFO("case " << i);
    CHECK(all[i].flow_m3_per_day > all[i - 1].flow_m3_per_day);
    CHECK(all[i].solids_kg_per_day > all[i - 1].solids_kg_per_day);
    CHECK(interval(all[i]) < interval(all[i - 1]));
    for (const auto clogging : {&DaySpread::early, &DaySpread::expected, &DaySpread::late}) {
      CHECK(day_or_beyond(all[i].first_full.*clogging) <=
            day_or_beyond(all[i - 1].first_full.*clogging));
      CHECK(day_or_beyond(all[i].overflow.*clogging) <=
            day_or_beyond(all[i - 1].overflow.*clogging));
    }
  }
  // Solids go as people, derived: the model says so.
  CHECK(all.back().solids_kg_per_day == Approx(4.0 * all.front().solids_kg_per_day).epsilon(1e-6));
  CHECK(all.back().first_full.expected != never);
}

TEST_CASE("early is never later than expected, expected never later than late") {
  int reached = 0;
  for (const CaseOutcome& o :
       outcomes(two_pits({.depth = "4 ft", .years = 2}), each("household.occupants", {"5", "7"}))) {
    for (const DaySpread& d : {o.first_full, o.overflow}) {
      if (d.expected != never) ++reached;
      CHECK(day_or_beyond(d.early) <= day_or_beyond(d.expected));
      CHECK(day_or_beyond(d.expected) <= day_or_beyond(d.late));
    }
  }
  CHECK(reached > 0);  // else nothing was compared
}

TEST_CASE("laundry on one day moves the days, not the mean and not the solids") {
  const auto all =
      outcomes(two_pits({.years = 1}), each("household.laundry.days", {"[sat]", "[mon]"}));
  for (std::size_t i = 1; i < all.size(); ++i) {
    CHECK(all[i].flow_m3_per_day == Approx(all[0].flow_m3_per_day).epsilon(0.01));
    CHECK(all[i].solids_kg_per_day == Approx(all[0].solids_kg_per_day).epsilon(1e-9));
    CHECK(more_often(all[0].pump_interval_day, all[i].pump_interval_day) == 0);
  }
  CHECK(all[1].week_m3[5] > 1.3 * all[0].week_m3[5]);
  CHECK(all[2].week_m3[0] > 1.3 * all[0].week_m3[0]);
}

TEST_CASE("a leak brings water and no solids, a disposer solids and no water") {
  const auto all = outcomes(two_pits({.years = 1}),
                            {{{"household.leak", "200 gal/day"}}, {{"household.disposer", "yes"}}});
  CHECK(all[1].flow_m3_per_day > 2.0 * all[0].flow_m3_per_day);
  CHECK(all[1].solids_kg_per_day == all[0].solids_kg_per_day);
  CHECK(all[2].flow_m3_per_day == all[0].flow_m3_per_day);
  CHECK(all[2].solids_kg_per_day > 1.2 * all[0].solids_kg_per_day);
}

TEST_CASE("the outcomes do not depend on how many threads there are") {
  const auto sets = each("household.occupants", {"3", "7"});
  const std::string site = two_pits({.extra = "mode: random\n", .years = 1});
  const auto one = outcomes(site, sets, true, 1);
  for (const unsigned threads : {2u, 16u}) {
    const auto several = outcomes(site, sets, true, threads);
    REQUIRE(several.size() == one.size());
    for (std::size_t i = 0; i < one.size(); ++i) check_same(one[i], several[i]);
  }
}

TEST_CASE("a changed household finds tank and pits as the file's household left them") {
  // In service for years: the pits' state comes from a history.
  const std::string site = two_pits({.start = "in_service: 5 years", .years = 1});
  const auto sets = each("household.occupants", {"8"});
  const auto kept = outcomes(site, sets, true);
  CHECK(kept[1].pits[0].now_m3_per_day == kept[0].pits[0].now_m3_per_day);
  const auto own = outcomes(site, sets, false);
  CHECK(own[1].pits[0].now_m3_per_day < own[0].pits[0].now_m3_per_day);
  // The same household is the same case, past kept or not.
  check_same(outcomes(site, each("household.occupants", {"4"}), true)[1], own[0]);
}

TEST_CASE("a failing case is named") {
  Scenario broken = scenario_of(two_pits({.years = 1}));
  broken.household.laundry.days = {9};  // no weekday
  CHECK_THROWS_WITH(run_cases({{"as it is", scenario_of(two_pits({.years = 1})), false, false},
                               {"the broken one", broken, false, false}}),
                    Catch::StartsWith("the broken one: "));
}

TEST_CASE("a what-if's early and late case end when all has happened, and tell the same dates") {
  const Scenario s = scenario_of(two_pits({.west_invert = "0.125 in", .years = 12}));
  const RunResult whole = run(s, main_cases(s.biomat));
  const RunResult dates = run(s, main_cases_for_dates(s.biomat));
  CHECK(dates.cases[Cases::expected].days[0].size() == whole.cases[Cases::expected].days[0].size());
  bool one_ended = false;
  for (const std::size_t c : Cases::early_to_late) {
    one_ended = one_ended || dates.cases[c].days[0].size() < whole.cases[c].days[0].size();
    CHECK(dates.cases[c].first_leaves == whole.cases[c].first_leaves);
    CHECK(dates.cases[c].leaves_at == whole.cases[c].leaves_at);
    for (std::size_t p = 0; p < s.pits.size(); ++p)
      CHECK(dates.cases[c].pits[p].first_full == whole.cases[c].pits[p].first_full);
  }
  CHECK(one_ended);
  check_same(outcome_of(whole), outcome_of(dates));
}
