// What must hold of any run whatever the site: ledgers close, nothing is negative or no number,
// every date lies inside the run, no water goes into soil that is fuller than the pit.
#pragma once

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "sim/run.hpp"

namespace restwell::test {

inline constexpr double rounding = 1e-9;

inline bool in_run(int day, int days) { return day == never || (day >= 0 && day < days); }

inline std::string unsound_in_tank(const RunResult& r) {
  for (const TankRecord& t : r.tank)
    for (const double x :
         {t.inflow_m3, t.outflow_m3, t.foreign_m3, t.peak_outflow_m3_per_day, t.tss_in_kg,
          t.tss_out_kg, t.bod_out_kg, t.carried_over_kg, t.residents, t.layers.sludge_first_m,
          t.layers.scum_first_m, t.layers.sludge_outlet_m, t.layers.scum_outlet_m})
      if (!(std::isfinite(x) && x >= -rounding)) return fmt::format("tank: {}", x);
  for (const int day : r.pumped)
    if (!in_run(day, r.days())) return fmt::format("pumped on day {}", day);
  for (const CriterionDates& c : r.criteria)
    for (const int day : c.met)
      if (!in_run(day, r.days())) return fmt::format("mark on day {}", day);
  return "";
}

// Relative misfit of a pit's own water over the run.
inline double pit_ledger_error(const RunResult& r, const CaseRun& c, std::size_t p) {
  const double area_m2 = storage_area_m2(r.site.pits[p].pit.geometry);
  const double start_m3 = area_m2 * c.start_level_m[p];
  double held_m3 = start_m3, moved_m3 = 1e-9;
  for (const PitDay& d : c.days[p]) {
    held_m3 += d.inflow_m3 + d.ground_m3 - d.intake_m3 - d.overflow_m3;
    moved_m3 += std::abs(d.inflow_m3) + d.ground_m3 + d.intake_m3 + d.overflow_m3;
  }
  const double end_m3 = c.days[p].empty() ? start_m3 : area_m2 * c.days[p].back().level_m;
  return std::abs(held_m3 - end_m3) / std::max({moved_m3, start_m3, end_m3});
}

// Relative misfit of the box's water: what the tank sends leaves by the outlets or the lid, or is
// hauled.
inline double box_ledger_error(const CaseRun& c) {
  double out_m3 = c.ledger.hauled;
  for (const double x : c.over_lid_m3) out_m3 += x;
  for (const auto& outlet : c.outlet_m3_by_year)
    for (const double x : outlet) out_m3 += x;
  return std::abs(c.ledger.in - out_m3) / std::max({c.ledger.in, out_m3, 1e-9});
}

inline std::string unsound_in_pit(const RunResult& r, const CaseRun& c, std::size_t p) {
  const double brim_m = r.site.pits[p].brim_m;
  for (const PitDay& d : c.days[p]) {
    for (const double x : {d.intake_m3, d.ground_m3, d.overflow_m3})
      if (!(std::isfinite(x) && x >= -rounding)) return fmt::format("pit {}: {}", p, x);
    const bool sound = std::isfinite(d.inflow_m3) && d.level_m >= 0.0 &&
                       d.level_m <= brim_m + rounding && d.highest_m >= d.level_m - rounding;
    if (!sound)
      return fmt::format("pit {}: in {}, level {} of {}, highest {}", p, d.inflow_m3, d.level_m,
                         brim_m, d.highest_m);
    if (d.intake_m3 > rounding && d.highest_m < d.table_m - rounding)
      return fmt::format("pit {}: {} m3 into soil that is full to {}, over the highest level {}", p,
                         d.intake_m3, d.table_m, d.highest_m);
  }
  if (const double open = pit_ledger_error(r, c, p); !(open < rounding))
    return fmt::format("pit {}: its balance is {} open", p, open);
  for (const int day :
       {c.pits[p].first_full, c.pits[p].first_reaches_box, c.pits[p].first_overflow})
    if (!in_run(day, r.days())) return fmt::format("pit {}: a date on day {}", p, day);
  return "";
}

inline std::string unsound_in_case(const RunResult& r, const CaseRun& c) {
  for (std::size_t p = 0; p < c.days.size(); ++p)
    if (const std::string wrong = unsound_in_pit(r, c, p); !wrong.empty()) return wrong;
  if (const double open = box_ledger_error(c); !(open < rounding))
    return fmt::format("the box's balance is {} open", open);
  for (const ClogProfile& profile : c.profiles)
    for (const auto& pit : profile.resistance_day)
      for (const double x : pit)
        if (!(std::isfinite(x) && x >= 0.0)) return fmt::format("resistance {}", x);
  if (!in_run(c.first_no_reserve, r.days()) || !in_run(c.first_leaves, r.days()))
    return "a date outside of the run";
  return "";
}

// The first thing found, or nothing.
inline std::string what_is_unsound(const RunResult& r) {
  const double error = worst_balance_error(r);
  if (!(error < rounding)) return fmt::format("a balance is {} open", error);
  if (const std::string wrong = unsound_in_tank(r); !wrong.empty()) return wrong;
  for (const CaseRun& c : r.cases)
    if (const std::string wrong = unsound_in_case(r, c); !wrong.empty()) return wrong;
  return "";
}

}  // namespace restwell::test
