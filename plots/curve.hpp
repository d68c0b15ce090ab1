// The points of a figure's series, read from CSV and thinned to what a picture can show.
#pragma once

#include <string>
#include <vector>

#include "plots/csv.hpp"
#include "plots/figure.hpp"
#include "plots/thin.hpp"

namespace restwell::plots {

// Rows of one series in the order of the file: x as text, y empty where the cell is (or "nan").
struct SeriesRow {
  std::string x;
  bool has_y;
  double y;
};
// Throws std::runtime_error that names file, line and cell if a column is missing or y is no
// number.
[[nodiscard]] std::vector<SeriesRow> series_rows(const CsvTable& table, const Series& series);

// x as number, or as seconds since 1970 if is_date. Throws std::runtime_error with where in it.
[[nodiscard]] double x_value(const std::string& text, bool is_date, const std::string& where);

// Runs between rows without y (and, for a logarithmic x, without a positive x).
[[nodiscard]] std::vector<Run> runs_of(const std::vector<SeriesRow>& rows, const Figure& figure,
                                       const std::string& where);

}  // namespace restwell::plots
