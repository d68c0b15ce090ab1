// The answer to a question of rest: report, CSV files, figures.
#pragma once

#include "sim/report.hpp"
#include "sim/rest.hpp"
#include "sim/results_folder.hpp"

namespace restwell {

[[nodiscard]] Report rest_report(const RestResult& r, const std::vector<std::string>& warnings);

// rest.csv: every length of rest and case. rest_days.csv: the resting pit, day by day. turns.csv.
[[nodiscard]] ResultFiles rest_files(const RestResult& r);

// Index into turns of the best one: the longest without overflow, then without a full pit, in the
// expected, early and late case, then the lowest water. Precondition: there are turns.
[[nodiscard]] std::size_t best_turns(const RestResult& r);

}  // namespace restwell
