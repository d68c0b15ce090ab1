#include "plots/span_chart.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "plots/axis.hpp"

namespace restwell::plots {
namespace {

constexpr double bar_px = 12.0, row_gap_px = 12.0, arrow_px = 9.0;

class Spans {
 public:
  Spans(const SpanChart& chart, double width_px)
      : c_(chart), svg_(chart.words, width_px), width_(width_px) {
    right_ = width_ - arrow_px - 8.0;
    x_ = date_axis(c_.x_low, c_.x_high, right_ - left_, 0.78 * text_size_px);
  }

  std::string drawn() {
    double height = 0.0;
    for (const SpanRow& r : c_.rows) height += row_px(r);
    for (const Tick& t : x_.ticks) {
      svg_.line(px(t.at), 0.0, px(t.at), height, ink::faint, 0.6);
      const double half = 0.5 * words_px(t.label);
      svg_.text(std::clamp(px(t.at), half, width_ - half), height + 15.0, t.label, Anchor::middle);
    }
    svg_.line(left_, height, right_, height, ink::soft, 1.0);
    double y = 0.0;
    for (const SpanRow& r : c_.rows) {
      row(r, y);
      y += row_px(r);
    }
    double bottom = height + 22.0;
    for (const std::string& l : lines_of(c_.key, width_)) {
      bottom += line_height_px;
      svg_.text(left_, bottom, l);
    }
    return svg_.done(bottom + 6.0);
  }

 private:
  [[nodiscard]] double px(double x) const {
    return left_ + (x - x_.low) / (x_.high - x_.low) * (right_ - left_);
  }
  [[nodiscard]] std::vector<std::string> words_of(const SpanRow& r) const {
    return lines_of(r.words, width_ - 8.0);
  }
  [[nodiscard]] double row_px(const SpanRow& r) const {
    const auto lines = lines_of(r.label, width_ - 8.0).size() + words_of(r).size();
    return static_cast<double>(lines) * line_height_px + bar_px + row_gap_px;
  }

  void row(const SpanRow& r, double y) {
    for (const std::string& l : lines_of(r.label, width_ - 8.0)) {
      y += line_height_px;
      svg_.text(left_, y - 3.0, l, Anchor::start, "font-weight=\"bold\"", true);
    }
    for (const std::string& l : words_of(r)) {
      y += line_height_px;
      svg_.text(left_, y - 3.0, l, Anchor::start, "", true);
    }
    const double middle = y + 2.0 + 0.5 * bar_px;
    if (!r.days.empty()) {
      for (const double day : r.days) svg_.dot(px(day), middle, 5.0, ink::green);
      return;
    }
    const double from = px(r.early.value_or(x_.high)), to = px(r.late.value_or(x_.high));
    if (r.early)
      svg_.box(from, middle - 0.5 * bar_px, std::max(2.0, to - from), bar_px,
               fmt::format("fill=\"{}\"", ink::sky));
    if (!r.late) arrow(middle, r.early ? ink::sky : ink::soft);
    if (r.expected) diamond(px(*r.expected), middle);
  }

  void arrow(double y, const char* colour) {
    svg_.path(fmt::format("M{0} {1}V{2}L{3} {4}z", svg_number(right_), svg_number(y - 8.0),
                          svg_number(y + 8.0), svg_number(right_ + arrow_px + 2.0), svg_number(y)),
              fmt::format("fill=\"{}\"", colour));
  }
  void diamond(double x, double y) {
    svg_.path(fmt::format("M{} {}l7 7-7 7-7-7z", svg_number(x), svg_number(y - 7.0)),
              fmt::format("fill=\"{}\" stroke=\"#fff\"", ink::dark));
  }

  const SpanChart& c_;
  Svg svg_;
  double width_;
  double left_ = 8.0, right_ = 0.0;
  Axis x_{0.0, 1.0, {}};
};

}  // namespace

std::string span_chart(const SpanChart& chart, double width_px) {
  return Spans(chart, width_px).drawn();
}

}  // namespace restwell::plots
