#include "plots/line_chart.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "plots/axis.hpp"

namespace restwell::plots {
namespace {

constexpr double narrow_px = 500.0;
constexpr double slice_px = 2.0;  // of a long line, the width of the pen
constexpr double tick_gap_px = 6.0, sample_px = 18.0;

class Chart {
 public:
  Chart(const LineChart& chart, double width_px)
      : c_(chart), svg_(chart.words, width_px), width_(width_px) {
    const bool narrow = width_px < narrow_px;
    double y_high = c_.y_high;
    for (const ChartLine& line : c_.lines)
      for (const Run& run : line.runs)
        for (const Point& p : run) y_high = std::max(y_high, p.y);
    for (const ChartLevel& level : c_.levels) y_high = std::max(y_high, level.y);
    y_ = linear_axis(0.0, y_high, 5, Ends::out_to_tick);
    double ticks_px = 0.0;
    for (const Tick& t : y_.ticks) ticks_px = std::max(ticks_px, words_px(t.label));
    left_ = ticks_px + tick_gap_px;
    // Words beside the lines' ends.
    const double most_px = narrow ? 84.0 : 150.0;
    double labels_px = 0.0;
    for (const ChartLine& line : c_.lines) {
      labels_.push_back(line.label.empty() ? std::vector<std::string>{}
                                           : lines_of(line.label, most_px));
      for (const std::string& l : labels_.back()) labels_px = std::max(labels_px, words_px(l));
    }
    right_ = width_ - (labels_px > 0.0 ? labels_px + tick_gap_px : words_px("00"));
    y_title_ = lines_of(c_.y_label, width_);
    top_ = line_height_px * static_cast<double>(y_title_.size()) + 12.0;
    double blocks_px = 0.0;  // the labels one under the other
    for (std::size_t i = 0; i < labels_.size(); ++i)
      if (!labels_[i].empty()) blocks_px += block_px(i);
    bottom_ = top_ + std::max(narrow ? 190.0 : 220.0, blocks_px - line_height_px);
    x_ = c_.x_is_date ? date_axis(c_.x_low, c_.x_high, right_ - left_, 1.4 * text_size_px * 0.56)
                      : linear_axis(c_.x_low, c_.x_high, narrow ? 4 : 8, Ends::stay);
  }

  std::string drawn() {
    frame();
    for (const ChartDay& day : c_.days) day_line(day);
    for (const ChartLevel& level : c_.levels)
      svg_.line(left_, py(level.y), right_, py(level.y), ink::soft, 1.2, "6 4");
    for (std::size_t i = 0; i < c_.lines.size(); ++i) curve(i);
    end_labels();
    for (const ChartLevel& level : c_.levels) {
      level_words(level);
    }
    double day_y = top_ + line_height_px;
    for (const ChartDay& day : c_.days) {
      day_words(day, day_y);
      day_y += line_height_px;
    }
    for (const ChartSpot& spot : c_.spots) spot_words(spot);
    return svg_.done(bottom_ + 20.0 + (c_.x_label.empty() ? 0.0 : line_height_px + 2.0));
  }

 private:
  [[nodiscard]] double px(double x) const {
    return left_ + (x - x_.low) / (x_.high - x_.low) * (right_ - left_);
  }
  [[nodiscard]] double py(double y) const {
    return bottom_ - (y - y_.low) / (y_.high - y_.low) * (bottom_ - top_);
  }

  void frame() {
    for (std::size_t i = 0; i < y_title_.size(); ++i)
      svg_.text(0.0, line_height_px * static_cast<double>(i) + 12.0, y_title_[i]);
    for (const Tick& t : y_.ticks) {
      const bool base = t.at == y_.low;
      svg_.line(left_, py(t.at), right_, py(t.at), base ? ink::soft : ink::faint, base ? 1.0 : 0.6);
      svg_.text(left_ - tick_gap_px, py(t.at) + 4.5, t.label, Anchor::end);
    }
    for (const Tick& t : x_.ticks) {
      svg_.line(px(t.at), bottom_, px(t.at), bottom_ + 4.0, ink::soft, 1.0);
      const double half = 0.5 * words_px(t.label);
      svg_.text(std::clamp(px(t.at), half, width_ - half), bottom_ + 17.0, t.label, Anchor::middle);
    }
    if (!c_.x_label.empty()) {
      const double half = std::min(0.5 * words_px(c_.x_label), 0.5 * width_);
      svg_.text(std::clamp(0.5 * (left_ + right_), half, width_ - half),
                bottom_ + 19.0 + line_height_px, c_.x_label, Anchor::middle);
    }
  }

  void day_line(const ChartDay& day) {
    svg_.line(px(day.x), top_, px(day.x), bottom_, ink::dark, 1.2, "1 3");
  }
  void day_words(const ChartDay& day, double y) {
    const bool left = px(day.x) > 0.5 * (left_ + right_);
    svg_.text(px(day.x) + (left ? -5.0 : 5.0), y, day.label, left ? Anchor::end : Anchor::start, "",
              true);
  }

  void curve(std::size_t i) {
    const LineStyle style = line_style(i);
    std::string d;
    const int columns = static_cast<int>((right_ - left_) / slice_px);
    for (const Run& run : c_.lines[i].runs) {
      std::vector<Point> points;
      for (const Point& p : thinned(run, x_.low, x_.high, false, columns)) {
        points.push_back({px(p.x), py(p.y)});
      }
      d += polyline(points);
      if (!points.empty()) ends_.push_back({i, points.back().y});
    }
    svg_.path(
        d, fmt::format("stroke=\"{}\" stroke-width=\"2\" stroke-linejoin=\"round\"{}", style.colour,
                       *style.dash == '\0' ? std::string()
                                           : fmt::format(" stroke-dasharray=\"{}\"", style.dash)));
  }

