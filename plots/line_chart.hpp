// A small chart of lines as SVG text, labelled where the lines end. Neutral data: knows no physics.
#pragma once

#include <string>
#include <vector>

#include "plots/svg.hpp"

namespace restwell::plots {

struct ChartLine {
  std::string label;
  std::vector<Run> runs;
};
struct ChartLevel {  // across the chart
  double y;
  std::string label;
};
struct ChartSpot {  // a dot with words
  double x, y;
  std::string label;
};
struct ChartDay {  // a dotted line from top to bottom
  double x;
  std::string label;
};

struct LineChart {
  PictureWords words;
  std::string x_label, y_label;  // with units
  bool x_is_date = false;        // x in seconds since 1970
  double x_low = 0.0, x_high = 1.0;
  double y_high = 1.0;  // at least; y starts at 0
  std::vector<ChartLine> lines;
  std::vector<ChartLevel> levels;
  std::vector<ChartSpot> spots;
  std::vector<ChartDay> days;
};

// Long runs are thinned to what a pixel column shows. width_px: from 300 up; below 500 the words
// take less room beside the lines.
[[nodiscard]] std::string line_chart(const LineChart& chart, double width_px);

}  // namespace restwell::plots
