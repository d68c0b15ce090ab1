// What the page's pictures share: dates on an axis, shown units, one picture in two widths.
#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "models/constants.hpp"
#include "sim/page.hpp"

namespace restwell {

inline double seconds(Date date) {
  return static_cast<double>(date.time_since_epoch().count()) * seconds_per_day;
}
inline double seconds_of_day(const RunResult& r, int day) {
  return seconds(date_of(r.scenario.start, day));
}
inline std::optional<double> shown_day(const RunResult& r, int day) {
  if (day == never) return std::nullopt;
  return seconds_of_day(r, day);
}

inline double in_unit(const RunResult& r, double internal, Quantity q) {
  return internal * column_unit(q, r.scenario.units).factor;
}
inline std::string unit(const RunResult& r, Quantity q) {
  return column_unit(q, r.scenario.units).label;
}
inline std::string shown(const RunResult& r, double internal, Quantity q) {
  return show_text(internal, q, r.scenario.units);
}

// The same picture for a sheet and for a phone.
template <typename Chart, typename Draw>
PageFigure drawn(Chart chart, const Draw& draw, std::string caption) {
  PageFigure f;
  const std::string id = chart.words.id;
  chart.words.id = id + "-wide";
  f.wide = draw(chart, wide_px);
  chart.words.id = id + "-narrow";
  f.narrow = draw(chart, narrow_px);
  f.caption = std::move(caption);
  return f;
}

// Days worth a row of a table: the start and every year's end.
inline std::vector<int> year_days(const RunResult& r) {
  std::vector<int> days = {0};
  for (int year = 1; days.back() < r.days() - 1; ++year)
    days.push_back(std::min(r.days() - 1, static_cast<int>(std::lround(year * days_per_year))));
  return days;
}

inline std::string year_heading(const RunResult& r, int day) {
  return month_and_year(date_of(r.scenario.start, day));
}

}  // namespace restwell
