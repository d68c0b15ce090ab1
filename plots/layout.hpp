// What stands where on the page of a figure: curves, axes, frame, labels. No gnuplot in here.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "plots/axis.hpp"
#include "plots/csv.hpp"
#include "plots/curve.hpp"
#include "plots/figure.hpp"

namespace restwell::plots {

// The page in pixels from its upper left corner; text sizes are in pixels too.
struct Page {
  static constexpr double width = 900.0, height = 520.0;
  static constexpr double edge = 24.0;
  static constexpr double title_line = 22.0, caption_line = 16.0, key_line = 17.0, mark_line = 13.0;
  static constexpr double key_sample = 52.0;  // width of a line sample with its gaps
};

struct Curve {
  std::string label;
  std::string source;  // file and columns, in words
  bool points = false;
  std::vector<Run> runs;  // bars: one point each, x = number of the category
};
struct MarkLabel {
  double mark_px, label_px;  // from the left of the frame
  std::vector<std::string> lines;
};
enum class Key { none, right, above };

struct Layout {
  std::vector<std::string> title, caption;  // lines
  std::vector<Curve> curves;
  std::vector<std::string> categories;  // bars: text of x in order of appearance
  bool has_data = false;
  bool with_time = false;  // some date has a time of day
  Axis x{0.0, 1.0, {}}, y{0.0, 1.0, {}};
  bool slanted = false;                                     // tick labels of x
  double left = 0.0, right = 0.0, top = 0.0, bottom = 0.0;  // frame
  std::vector<double> marks;                                // places on the x axis
  std::vector<MarkLabel> mark_labels;
  Key key = Key::none;
  double key_top = 0.0;
  std::vector<double> end_labels;  // one per curve, pixels above the bottom of the frame; or empty

  [[nodiscard]] double width() const { return right - left; }
  [[nodiscard]] double height() const { return bottom - top; }
};

// Width of a text of size 11, rather wide than narrow.
[[nodiscard]] double text_px(const std::string& text);

// Parts of the frame's width from its left, of its height from its bottom.
[[nodiscard]] double x_fraction(const Figure& figure, const Axis& x, double at);
[[nodiscard]] double y_fraction(const Figure& figure, const Axis& y, double at);

// tables: by Series::csv_file. Throws std::runtime_error for what cannot be drawn: a missing file
// or column, a cell that is no number or date, a mark where no bars are.
[[nodiscard]] Layout lay_out(const Figure& figure, const std::map<std::string, CsvTable>& tables);

}  // namespace restwell::plots
