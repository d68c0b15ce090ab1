// The figures of a run, as neutral data over its CSV files.
#pragma once

#include <vector>

#include "plots/figure.hpp"
#include "sim/run.hpp"

namespace restwell {

[[nodiscard]] std::vector<plots::Figure> run_figures(const RunResult& r);

}  // namespace restwell
