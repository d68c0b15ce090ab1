// A what-if as the command line asks it: the site, and every case ready to run.
#pragma once

#include <vector>

#include "sim/commands.hpp"
#include "sim/scenario_yaml.hpp"
#include "sim/whatif.hpp"
#include "sim/whatif_report.hpp"

namespace restwell {

struct AskedSite {
  LoadedScenario base;
  WhatIf what_if;               // outcomes still to come; the first case is the file as it is
  std::vector<CaseToRun> runs;  // of the same cases
};
// Throws ScenarioError or QuestionError with all problems of site, paths, values and file of cases.
[[nodiscard]] AskedSite ask_site(const WhatIfArguments& arguments);

// What the start states of the cases say, each once.
void add_outcome_notes(WhatIf& w);

}  // namespace restwell
