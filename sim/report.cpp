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

namespace {

// A pit of unknown state that the early set would have full today tells more about the set than
// about the pit.
void add_early_start_note(const RunResult& r, Report& report) {
  std::vector<std::string> full;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    if (r.scenario.pits[p].start.kind == PitStart::Kind::in_service &&
        r.futures[Futures::early].pits[p].first_full == 0 &&
        r.futures[Futures::expected].pits[p].first_full != 0) {
      full.push_back("the " + pit_label(r.scenario.pits[p].name));
    }
  }
  if (full.empty()) return;
  report.notes.push_back(fmt::format(
      "The early set would have {} full today. If the water stands lower, that set is too dark for "
      "this site: open the lid and give the level and its fall under `measured:`.",
      list_words(full)));
}

}  // namespace

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
  add_early_start_note(r, report);
  report.answer = answer_lines(r, report);
  report.tables = {household_table(r),     pump_out_table(r),  tank_by_year_table(r),
                   outlet_flow_table(r),   box_table(r),       soil_table(r),
                   pits_at_start_table(r), pit_dates_table(r), pit_levels_table(r),
                   balance_table(r)};
  report.assumptions = {futures_table(r), clogging_parameters_table(r), other_parameters_table(r)};
  report.simplifications = model_simplifications(r);
  report.cautions = safety_cautions();
  return report;
}

}  // namespace restwell
