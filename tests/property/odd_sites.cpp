// Odd sites by the hundred: each is refused with every problem in its place, or gives a finite,
// balanced answer. More of them: ODD_SITES=5000 build/tests/property_odd_sites
#include <stdlib.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "sim/diagnostic.hpp"
#include "tests/support/odd_site.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double rounding = 1e-9;

bool in_run(int day, int days) { return day == never || (day >= 0 && day < days); }

void check_tank(const RunResult& r) {
  for (const TankRecord& t : r.tank) {
    for (const double x :
         {t.inflow_m3, t.outflow_m3, t.foreign_m3, t.peak_outflow_m3_per_day, t.tss_in_kg,
          t.tss_out_kg, t.bod_out_kg, t.carried_over_kg, t.residents, t.layers.sludge_first_m,
          t.layers.scum_first_m, t.layers.sludge_outlet_m, t.layers.scum_outlet_m})
      if (!(std::isfinite(x) && x >= -rounding)) FAIL_CHECK("in the tank's record: " << x);
  }
  for (const int day : r.pumped)
    if (!in_run(day, r.days())) FAIL_CHECK("pumped on day " << day);
  for (const CriterionDates& c : r.criteria)
    for (const int day : c.met)
      if (!in_run(day, r.days())) FAIL_CHECK("mark on day " << day);
}

void check_pits(const RunResult& r, const CaseRun& c) {
  for (std::size_t p = 0; p < c.days.size(); ++p) {
    const double brim_m = r.site.pits[p].brim_m;
    for (const PitDay& d : c.days[p]) {
      const bool sound = std::isfinite(d.inflow_m3) && std::isfinite(d.intake_m3) &&
                         d.intake_m3 >= -rounding && d.ground_m3 >= -rounding &&
                         std::isfinite(d.ground_m3) && d.overflow_m3 >= -rounding &&
                         std::isfinite(d.overflow_m3) && d.level_m >= 0.0 &&
                         d.level_m <= brim_m + rounding && d.highest_m >= d.level_m - rounding;
      if (!sound)
        FAIL_CHECK("pit " << p << ": in " << d.inflow_m3 << ", soil " << d.intake_m3 << ", ground "
                          << d.ground_m3 << ", over " << d.overflow_m3 << ", level " << d.level_m
                          << " of " << brim_m << ", highest " << d.highest_m);
      if (!sound) return;
    }
    for (const int day :
         {c.pits[p].first_full, c.pits[p].first_reaches_box, c.pits[p].first_overflow})
      if (!in_run(day, r.days())) FAIL_CHECK("pit " << p << ", a date on day " << day);
  }
  for (const ClogProfile& profile : c.profiles)
    for (const auto& pit : profile.resistance_day)
      for (const double x : pit)
        if (!(std::isfinite(x) && x >= 0.0)) FAIL_CHECK("resistance " << x);
  if (!in_run(c.first_no_reserve, r.days()) || !in_run(c.first_leaves, r.days()))
    FAIL_CHECK("a date outside of the run");
}

int sites_asked() {
  const char* text = getenv("ODD_SITES");
  return text != nullptr ? std::atoi(text) : 60;
}

}  // namespace

TEST_CASE("odd sites are refused in place or give a balanced answer") {
  const int sites = sites_asked();
  int run_sites = 0;
  for (int i = 0; i < sites; ++i) {
    const std::string text = OddSite(static_cast<std::uint64_t>(i)).text();
    INFO("site " << i << "\n" << text);
    Scenario scenario;
    try {
      scenario = parse_scenario(text, "odd.yaml").scenario;
    } catch (const ScenarioError& e) {
      if (std::string(e.what()).find("odd.yaml:") == std::string::npos)
        FAIL_CHECK("a problem without a place: " << e.what());
      continue;
    }
    ++run_sites;
    const RunResult r = run(scenario, main_cases(scenario.biomat));
    CHECK(worst_balance_error(r) < rounding);
    check_tank(r);
    for (const CaseRun& c : r.cases) check_pits(r, c);
  }
  CHECK(run_sites > sites / 2);  // else the generator draws nothing but refusals
}
