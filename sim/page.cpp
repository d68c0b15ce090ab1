#include "sim/page.hpp"

#include <algorithm>

namespace restwell {
namespace {

PageStudy study_of(const Scenario& scenario, const std::vector<std::string>& warnings, WhatIf cases,
                   std::vector<CaseToRun> runs, const Progress& progress) {
  // The site itself is run once, under more cases of clogging than the others.
  constexpr double part_of_site = 0.35;
  Progress first, rest;
  if (progress.report) {
    first.report = [&](double part) { progress.report(part_of_site * part); };
    rest.report = [&](double part) { progress.report(part_of_site + (1.0 - part_of_site) * part); };
  }
  PageStudy study{
      run(scenario, clogging_cases(scenario.biomat), first), {}, std::move(cases), {}, {}};
  study.report = run_report(study.result, warnings);
  runs.front().same_as_first = true;  // not run again
  study.cases.outcomes = run_cases(runs, rest);
  const CaseOutcome as_it_is = outcome_of(study.result);
  for (std::size_t i = 0; i < runs.size(); ++i)
    if (runs[i].same_as_first) study.cases.outcomes[i] = as_it_is;
  study.cases.days = study.result.days();
  study.recovery = shown_recovery(study.result);
  return study;
}

}  // namespace

PageStudy page_study(const Scenario& scenario, const std::vector<std::string>& warnings,
                     const Progress& progress) {
  std::vector<PageCase> chosen = default_cases(scenario);
  WhatIf cases;
  std::vector<CaseToRun> runs = {{base_name, scenario, false, true}};
  cases.cases.push_back({{base_name, {}, {}}, {}, {}, false});
  for (const PageCase& c : chosen) {
    cases.cases.push_back({{c.name, {}, {}}, {}, {}, false});
    runs.push_back({c.name, c.scenario, c.keeps_past, false});
  }
  PageStudy study = study_of(scenario, warnings, std::move(cases), std::move(runs), progress);
  study.chosen = std::move(chosen);
  return study;
}

PageStudy page_study(const Scenario& scenario, const std::vector<std::string>& warnings,
                     WhatIf asked, std::vector<CaseToRun> runs, const Progress& progress) {
  return study_of(scenario, warnings, std::move(asked), std::move(runs), progress);
}

PageContent page_content(const PageStudy& s) {
  PageContent page;
  page.site = s.report.site;
  page.question = s.report.question;
  page.setting = s.report.setting;
  if (page.setting.starts_with('(') && page.setting.ends_with(')'))
    page.setting = page.setting.substr(1, page.setting.size() - 2);
  page.warning =
      "Never open, enter or lean into a tank, box or pit yourself: the gas in it kills within "
      "minutes.";
  page.owner = {page_what_you_have(s),   page_what_will_happen(s), page_why(s),
                page_what_changes_it(s), page_what_to_do(s),       page_how_sure(s),
                page_cautions(s)};
  page.professional = page_for_professionals(s);
  return page;
}

}  // namespace restwell
