// A figure as neutral data: what to draw from which columns of CSV files. Knows no physics.
#pragma once

#include <string>
#include <vector>

namespace restwell::plots {

enum class Kind { lines, steps, bars };

// One curve: columns (by header name) of a CSV file in the figure's folder. Rows with an empty
// value break the curve. only_column/only_value: take just the rows with that value (tidy files).
struct Series {
  std::string csv_file;
  std::string x_column, y_column;
  std::string label;
  std::string only_column, only_value;
  bool points = false;  // a dot for every row, no line; not for bars
};
struct LevelLine {
  double y;
  std::string label;
};  // horizontal, labelled at its right end
struct DateMark {
  std::string x;
  std::string label;
};  // vertical, ISO date (or number)

struct Figure {
  std::string name;              // file stem: letters, digits, underscore
  std::string title;             // what is seen
  std::string caption;           // one sentence: what to notice
  std::string x_label, y_label;  // with units
  Kind kind = Kind::lines;
  bool x_is_date = false;
  bool y_from_zero = true;
  bool y_downward = false;  // depth grows downward
  bool x_log = false;
  std::vector<Series> series;
  std::vector<LevelLine> levels;
  std::vector<DateMark> marks;
};

}  // namespace restwell::plots
