#include "plots/svg.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "plots/text_table.hpp"

namespace restwell::plots {
namespace {

// Of the mean character; rather wide, since the reader's font is not known.
constexpr double character_px = 0.56 * text_size_px;

constexpr std::array<LineStyle, 8> styles = {{{ink::blue, ""},
                                              {ink::vermilion, "7 3"},
                                              {ink::green, "2 3"},
                                              {ink::purple, "9 3 2 3"},
                                              {ink::dark, "12 4"},
                                              {ink::blue, "4 4"},
                                              {ink::vermilion, "1 3"},
                                              {ink::green, "10 3 3 3"}}};

const char* anchor_word(Anchor a) {
  return a == Anchor::middle ? " text-anchor=\"middle\""
         : a == Anchor::end  ? " text-anchor=\"end\""
                             : "";
}

// A line in pieces of so many code points: more than one only of a word too long for a line.
void add_pieces(std::vector<std::string>& lines, std::string_view line, int characters) {
  lines.emplace_back();
  int count = 0;
  for (const char c : line) {
    const bool continues = (static_cast<unsigned char>(c) & 0xC0) == 0x80;
    if (!continues && ++count > characters) {
      lines.emplace_back();
      count = 1;
    }
    lines.back() += c;
  }
}

}  // namespace

std::string svg_escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default: {
        const auto u = static_cast<unsigned char>(c);
        if (u >= 32 || c == '\n' || c == '\t') out += c;
      }
    }
  }
  return out;
}

std::string svg_number(double x) {
  const double tenths = std::round(10.0 * x);
  const auto whole = static_cast<long long>(tenths);
  std::string text = std::to_string(std::llabs(whole) / 10);
  if (whole % 10 != 0) text += "." + std::to_string(std::llabs(whole) % 10);
  return whole < 0 ? "-" + text : text;
}

LineStyle line_style(std::size_t index) { return styles[index % styles.size()]; }

double words_px(std::string_view text) {
  return character_px * static_cast<double>(text_width(text));
}

std::vector<std::string> lines_of(const std::string& text, double width_px) {
  const int characters = std::max(1, static_cast<int>(width_px / character_px));
  const std::string all = wrapped(text, "", "", characters);
  std::vector<std::string> lines;
  for (std::size_t from = 0; from < all.size();) {
    const std::size_t end = std::min(all.find('\n', from), all.size());
    add_pieces(lines, std::string_view(all).substr(from, end - from), characters);
    from = end + 1;
  }
  return lines;
}

Svg::Svg(const PictureWords& words, double width_px) : words_(words), width_px_(width_px) {}

void Svg::line(double x1, double y1, double x2, double y2, const char* colour, double width,
               const char* dash) {
  path(polyline({{x1, y1}, {x2, y2}}),
       fmt::format("stroke=\"{}\" stroke-width=\"{}\"{}", colour, svg_number(width),
                   *dash == '\0' ? "" : fmt::format(" stroke-dasharray=\"{}\"", dash)));
}

void Svg::box(double x, double y, double width, double height, const std::string& attributes) {
  body_ += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" {}/>\n", svg_number(x),
                       svg_number(y), svg_number(std::max(0.0, width)),
                       svg_number(std::max(0.0, height)), attributes);
}

void Svg::path(const std::string& d, const std::string& attributes) {
  if (d.empty()) return;
  const bool filled = attributes.find("fill=") != std::string::npos;
  body_ += fmt::format("<path d=\"{}\"{} {}/>\n", d, filled ? "" : " fill=\"none\"", attributes);
}

void Svg::dot(double x, double y, double radius, const char* colour) {
  body_ += fmt::format(
      "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\" stroke=\"#fff\" stroke-width=\"1.5\"/>\n",
      svg_number(x), svg_number(y), svg_number(radius), colour);
}

void Svg::text(double x, double y, std::string_view words, Anchor anchor, const char* attributes,
               bool haloed) {
  body_ += fmt::format("<text x=\"{}\" y=\"{}\"{}{}{}{}>{}</text>\n", svg_number(x), svg_number(y),
                       anchor_word(anchor),
                       haloed ? " stroke=\"#fff\" stroke-width=\"4\" stroke-linejoin=\"round\" "
                                "paint-order=\"stroke\""
                              : "",
                       *attributes == '\0' ? "" : " ", attributes, svg_escaped(words));
}

std::string Svg::done(double height_px) const {
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {1}\" width=\"{0}\" "
      "height=\"{1}\" role=\"img\" aria-labelledby=\"{2}-t {2}-d\" font-size=\"{3}\" "
      "fill=\"{4}\">\n<title id=\"{2}-t\">{5}</title>\n<desc id=\"{2}-d\">{6}</desc>\n{7}</svg>",
      svg_number(width_px_), svg_number(height_px), words_.id, svg_number(text_size_px), ink::dark,
      svg_escaped(words_.title), svg_escaped(words_.description), body_);
}

std::string polyline(const std::vector<Point>& points) {
  std::string d;
  std::string last_x, last_y;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::string x = svg_number(points[i].x), y = svg_number(points[i].y);
    if (i == 0) {
      d += "M" + x + " " + y;
    } else if (y == last_y && x == last_x) {
      continue;
    } else if (y == last_y) {
      d += "H" + x;
    } else if (x == last_x) {
      d += "V" + y;
    } else {
      d += "L" + x + " " + y;
    }
    last_x = x;
    last_y = y;
  }
  return d;
}

std::string hatching(double x, double y, double width, double height, double step, bool rising) {
  std::string d;
  if (!(width > 0.0) || !(height > 0.0)) return d;
  // The lines u + v = c of the rectangle from (0, 0), v downward.
  for (double c = step; c < width + height; c += step) {
    const double u1 = std::max(0.0, c - height), u2 = std::min(width, c);
    const double v1 = c - u1, v2 = c - u2;
    d += rising ? polyline({{x + u1, y + v1}, {x + u2, y + v2}})
                : polyline({{x + width - u1, y + v1}, {x + width - u2, y + v2}});
  }
  return d;
}

}  // namespace restwell::plots
