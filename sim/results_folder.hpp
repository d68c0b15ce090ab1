// The result of a run as a folder: tidy CSV files, the report as text and JSON, figures.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "plots/figure.hpp"
#include "sim/report.hpp"

namespace restwell {

// What a command adds to its report.
struct ResultFiles {
  std::function<void(const std::filesystem::path& folder)> write_csv;
  std::vector<plots::Figure> figures;  // of the CSV files' columns
};

struct WrittenFolder {
  std::vector<std::string> files;
  std::string problem;  // not empty: the pictures could not be drawn, and why
};

// Throws std::runtime_error if a folder can not become a results folder: something else stands in
// the way, it holds files that an earlier run did not write, or nothing can be written beside it.
// To be asked before a long run.
void refuse_results_folder(const std::filesystem::path& folder);

// Writes everything into a new folder beside `folder` and puts it in its place at the end, so that
// `folder` is whole or not there. A folder that an earlier run wrote is replaced; anything else
// that stands in the way, or cannot be written, throws std::runtime_error and leaves no
// half-written folder.
[[nodiscard]] WrittenFolder write_results(const Report& report, const ResultFiles& files,
                                          const std::filesystem::path& folder);

}  // namespace restwell
