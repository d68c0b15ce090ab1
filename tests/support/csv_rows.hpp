// Rows of a small comma-separated data file of published values: '#' starts a comment line, the
// first other line holds the column names.
#pragma once

#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace restwell::test {

class CsvRow {
 public:
  explicit CsvRow(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}
  [[nodiscard]] const std::string& text(const std::string& column) const {
    return cells_.at(column);
  }
  [[nodiscard]] double number(const std::string& column) const {
    return std::stod(cells_.at(column));
  }

 private:
  std::map<std::string, std::string> cells_;
};

// name: a file in tests/published/data. Throws if it cannot be read or has no rows.
inline std::vector<CsvRow> csv_rows(const std::string& name) {
  std::ifstream file(std::string(RESTWELL_SOURCE_DIR) + "/tests/published/data/" + name);
  if (!file) throw std::runtime_error("cannot read " + name);
  std::vector<std::string> columns;
  std::vector<CsvRow> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line.front() == '#') continue;
    std::vector<std::string> cells;
    std::istringstream stream(line);
    for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
    if (columns.empty()) {
      columns = cells;
      continue;
    }
    std::map<std::string, std::string> row;
    for (std::size_t i = 0; i < columns.size(); ++i) row[columns[i]] = cells.at(i);
    rows.emplace_back(std::move(row));
  }
  if (rows.empty()) throw std::runtime_error("no rows in " + name);
  return rows;
}

}  // namespace restwell::test
