#include "sim/report.hpp"

#include <fmt/core.h>

#include "sim/answer.hpp"
#include "sim/assumptions.hpp"
#include "sim/report_tables.hpp"
#include "sim/words.hpp"

namespace restwell {

std::vector<std::string> safety_cautions() {
  return {
      "Septic tanks, boxes and pits hold deadly gas (hydrogen sulfide, methane) and too little "
      "oxygen. Never enter one or lean into it, and never work alone at an open lid; entry is "
      "confined-space work for trained and equipped crews.",
      "Old pits and tanks collapse, covers break. Keep people, children, animals and vehicles off; "
      "never leave a lid open or loose.",
      "Sewage carries disease. Water that surfaces or backs up is a health hazard: keep away from "
      "it and call the health department.",
      "This is a calculation on assumptions, not an inspection, a design or a permit. The local "
      "code, the health department and licensed practitioners decide."};
}

Report run_report(const RunResult& r, const std::vector<std::string>& warnings) {
  Report report;
  report.site = r.scenario.name;
  report.question = r.scenario.question;
  report.start = r.scenario.start;
  report.days = r.days();
  report.units = r.scenario.units;
  report.setting = fmt::format("({}, {} in a typical week; from {} over {:.3g} years; {}.)",
                               people_words(r.scenario.household.occupants),
                               show_text(r.week.mean_flow_m3_per_day, Quantity::flow, report.units),
                               iso_date(report.start), r.scenario.years,
                               r.scenario.mode == Mode::steady
                                   ? std::string("steady: the same typical week again and again")
                                   : fmt::format("random use, seed {}", r.scenario.seed));
  report.notes = warnings;
  for (const std::string& note : r.futures[Futures::expected].notes) report.notes.push_back(note);
  report.answer = answer_lines(r, report);
  report.tables = {household_table(r),   pump_out_table(r),   tank_by_year_table(r),
                   outlet_flow_table(r), box_table(r),        pits_at_start_table(r),
                   pit_dates_table(r),   pit_levels_table(r), balance_table(r)};
  report.assumptions = {futures_table(r), assumptions_table(r)};
  report.cautions = safety_cautions();
  return report;
}

}  // namespace restwell
