#include "plots/curve.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "plots/axis.hpp"

namespace restwell::plots {
namespace {

std::optional<double> number(const std::string& text) {
  double value = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc{} || stop != end) return {};
  return value;
}

}  // namespace

std::vector<SeriesRow> series_rows(const CsvTable& table, const Series& series) {
  const std::size_t x = table.column(series.x_column), y = table.column(series.y_column);
  const bool filtered = !series.only_column.empty();
  const std::size_t only = filtered ? table.column(series.only_column) : 0;
  std::vector<SeriesRow> rows;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto& cells = table.rows[i];
    if (filtered && cells[only] != series.only_value) continue;
    const auto value = cells[y].empty() ? std::optional(std::nan("")) : number(cells[y]);
    if (!value) {
      throw std::runtime_error(fmt::format("{}: row {}: {} is no number: \"{}\"", table.name, i + 1,
                                           series.y_column, cells[y]));
    }
    rows.push_back({cells[x], std::isfinite(*value), *value});
  }
  return rows;
}

double x_value(const std::string& text, bool is_date, const std::string& where) {
  const auto value = is_date ? parse_iso(text) : number(text);
  if (!value || !std::isfinite(*value)) {
    throw std::runtime_error(
        fmt::format("{}: \"{}\" is no {}", where, text, is_date ? "ISO date" : "number"));
  }
  return *value;
}

std::vector<Run> runs_of(const std::vector<SeriesRow>& rows, const Figure& figure,
                         const std::string& where) {
  std::vector<Run> runs;
  bool broken = true;
  for (const SeriesRow& row : rows) {
    const double x = x_value(row.x, figure.x_is_date, where);
    if (!row.has_y || (figure.x_log && x <= 0.0)) {
      broken = true;
      continue;
    }
    if (broken) runs.emplace_back();
    broken = false;
    runs.back().push_back({x, row.y});
  }
  return runs;
}

}  // namespace restwell::plots
