// The answer of `size`: words, tables, files and figures.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "plots/figure.hpp"
#include "sim/report.hpp"
#include "sim/size.hpp"

namespace restwell {

[[nodiscard]] Report size_report(const SizeResult& r, const std::vector<std::string>& warnings);

// Its parts.
[[nodiscard]] std::vector<AnswerLine> size_answer(const SizeResult& r);
[[nodiscard]] std::vector<ReportTable> size_tables(const SizeResult& r);
[[nodiscard]] ReportTable size_assumptions_table(const SizeResult& r);

// "2 pits of 8.0 ft x 12.0 ft": diameter by depth below the inlet.
[[nodiscard]] std::string size_words(const SizeResult& r, const PitSize& size);
[[nodiscard]] Lasting lasting(const SizeResult& r, const std::optional<int>& life);
// Volume dug, in yd3 or m3.
struct DugUnit {
  double factor;
  std::string label;
};
[[nodiscard]] DugUnit dug_unit(UnitSystem units);

// choices.csv, life_by_depth.csv, and if there is a best choice plan.csv, plan_levels.csv and
// best_choice.yaml.
void write_size_files(const SizeResult& r, const std::filesystem::path& folder);
[[nodiscard]] std::vector<plots::Figure> size_figures(const SizeResult& r);

}  // namespace restwell
