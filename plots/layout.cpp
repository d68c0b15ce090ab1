#include "plots/layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>
#include <stdexcept>
#include <utility>

#include "plots/text_table.hpp"

namespace restwell::plots {
namespace {

constexpr double character = 6.3;        // mean width at text size 11, rather wide than narrow
constexpr double widest_margin = 240.0;  // a wider key goes above the plot
constexpr double empty_band = 14.0;      // above a frame without marks
constexpr int mark_label_width = 20;     // longer labels of marks wrap

std::vector<std::string> filled(const std::string& text, double width_px, double character_px) {
  std::vector<std::string> lines;
  if (text.empty()) return lines;
  std::istringstream in(wrapped(text, "", "", static_cast<int>(width_px / character_px)));
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

double widest_label(const std::vector<Curve>& curves) {
  double widest = 0.0;
  for (const Curve& curve : curves) {
    if (!curve.label.empty()) {
      widest = std::max(widest, text_px(curve.label + (curve.runs.empty() ? " (no data)" : "")));
    }
  }
  return widest;
}

void read_curves(Layout& layout, const Figure& figure,
                 const std::map<std::string, CsvTable>& tables) {
  for (const Series& series : figure.series) {
    const auto table = tables.find(series.csv_file);
    if (table == tables.end()) {
      throw std::runtime_error(fmt::format("figure {}: no table {}", figure.name, series.csv_file));
    }
    Curve curve;
    curve.label = series.label;
    curve.points = series.points && figure.kind != Kind::bars;
    curve.source =
        fmt::format("{}: {} against {}", series.csv_file, series.y_column, series.x_column);
    if (!series.only_column.empty()) {
      curve.source += fmt::format(", only {} = {}", series.only_column, series.only_value);
    }
    const std::vector<SeriesRow> rows = series_rows(table->second, series);
    if (figure.kind != Kind::bars) {
      curve.runs = runs_of(rows, figure, series.csv_file);
    } else {
      auto& known = layout.categories;
      for (const SeriesRow& row : rows) {
        const auto found = std::find(known.begin(), known.end(), row.x);
        const auto place = static_cast<double>(found - known.begin());
        if (found == known.end()) known.push_back(row.x);
        if (row.has_y) curve.runs.push_back({{place, row.y}});
      }
    }
    layout.has_data = layout.has_data || !curve.runs.empty();
    layout.curves.push_back(std::move(curve));
  }
}

double mark_place(const Figure& figure, const Layout& layout, const DateMark& mark) {
  const std::string where = fmt::format("figure {}, mark \"{}\"", figure.name, mark.label);
  if (figure.kind != Kind::bars) return x_value(mark.x, figure.x_is_date, where);
  for (std::size_t i = 0; i < layout.categories.size(); ++i) {
    const std::string& category = layout.categories[i];
    // The start of a date is enough: the bars of a year take all its dates.
    if (mark.x.substr(0, category.size()) == category) return static_cast<double>(i);
  }
  throw std::runtime_error(fmt::format("{}: no bars at \"{}\"", where, mark.x));
}

std::vector<double> all_values(const std::vector<Curve>& curves, double Point::*member) {
  std::vector<double> all;
  for (const Curve& curve : curves) {
    for (const Run& run : curve.runs) {
      for (const Point& point : run) all.push_back(point.*member);
    }
  }
  return all;
}

Axis x_axis(const Figure& figure, const Layout& layout) {
  if (figure.kind == Kind::bars) {
    Axis axis{-0.5, static_cast<double>(layout.categories.size()) - 0.5, {}};
    for (std::size_t i = 0; i < layout.categories.size(); ++i) {
      axis.ticks.push_back({static_cast<double>(i), layout.categories[i]});
    }
    return axis;
  }
  std::vector<double> all = all_values(layout.curves, &Point::x);
  all.insert(all.end(), layout.marks.begin(), layout.marks.end());
  const auto [low, high] = std::minmax_element(all.begin(), all.end());
  if (figure.x_log) return log_axis(*low, *high);
  if (figure.x_is_date) return date_axis(*low, *high, layout.width(), character);
  return linear_axis(*low, *high, 9, Ends::stay);
}

Axis y_axis(const Figure& figure, const Layout& layout) {
  std::vector<double> all = all_values(layout.curves, &Point::y);
  for (const LevelLine& level : figure.levels) all.push_back(level.y);
  if (figure.y_from_zero || figure.kind == Kind::bars) all.push_back(0.0);
  const auto [low, high] = std::minmax_element(all.begin(), all.end());
  return linear_axis(*low, *high, 6, Ends::out_to_tick);
}

// Names of bars that have no room: every second, third... if they count (years), else slanted.
void fit_categories(Layout& layout) {
  double widest = 0.0;
  bool counting = true;
  for (const Tick& tick : layout.x.ticks) {
    widest = std::max(widest, text_px(tick.label) + 8.0);
    counting = counting && tick.label.find_first_not_of("0123456789-") == std::string::npos;
  }
  const double slot = layout.width() / static_cast<double>(layout.categories.size());
  layout.slanted = widest > slot && !counting;
  if (widest <= slot || !counting) return;
  const auto every = static_cast<std::size_t>(std::ceil(widest / slot));
  std::vector<Tick> kept;
  for (std::size_t i = 0; i < layout.x.ticks.size(); i += every) kept.push_back(layout.x.ticks[i]);
  layout.x.ticks = std::move(kept);
}

// Direct labels, if all curves end at the right and far enough apart to tell which is which.
std::vector<double> end_labels(const Figure& figure, const Layout& layout) {
  constexpr double distance = 15.0, farthest = 5.0, near_right = 0.97;
  if (figure.kind == Kind::bars) return {};
  std::vector<std::pair<double, std::size_t>> ends;
  for (std::size_t i = 0; i < layout.curves.size(); ++i) {
    if (layout.curves[i].runs.empty()) return {};
    const Point last = layout.curves[i].runs.back().back();
    if (x_fraction(figure, layout.x, last.x) < near_right) return {};
    ends.emplace_back(layout.height() * y_fraction(figure, layout.y, last.y), i);
  }
  std::stable_sort(ends.begin(), ends.end());
  std::vector<double> wanted, places(ends.size());
  for (const auto& [px, curve] : ends) wanted.push_back(px);
  const std::vector<double> moved = spread(wanted, distance, 0.0, layout.height());
  for (std::size_t k = 0; k < ends.size(); ++k) {
    if (std::abs(moved[k] - wanted[k]) > farthest) return {};
    places[ends[k].second] = moved[k];
  }
  return places;
}

// Room for the names of the curves, and with it the ends of the frame and the x axis.
void name_curves(Layout& layout, const Figure& figure, double heading_end) {
  const double widest = widest_label(layout.curves);
  layout.right = Page::width - Page::edge;
  if (widest > 0.0) layout.right -= widest - 8.0;
  layout.x = x_axis(figure, layout);
  if (widest == 0.0) return;
  if (widest + Page::edge <= widest_margin) layout.end_labels = end_labels(figure, layout);
  if (!layout.end_labels.empty()) return;
  const bool beside = widest + Page::key_sample <= widest_margin;
  layout.key = beside ? Key::right : Key::above;
  layout.right = Page::width - Page::edge;
  if (beside) {
    layout.right -= widest + Page::key_sample - 8.0;
    layout.key_top = layout.top;
  } else {
    layout.key_top = heading_end + 6.0;
    layout.top += Page::key_line * static_cast<double>(layout.curves.size()) + 10.0;
  }
  layout.x = x_axis(figure, layout);
}

// Of labels that return (each pump-out), every second, third... until no more than most are left;
// labels that stand once go last.
std::vector<MarkLabel> fewer(const std::vector<MarkLabel>& labels, std::size_t most) {
  std::map<std::vector<std::string>, std::size_t> count;
  for (const MarkLabel& label : labels) ++count[label.lines];
  std::vector<MarkLabel> kept = labels;
  for (std::size_t every = 2; kept.size() > most && every <= labels.size(); ++every) {
    kept.clear();
    std::map<std::vector<std::string>, std::size_t> seen;
    for (const MarkLabel& label : labels) {
      if (count[label.lines] == 1 || seen[label.lines]++ % every == 0) kept.push_back(label);
    }
  }
  if (kept.size() > most) kept.resize(most);
  return kept;
}

// Upright labels above the frame, moved sideways where marks are close.
std::vector<MarkLabel> mark_labels(const Figure& figure, const Layout& layout) {
  std::vector<std::pair<double, std::string>> marks;
  for (std::size_t i = 0; i < figure.marks.size(); ++i) {
    marks.emplace_back(layout.width() * x_fraction(figure, layout.x, layout.marks[i]),
                       figure.marks[i].label);
  }
  std::stable_sort(marks.begin(), marks.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<MarkLabel> labels;
  std::string before;
  double most_lines = 1.0;
  for (const auto& [px, text] : marks) {
    const bool repeated =
        !labels.empty() && text == before && px - labels.back().mark_px < Page::mark_line;
    if (text.empty() || repeated) continue;
    labels.push_back({px, px, filled(text, mark_label_width, 1.0)});
    most_lines = std::max(most_lines, static_cast<double>(labels.back().lines.size()));
    before = text;
  }
  const double distance = Page::mark_line * most_lines + 1.0;
  const auto room = static_cast<std::size_t>(std::max(1.0, std::floor(layout.width() / distance)));
  std::vector<MarkLabel> kept = fewer(labels, room);
  std::vector<double> wanted;
  for (const MarkLabel& label : kept) wanted.push_back(label.mark_px);
  const std::vector<double> moved = spread(wanted, distance, 0.0, layout.width());
  for (std::size_t i = 0; i < kept.size(); ++i) kept[i].label_px = moved[i];
  return kept;
}

double mark_band(const Figure& figure) {
  double longest = 0.0;
  for (const DateMark& mark : figure.marks) {
    for (const std::string& line : filled(mark.label, mark_label_width, 1.0)) {
      longest = std::max(longest, text_px(line));
    }
  }
  return longest == 0.0 ? 0.0 : 0.92 * longest + 16.0;  // their text is smaller
}

}  // namespace

double text_px(const std::string& text) {
  return character * static_cast<double>(text_width(text));
}

double x_fraction(const Figure& figure, const Axis& x, double at) {
  return figure.x_log ? std::log(at / x.low) / std::log(x.high / x.low)
                      : (at - x.low) / (x.high - x.low);
}

double y_fraction(const Figure& figure, const Axis& y, double at) {
  const double up = (at - y.low) / (y.high - y.low);
  return figure.y_downward ? 1.0 - up : up;
}

Layout lay_out(const Figure& figure, const std::map<std::string, CsvTable>& tables) {
  Layout layout;
  constexpr double text_room = Page::width - 2.0 * Page::edge;
  layout.title = filled(figure.title, text_room, 9.6);
  layout.caption = filled(figure.caption, text_room, character);
  layout.left = 80.0;
  layout.right = Page::width - Page::edge;
  layout.top = 20.0 + Page::title_line * static_cast<double>(layout.title.size()) +
               Page::caption_line * static_cast<double>(layout.caption.size());
  layout.bottom = Page::height - 58.0;
  read_curves(layout, figure, tables);
  if (!layout.has_data) {
    layout.top += empty_band;
    return layout;
  }

  for (const DateMark& mark : figure.marks) {
    layout.marks.push_back(mark_place(figure, layout, mark));
    if (figure.x_log && figure.kind != Kind::bars && layout.marks.back() <= 0.0) {
      throw std::runtime_error(
          fmt::format("figure {}: a mark at {} on a logarithmic axis", figure.name, mark.x));
    }
  }
  layout.y = y_axis(figure, layout);
  double widest_tick = 0.0;
  for (const Tick& tick : layout.y.ticks) widest_tick = std::max(widest_tick, text_px(tick.label));
  layout.left = Page::edge + 26.0 + widest_tick;
  const bool two_lines = figure.x_is_date && figure.kind != Kind::bars;  // time of day, date
  layout.bottom -= two_lines ? 8.0 : 0.0;
  const double heading_end = layout.top;
  layout.top += std::max(mark_band(figure), empty_band);
  name_curves(layout, figure, heading_end);
  if (figure.kind == Kind::bars) {
    fit_categories(layout);
    double longest = 0.0;
    for (const std::string& name : layout.categories) longest = std::max(longest, text_px(name));
    if (layout.slanted) layout.bottom -= std::min(0.5 * longest, 120.0);
  }
  layout.mark_labels = mark_labels(figure, layout);
  if (figure.x_is_date && figure.kind != Kind::bars) {
    std::vector<double> dates = all_values(layout.curves, &Point::x);
    dates.insert(dates.end(), layout.marks.begin(), layout.marks.end());
    for (const Tick& tick : layout.x.ticks) dates.push_back(tick.at);
    layout.with_time = std::any_of(dates.begin(), dates.end(),
                                   [](double date) { return std::fmod(date, 86400.0) != 0.0; });
  }
  return layout;
}

}  // namespace restwell::plots
