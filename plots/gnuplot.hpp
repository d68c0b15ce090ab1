// Draws figures with gnuplot from the CSV files beside them.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "plots/figure.hpp"

namespace restwell::plots {

struct DrawResult {
  std::vector<std::string> files;  // names written in the folder
  std::string problem;             // empty, or why there are no pictures (scripts are kept)
};

// Writes NAME.gp, NAME.svg and NAME.png into folder for every figure. Runs gnuplot without a shell;
// folder names with spaces and UTF-8 work. If gnuplot is missing or fails, problem says so. Throws
// std::runtime_error for a caller's mistake: a missing file or column, a cell that is no number or
// date, a figure name that is no plain word, a mark where no bars are; and if it cannot write.
[[nodiscard]] DrawResult draw(const std::vector<Figure>& figures,
                              const std::filesystem::path& folder);

}  // namespace restwell::plots