  // Over or under the line, at the left or the right, where the curves leave most room.
  void level_words(const ChartLevel& level) {
    const double width = words_px(level.label) + 8.0;
    int fewest = std::numeric_limits<int>::max();
    double at_y = py(level.y) - 4.0;
    bool at_right = false;
    for (const double y : {py(level.y) - 4.0, py(level.y) + line_height_px - 2.0}) {
      if (y - line_height_px < top_ || y > bottom_) continue;
      for (const bool right : {false, true}) {
        const int count =
            crossings(right ? right_ - width : left_, right ? right_ : left_ + width, y);
        if (count >= fewest) continue;
        fewest = count;
        at_y = y;
        at_right = right;
      }
    }
    svg_.text(at_right ? right_ - 4.0 : left_ + 4.0, at_y, level.label,
              at_right ? Anchor::end : Anchor::start, "", true);
  }

  // Points of the curves where a line of text would stand with its foot at y.
  [[nodiscard]] int crossings(double from, double to, double y) const {
    int count = 0;
    for (const ChartLine& line : c_.lines)
      for (const Run& run : line.runs)
        for (const Point& p : run)
          count += px(p.x) >= from && px(p.x) <= to &&
                   std::abs(py(p.y) - y + 4.0) < 0.6 * line_height_px;
    // Words beside a dot weigh more than a curve.
    constexpr int weight = 1000;
    for (const ChartSpot& spot : c_.spots) {
      const bool left = px(spot.x) > 0.5 * (left_ + right_);
      const double end = px(spot.x) + (left ? -1.0 : 1.0) * (8.0 + words_px(spot.label));
      const bool beside = std::max(px(spot.x), end) < from || std::min(px(spot.x), end) > to;
      if (!beside && std::abs(py(spot.y) - y) < 2.0 * line_height_px) count += weight;
    }
    return count;
  }

  // Beside the end of every line, as near as the others let it.
  void end_labels() {
    struct End {
      std::size_t line;
      double y;
    };
    std::vector<End> ends;
    for (std::size_t i = 0; i < c_.lines.size(); ++i) {
      const auto last =
          std::find_if(ends_.rbegin(), ends_.rend(), [&](const auto& e) { return e.first == i; });
      if (last != ends_.rend() && !labels_[i].empty()) ends.push_back({i, last->second});
    }
    std::ranges::stable_sort(ends, {}, &End::y);
    double free_y = top_;
    double needed = 0.0;
    for (const End& e : ends) needed += block_px(e.line);
    for (const End& e : ends) {
      const double height = block_px(e.line);
      const double y =
          std::max(free_y, std::min(e.y - 0.5 * height, bottom_ + line_height_px - needed));
      const auto& lines = labels_[e.line];
      const LineStyle style = line_style(e.line);
      svg_.line(right_ + tick_gap_px, y + 3.0, right_ + tick_gap_px + 1.5 * sample_px, y + 3.0,
                style.colour, 2.5, style.dash);
      for (std::size_t k = 0; k < lines.size(); ++k)
        svg_.text(right_ + tick_gap_px, y + 5.0 + (static_cast<double>(k) + 0.8) * line_height_px,
                  lines[k]);
      free_y = y + height;
      needed -= height;
    }
  }
  [[nodiscard]] double block_px(std::size_t line) const {
    return 10.0 + line_height_px * static_cast<double>(labels_[line].size());
  }

  void spot_words(const ChartSpot& spot) {
    svg_.dot(px(spot.x), py(spot.y), 5.0, ink::dark);
    const bool left = px(spot.x) > 0.5 * (left_ + right_);
    const double room = left ? px(spot.x) - left_ - 8.0 : right_ - px(spot.x) - 8.0;
    const auto lines = lines_of(spot.label, room);
    // Under the dot, unless that is below the frame.
    const double height = line_height_px * static_cast<double>(lines.size());
    double y = py(spot.y) + 16.0;
    if (y + height > bottom_) y = py(spot.y) - height;
    while (y > top_ + line_height_px && taken(y - line_height_px, y - line_height_px + height))
      y -= 4.0;
    spot_words_.push_back({y - line_height_px, y - line_height_px + height});
    for (const std::string& line : lines) {
      svg_.text(px(spot.x) + (left ? -8.0 : 8.0), y, line, left ? Anchor::end : Anchor::start, "",
                true);
      y += line_height_px;
    }
  }

  // Whether words of another spot stand between these heights.
  [[nodiscard]] bool taken(double top, double bottom) const {
    return std::ranges::any_of(
        spot_words_, [&](const auto& other) { return top < other.second && bottom > other.first; });
  }

  const LineChart& c_;
  Svg svg_;
  double width_;
  Axis x_{0.0, 1.0, {}}, y_{0.0, 1.0, {}};
  double left_ = 0.0, right_ = 0.0, top_ = 0.0, bottom_ = 0.0;
  std::vector<std::string> y_title_;
  std::vector<std::vector<std::string>> labels_;
  std::vector<std::pair<double, double>> spot_words_;  // from, to
  std::vector<std::pair<std::size_t, double>> ends_;   // of every run: line, pixel
};

}  // namespace

std::string line_chart(const LineChart& chart, double width_px) {
  return Chart(chart, width_px).drawn();
}

}  // namespace restwell::plots
