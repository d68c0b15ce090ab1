// What must hold of any run whatever the site: ledgers close, nothing is negative or no number,
// every date lies inside the run.
#pragma once

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/sites.hpp"

namespace restwell::test {

inline constexpr double rounding = 1e-9;

inline bool in_run(int day, int days) { return day == never || (day >= 0 && day < days); }

inline void check_tank(const RunResult& r) {
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

inline void check_pits(const RunResult& r, const CaseRun& c) {
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

inline void check_sound(const RunResult& r) {
  CHECK(worst_balance_error(r) < rounding);
  check_tank(r);
  for (const CaseRun& c : r.cases) check_pits(r, c);
}

}  // namespace restwell::test
