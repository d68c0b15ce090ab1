// What a percolation test says, as a report, CSV files and a figure.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "plots/figure.hpp"
#include "sim/perc.hpp"
#include "sim/report.hpp"

namespace restwell {

[[nodiscard]] Report perc_report(const PercResult& r);

// What is wrong with the readings, or worth a word, and what to do: one sentence or two each.
[[nodiscard]] std::vector<std::string> perc_notes(const PercResult& r);

// The parts of the report.
[[nodiscard]] ReportTable perc_readings_table(const PercResult& r);
[[nodiscard]] ReportTable perc_holes_table(const PercResult& r);
[[nodiscard]] ReportTable perc_rates_table(const PercResult& r);
[[nodiscard]] ReportTable perc_layers_table(const PercResult& r);  // no rows if there are no layers
[[nodiscard]] ReportTable perc_conductivity_table(const PercResult& r);
[[nodiscard]] ReportTable perc_hole_size_table(const PercResult& r);  // no rows if nothing was read
[[nodiscard]] ReportTable perc_codes_table(const PercResult& r);
[[nodiscard]] ReportTable perc_rules_table(const PercResult& r);

// The class of all these holes, "structured" where none is stated; nothing if they differ.
[[nodiscard]] std::optional<std::string> structure_of(const PercResult& r,
                                                      const std::vector<std::size_t>& holes);
// "30 min", "24 hours".
[[nodiscard]] std::string duration_words(double day);

// perc_readings.csv, perc_holes.csv
void write_perc_csv(const PercResult& r, const std::filesystem::path& folder);
[[nodiscard]] std::vector<plots::Figure> perc_figures(const PercResult& r);

}  // namespace restwell
