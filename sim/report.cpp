#include "sim/report.hpp"

#include <fmt/core.h>

#include <regex>

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

// A pit of unknown state that the early case would have filled before or right after today tells
// more about that case than about the pit.
void add_early_case_note(const RunResult& r, Report& report) {
  constexpr int soon_day = 90;
  std::vector<std::string> full;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const int early = r.cases[Cases::early].pits[p].first_full;
    const int expected = r.cases[Cases::expected].pits[p].first_full;
    if (r.scenario.pits[p].start.kind == PitStart::Kind::in_service && early != never &&
        early < soon_day && (expected == never || expected >= soon_day)) {
      full.push_back("the " + pit_label(r.scenario.pits[p]));
    }
  }
  if (full.empty()) return;
  report.notes.push_back(fmt::format(
      "The early case would have {} full by now or within weeks. If it has worked until today, "
      "that "
      "case is too dark for this site: open the lid and give the level and its fall under "
      "`measured:`.",
      list_words(full)));
}

// A measured pit that takes less than it is sent, and yet was found with room.
void add_misfit_notes(const RunResult& r, Report& report) {
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const PitConfig& config = r.scenario.pits[p];
    if (config.start.kind != PitStart::Kind::measured) continue;
    double sent = 0.0;
    for (std::size_t i = 0; i < r.site.outlet_pit.size(); ++i) {
      if (r.site.outlet_pit[i] == p) sent += r.free_share[i] * r.week.mean_flow_m3_per_day;
    }
    const double takes = intake_when_full_m3_per_day(
        r.site.pits[p], r.cases[Cases::expected].profiles.front().resistance_day[p]);
    const bool had_room = config.start.level_m < 0.9 * config.geometry.depth_m;
    if (takes >= sent || !had_room) continue;
    report.notes.push_back(fmt::format(
        "{}: as measured it takes {} with water at its inlet, the household as given sends it {}. "
        "It "
        "should have been full when it was found: check the people, leaks, the heights in the box, "
        "and whether the house was in use.",
        sentence_case(pit_label(config)), show_text(takes, Quantity::flow, report.units),
        show_text(sent, Quantity::flow, report.units)));
  }
}

}  // namespace

std::string without_place(const std::string& warning) {
  static const std::regex place("^.*?:[0-9]+:[0-9]+: ");
  return std::regex_replace(warning, place, "", std::regex_constants::format_first_only);
}

Report run_report(const RunResult& r, const std::vector<std::string>& warnings) {
  Report report;
  report.site = r.scenario.name;
  report.question = r.scenario.question;
  report.start = r.scenario.start;
  report.days = r.days();
  report.units = r.scenario.units;
  report.setting =
      fmt::format("({}, {} in a typical week; from {} over {}; {}.)",
                  people_words(r.scenario.household.occupants),
                  show_text(r.week.mean_flow_m3_per_day, Quantity::flow, report.units),
                  iso_date(report.start), years_words(report.days), mode_words(r.scenario));
  for (const std::string& w : warnings) report.notes.push_back(without_place(w));
  for (const std::string& note : r.cases[Cases::expected].notes) report.notes.push_back(note);
  add_early_case_note(r, report);
  add_misfit_notes(r, report);
  for (const std::string& note : flooded_inlet_notes(r)) report.notes.push_back(note);
  for (const std::string& note : coarse_soil_notes(r)) report.notes.push_back(note);
  report.answer = answer_lines(r, report);
  report.tables = {household_table(r),     pump_out_table(r),  tank_by_year_table(r),
                   outlet_flow_table(r),   box_table(r),       soil_table(r.scenario),
                   pits_at_start_table(r), pit_dates_table(r), overflow_table(r),
                   pit_levels_table(r),    balance_table(r)};
  if (r.scenario.soil.water_table) {
    report.tables.insert(report.tables.end() - 1, water_table_table(r));
  }
  if (has_tight_layers(r)) {
    report.tables.insert(report.tables.end() - 1, perched_table(r));
  }
  if (!r.scenario.plan.empty()) report.tables.insert(report.tables.begin(), plan_table(r.scenario));
  report.assumptions = {cases_table(clogging_cases(r.scenario.biomat)),
                        clogging_parameters_table(r.scenario), other_parameters_table(r.scenario)};
  report.simplifications = model_simplifications(r.scenario);
  report.cautions = safety_cautions();
  return report;
}

}  // namespace restwell
