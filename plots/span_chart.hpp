// When something happens, as SVG text: one row each, from the earliest to the latest date, with the
// likeliest marked. Neutral data: knows no physics.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plots/svg.hpp"

namespace restwell::plots {

struct SpanRow {
  std::string label;  // in bold
  std::string words;  // the same dates, written out
  // Seconds since 1970; nothing: later than the chart shows.
  std::optional<double> early, expected, late;
  std::vector<double> days;  // single dates instead: a dot each
};

struct SpanChart {
  PictureWords words;
  double x_low = 0.0, x_high = 1.0;  // seconds since 1970
  std::string key;                   // what bar and diamond mean
  std::vector<SpanRow> rows;
};

[[nodiscard]] std::string span_chart(const SpanChart& chart, double width_px);

}  // namespace restwell::plots
