#include "sim/pump_report.hpp"

#include <fmt/core.h>

#include "sim/pump_tables.hpp"
#include "sim/report_tables.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

std::string setting_words(const PumpStudy& s, const Report& report) {
  const Stretch& last = s.story.stretches.back();
  std::string begun;
  switch (last.from) {
    case Stretch::From::pumped:
      begun = fmt::format("{} {}", s.story.taken_as_pumped ? "taken as pumped" : "pumped",
                          iso_date(last.begin));
      break;
    case Stretch::From::brand_new:
      begun = "new on " + iso_date(last.begin);
      break;
    case Stretch::From::reading:
      begun = "from the reading of " + iso_date(last.begin);
      break;
  }
  return fmt::format("({}, {}; tank {}; the pits looked at until {}.)",
                     people_words(s.today.household.occupants),
                     s.today.household.disposer ? "with a disposer" : "no disposer", begun,
                     iso_date(date_of(report.start, report.days)));
}

}  // namespace

Report pump_report(const PumpStudy& s, const std::vector<std::string>& warnings) {
  Report report;
  report.site = s.scenario.name;
  report.question = "When to pump the tank, and what does it cost to skip it?";
  report.start = s.scenario.start;
  report.days = days_between(s.scenario.start, s.end());
  report.units = s.scenario.units;
  report.setting = setting_words(s, report);
  for (const std::string& w : warnings) {
    // Not so if the command line tells more of the tank than the file.
    const bool of_pumping = w.find("taken as pumped on the start date") != std::string::npos;
    if (!of_pumping || s.story.taken_as_pumped) report.notes.push_back(without_place(w));
  }
  for (const std::string& n : s.story.notes) report.notes.push_back(n);
  if (s.story.only_found) {
    report.notes.push_back(
        "What was found tells how full the tank is, not how fast it fills. Say when it was last "
        "pumped (--pumped DATE), or give an earlier reading, and the rate is fitted to it.");
  } else if (!s.fit) {
    report.notes.push_back(
        "Without a reading the dates are those of an average household. Open the inlet lid, "
        "measure, and give --reading DATE sludge=14in scum=3in.");
  }
  report.answer = pump_answer(s, report);
  report.tables.push_back(next_table(s));
  const bool readings = s.fit || s.story.only_found;
  if (readings) report.tables.push_back(readings_table(s));
  if (s.fit && !s.from_reading) report.tables.push_back(spread_table(s));
  report.tables.push_back(others_table(s));
  report.tables.push_back(pit_life_table(s));
  report.tables.push_back(leaving_table(s));
  std::vector<ClogCase> cases;
  for (const CaseRun& c : s.plans.front().run.cases) cases.push_back(c.clog_case);
  ReportTable clogging = clogging_parameters_table(s.fitted);
  clogging.title = "Assumed of the clogging, expected case";
  clogging.compact = true;
  report.assumptions = {assumed_table(s), cases_table(cases), clogging,
                        other_parameters_table(s.fitted)};
  report.simplifications = {
      "Dates are of the steady mode: the same typical week again and again, by season. Chance "
      "moves "
      "sludge by days, not by months.",
      "One rate of solids is fitted to all readings; whatever else was otherwise (temperature, "
      "digestion, absences before the start) is in it. BOD is left as given.",
      "Layers are even over the compartment. A stick meets hills and valleys: measure at two "
      "places."};
  for (std::string& words : model_simplifications(s.fitted)) {
    report.simplifications.push_back(std::move(words));
  }
  report.cautions = safety_cautions();
  return report;
}

}  // namespace restwell
