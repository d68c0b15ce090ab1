// Pits in a high water table: where the water comes from and goes, balances, directions.
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

SiteText site_with_table(const std::string& table) {
  SiteText text;
  text.soil = "{perc: 10 min/inch, water_table: " + table + "}";
  text.start = "new: yes";
  text.years = 2;
  return text;
}

double sum_of(const CaseRun& run, double PitDay::*member) {
  double sum = 0.0;
  for (const auto& pit : run.days) {
    for (const PitDay& day : pit) sum += day.*member;
  }
  return sum;
}

}  // namespace

TEST_CASE("balances close with groundwater coming and going, and only a pit over the table loses") {
  int days_under = 0;
  for (const std::string table :
       {"6 ft", "9 ft", "{mean: 11 ft, amplitude: 4 ft}", "{mean: 9 ft, amplitude: 8 ft}",
        // rising faster than the household fills a pit
        "[{date: 2026-06-28, depth: 20 ft}, {date: 2026-07-01, depth: 4 ft}, "
        "{date: 2026-09-01, depth: 15 ft}]"}) {
    for (const bool box : {true, false}) {
      const Scenario s =
          scenario_of(box ? two_pits(site_with_table(table)) : one_pit(site_with_table(table)));
      const RunResult r = run_expected(s);
      INFO(table << (box ? ", two pits" : ", one pit"));
      CHECK(worst_balance_error(r) < 1e-9);
      const CaseRun& run = r.cases[0];
      CHECK(run.ledger.ground == Approx(sum_of(run, &PitDay::ground_m3)).epsilon(1e-9));
      CHECK(run.ledger.ground > 0.0);
      for (std::size_t p = 0; p < run.days.size(); ++p) {
        for (int d = 0; d < r.days(); ++d) {
          const PitDay& day = run.days[p][static_cast<std::size_t>(d)];
          REQUIRE(day.intake_m3 >= 0.0);
          REQUIRE(day.ground_m3 >= 0.0);
          // Never above the table as it is without the pit's own mound: nothing may go out.
          const double table_m =
              water_table_m(s.soil.water_table, r.site.pits[p], date_of(s.start, d));
          REQUIRE(day.table_m >= table_m);
          if (day.highest_m > table_m) continue;
          ++days_under;
          REQUIRE(day.intake_m3 == 0.0);
        }
      }
    }
  }
  CHECK(days_under > 100);
}

TEST_CASE("a pit that stays under the table takes nothing in, an unused one fills to it") {
  SiteText text = site_with_table("6 ft");  // 5 ft over the bottom
  text.household = "occupants: 0";
  text.start = "new: yes";
  const RunResult r = run_expected(scenario_of(one_pit(text)));
  const CaseRun& run = r.cases[0];
  const double table = (3 + 8 - 6) * 0.3048;
  double before = 0.0;
  for (const PitDay& day : run.days[0]) {
    if (day.highest_m < table - 1e-6) {
      CHECK(day.intake_m3 < 1e-9);
      CHECK(day.ground_m3 > 0.0);
    }
    before = day.level_m;
  }
  CHECK(before == Approx(table).epsilon(0.01));
}

TEST_CASE("the higher the table, the higher the water and the less goes into the soil") {
  double level = -1.0, net = 1e9;
  for (const char* table : {"40 ft", "14 ft", "11 ft", "9 ft", "7 ft", "5 ft"}) {
    const RunResult r = run_expected(scenario_of(one_pit(site_with_table(table))));
    const CaseRun& run = r.cases[0];
    const double mean = sum_of(run, &PitDay::level_m) / r.days();
    const double into_ground = run.ledger.soil - run.ledger.ground;
    INFO(table << ": mean level " << mean << ", net into the soil " << into_ground);
    CHECK(mean >= level - 1e-6);
    CHECK(into_ground <= net * (1 + 1e-9));
    level = mean;
    net = into_ground;
  }
}

TEST_CASE("the mound raises the table, and the more so the tighter the ground") {
  double before = 0.0;
  for (const char* perc : {"5 min/inch", "15 min/inch", "30 min/inch"}) {
    SiteText text;
    text.soil = std::string("{perc: ") + perc + ", water_table: 30 ft}";
    text.start = "new: yes";
    text.years = 1;
    const RunResult r = run_expected(scenario_of(one_pit(text)));
    const double mound = r.cases[0].days[0].back().table_m + (30 - 11) * 0.3048;
    INFO(perc << ": mound " << mound);
    CHECK(mound > before);
    before = mound;
  }
}

TEST_CASE("what lies below the table does not recover") {
  const auto left_after = [](const char* table) {
    SiteText text = site_with_table(table);
    text.household = "occupants: 0";
    text.start = "measured: {level: 3 ft, drop: 2 in/day}";
    text.years = 1;
    const RunResult r = run_expected(scenario_of(one_pit(text)));
    const auto& profiles = r.cases[0].profiles;
    return profiles.back().resistance_day[0].front() / profiles.front().resistance_day[0].front();
  };
  CHECK(left_after("9.5 ft") == Approx(1.0).epsilon(0.05));  // the lowest ring stays in it
  CHECK(left_after("40 ft") < 0.7);
}
