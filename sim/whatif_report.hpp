// The report, tables and figures of a what-if.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "plots/figure.hpp"
#include "sim/report.hpp"
#include "sim/whatif.hpp"
#include "sim/whatif_cases.hpp"

namespace restwell {

inline constexpr const char* base_name = "as it is";

// Cases and outcomes go together; the first is the file as it is.
struct WhatIf {
  struct Case {
    WhatIfCase asked;
    std::vector<std::string> was;      // of every set value: what the file says; empty: nothing
    std::vector<std::string> dropped;  // what made way
    bool same_as_file = false;         // sets what the file says already
  };
  std::vector<Case> cases;
  std::vector<CaseOutcome> outcomes;
  std::vector<NumberAxis> axis;    // one, if cases 1 and up are numbers of one field
  std::vector<std::string> notes;  // warnings and what a case warns of besides
  int days = 0;
};

[[nodiscard]] Report whatif_report(const WhatIf& w);

// cases.csv: a row a case. case_pits.csv: a row a case and pit. case_years.csv: a row a case and
// date or interval, for the figures.
void write_whatif_csv(const WhatIf& w, const std::filesystem::path& folder);
[[nodiscard]] std::vector<plots::Figure> whatif_figures(const WhatIf& w);

}  // namespace restwell
