// What must hold between cases of one site.
#include "sim/whatif.hpp"

#include <catch2/catch.hpp>

#include "sim/packed_site.hpp"
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

TEST_CASE("sites under one house and tank run together to the numbers of each alone") {
  for (const char* mode : {"steady", "random"}) {
    SiteText text;
    text.start = "in_service: 3 years";
    text.years = 2;
    text.extra = fmt::format("mode: {}\n", mode);
    const Scenario plain = scenario_of(two_pits(text));
    std::vector<Scenario> sites(5, plain);
    // All that lies below the tank, and what is only said.
    sites[1].box.outlets[1].placement.raised_m += 0.01;
    sites[1].biomat.beta_day_m2_per_kg *= 2.0;
    sites[1].name = "another";
    for (const bool haul : {true, false}) {
      PlannedWork work;
      work.date = plain.start + std::chrono::days(haul ? 200 : 260);
      work.haul = haul;
      sites[2].plan.push_back(work);
    }
    sites[2].soil_temperature.mean_c += 4.0;
    sites[3].pits[0].geometry.depth_m *= 0.5;
    sites[3].soil.layers[0].soil.kfs_m_per_day *= 0.3;
    sites[3].soil.water_table.emplace().mean_m = 6.0;
    sites[3].groundwater.specific_yield *= 0.5;
    sites[3].separation_m *= 0.5;
    sites[4].drainage.longest_day *= 2.0;
    sites[4].soil_lag.lagging_share = 0.0;
    sites[4].units = UnitSystem::metric;
    std::vector<SiteToRun> together;
    for (const Scenario& site : sites) {
      CHECK(packed_house_and_tank(site) == packed_house_and_tank(plain));
      together.push_back({&site, nullptr, main_cases(site.biomat), ""});
    }
    const std::vector<RunResult> results = run_on_one_tank(together);
    REQUIRE(results.size() == sites.size());
    for (std::size_t i = 0; i < sites.size(); ++i) {
      CAPTURE(mode, i);
      const RunResult alone = run(sites[i], main_cases(sites[i].biomat));
      const RunResult& one = results[i];
      check_same(outcome_of(one), outcome_of(alone));
      CHECK(one.free_share == alone.free_share);
      CHECK(std::equal(std::begin(one.effluent.day), std::end(one.effluent.day),
                       std::begin(alone.effluent.day)));
      CHECK(one.tank_ledger.solids_out == alone.tank_ledger.solids_out);
      for (std::size_t c = 0; c < alone.cases.size(); ++c) {
        CHECK(one.cases[c].ledger.soil == alone.cases[c].ledger.soil);
        CHECK(one.cases[c].ledger.hauled == alone.cases[c].ledger.hauled);
        CHECK(one.cases[c].outlet_m3_by_year == alone.cases[c].outlet_m3_by_year);
        CHECK(one.cases[c].water_held_end_m3 == alone.cases[c].water_held_end_m3);
      }
    }
  }
}

TEST_CASE("what house and tank hang on keeps sites apart") {
  const Scenario plain = scenario_of(two_pits({}));
  const auto differs = [&](const auto& change) {
    Scenario other = plain;
    change(other);
    return packed_house_and_tank(other) != packed_house_and_tank(plain);
  };
  CHECK(differs([](Scenario& s) { s.household.occupants += 1.0; }));
  CHECK(differs([](Scenario& s) { s.household_parameters.tss_kg_per_person_day *= 2.0; }));
  CHECK(differs([](Scenario& s) { s.tank.tank.plan_area_m2 *= 2.0; }));
  CHECK(differs([](Scenario& s) { s.tank.pump_out.dates.push_back(s.start); }));
  CHECK(differs([](Scenario& s) { s.tank_parameters.scum_share *= 2.0; }));
  CHECK(differs([](Scenario& s) { s.years += 1.0; }));
  CHECK(differs([](Scenario& s) { s.start += std::chrono::days(1); }));
  CHECK(differs([](Scenario& s) { s.mode = Mode::random; }));
  CHECK(differs([](Scenario& s) { s.seed += 1; }));
  CHECK(differs([](Scenario& s) { s.limits.pit_step_day *= 0.5; }));
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
