// A picture as SVG text, for pages that hold it inline: shapes, and words made safe.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "plots/thin.hpp"

namespace restwell::plots {

// Text safe in SVG and HTML, inside of an element or of a quoted attribute. What is no text in XML
// (control characters) is left out.
[[nodiscard]] std::string svg_escaped(std::string_view text);
// One decimal at most: "12", "12.5".
[[nodiscard]] std::string svg_number(double x);

// Told apart by people with any colour sight (Okabe & Ito 2008), and by dashes.
namespace ink {
inline constexpr const char* dark = "#222";
inline constexpr const char* soft = "#595959";  // 7:1 on white
inline constexpr const char* faint = "#ccc";
inline constexpr const char* blue = "#0072b2";
inline constexpr const char* sky = "#56b4e9";
inline constexpr const char* vermilion = "#d55e00";
inline constexpr const char* green = "#009e73";
inline constexpr const char* purple = "#a3548a";  // their reddish purple, darker for thin lines
inline constexpr const char* orange = "#e69f00";
}  // namespace ink
struct LineStyle {
  const char* colour;
  const char* dash;  // empty: an unbroken line
};
// Of the curve with this index; colours come round again with other dashes.
[[nodiscard]] LineStyle line_style(std::size_t index);

inline constexpr double text_size_px = 13.0;
inline constexpr double line_height_px = 16.0;
// Width of a text of that size, rather wide than narrow.
[[nodiscard]] double words_px(std::string_view text);
// Lines of at most so many pixels, broken at blanks, and within words that are longer.
[[nodiscard]] std::vector<std::string> lines_of(const std::string& text, double width_px);

// What a picture is called and what it shows, for those who do not see it.
struct PictureWords {
  std::string id;  // unique in the page; letters, digits, - only
  std::string title, description;
};

enum class Anchor { start, middle, end };

class Svg {
 public:
  Svg(const PictureWords& words, double width_px);

  // Attributes are written as they are: never from a user's text.
  void line(double x1, double y1, double x2, double y2, const char* colour, double width,
            const char* dash = "");
  void box(double x, double y, double width, double height, const std::string& attributes);
  void path(const std::string& d, const std::string& attributes);
  void dot(double x, double y, double radius, const char* colour);
  // haloed: with a white edge, to stand over lines.
  void text(double x, double y, std::string_view words, Anchor anchor = Anchor::start,
            const char* attributes = "", bool haloed = false);
  // The whole element.
  [[nodiscard]] std::string done(double height_px) const;

 private:
  PictureWords words_;
  double width_px_;
  std::string body_;
};

// "M1 2L3 4..." with as few bytes as tenths of a pixel take.
[[nodiscard]] std::string polyline(const std::vector<Point>& points);
// Slanted lines that fill a rectangle, as one path. rising: from lower left to upper right.
[[nodiscard]] std::string hatching(double x, double y, double width, double height, double step,
                                   bool rising = true);

}  // namespace restwell::plots
