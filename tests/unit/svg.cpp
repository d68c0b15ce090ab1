// Pictures as SVG text: what is drawn where, what is written how.
#include "plots/svg.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <regex>

#include "plots/line_chart.hpp"
#include "plots/section_drawing.hpp"
#include "plots/span_chart.hpp"
#include "plots/thin.hpp"

using namespace restwell::plots;

namespace {

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

// Every opened element is closed, in order; enough for what the writer makes.
bool well_nested(const std::string& svg) {
  static const std::regex tag("<(/?)([a-z]+)([^<>]*?)(/?)>");
  std::vector<std::string> open;
  std::string rest = svg;
  std::size_t tags = 0;
  for (std::sregex_iterator i(svg.begin(), svg.end(), tag), end; i != end; ++i, ++tags) {
    const std::smatch& m = *i;
    if (m[4].length() > 0) continue;
    if (m[1].length() == 0) {
      open.push_back(m[2]);
    } else {
      if (open.empty() || open.back() != m[2]) return false;
      open.pop_back();
    }
  }
  return open.empty() && count_of(svg, "<") == tags && count_of(svg, ">") == tags;
}

// Attribute of the first element that holds `near`.
double number_in(const std::string& svg, const std::string& near, const std::string& attribute) {
  const std::size_t at = svg.find(near);
  REQUIRE(at != std::string::npos);
  const std::size_t start = svg.rfind('<', at);
  const std::size_t key = svg.find(" " + attribute + "=\"", start);
  REQUIRE(key != std::string::npos);
  return std::stod(svg.substr(key + attribute.size() + 3));
}

std::vector<Point> points_of(const std::string& d) {
  std::vector<Point> points;
  static const std::regex step("([MLHV])(-?[0-9.]+)(?: (-?[0-9.]+))?");
  for (std::sregex_iterator i(d.begin(), d.end(), step), end; i != end; ++i) {
    const std::smatch& m = *i;
    Point p = points.empty() ? Point{0.0, 0.0} : points.back();
    if (m[1] == "H") {
      p.x = std::stod(m[2]);
    } else if (m[1] == "V") {
      p.y = std::stod(m[2]);
    } else {
      p = {std::stod(m[2]), std::stod(m[3])};
    }
    points.push_back(p);
  }
  return points;
}

std::string path_of(const std::string& svg, const std::string& colour) {
  const std::regex path("<path d=\"([^\"]*)\"[^>]*stroke=\"" + colour +
                        "\" stroke-width=\"2\" stroke-linejoin");
  std::smatch m;
  REQUIRE(std::regex_search(svg, m, path));
  return m[1];
}

LineChart two_lines() {
  LineChart c;
  c.words = {"c", "Title", "Description"};
  c.x_label = "months";
  c.y_label = "gal/day";
  c.x_high = 10.0;
  c.lines = {{"first", {{{0.0, 0.0}, {5.0, 50.0}, {10.0, 100.0}}}},
             {"second", {{{0.0, 100.0}, {10.0, 100.0}}}}};
  return c;
}

Section one_pit(double depth_m, const std::string& name) {
  Section s;
  s.words = {"s", "Cut", "A pit"};
  SectionPart pit;
  pit.name = name;
  pit.width_m = 2.0;
  pit.inlet_m = 1.0;
  pit.bottom_m = 1.0 + depth_m;
  pit.water_m = 0.5 * depth_m;
  s.parts = {pit};
  s.depths = {{0.0, "0"}, {1.0, "1 m"}};
  return s;
}

}  // namespace

TEST_CASE("text cannot become markup") {
  CHECK(svg_escaped("a<b>&\"'") == "a&lt;b&gt;&amp;&quot;&#39;");
  CHECK(svg_escaped(std::string("a\x01") + "b\x1b") == "ab");
  CHECK(svg_escaped("Gr\xc3\xbc\xc3\x9f") == "Gr\xc3\xbc\xc3\x9f");
  LineChart chart = two_lines();
  chart.lines[0].label = "<script>alert(1)</script>";
  chart.levels = {{50.0, "a & b < c"}};
  chart.spots = {{1.0, 1.0, "\"><img src=x>"}};
  chart.words.title = "</title><script>";
  SpanChart spans;
  spans.words = {"s", "<b>", "]]>"};
  spans.rows = {{"<i>", "\"", {0.1}, {0.5}, {}, {}}};
  for (const std::string& svg :
       {line_chart(chart, 680.0), line_chart(chart, 324.0), span_chart(spans, 324.0),
        section_drawing(one_pit(2.0, "<script>"), 324.0)}) {
    INFO(svg);
    CHECK(svg.find("<script") == std::string::npos);
    CHECK(svg.find("<img") == std::string::npos);
    CHECK(well_nested(svg));
  }
}

TEST_CASE("numbers take no more digits than a picture shows") {
  CHECK(svg_number(12.0) == "12");
  CHECK(svg_number(12.34) == "12.3");
  CHECK(svg_number(-0.04) == "0");
  CHECK(svg_number(-1.26) == "-1.3");
  CHECK(polyline({{1, 2}, {1, 5}, {4, 5}, {4, 5}, {6, 7}}) == "M1 2V5H4L6 7");
}

TEST_CASE("lines keep to their width, whatever the words") {
  // Letters of two and three bytes: none is cut in two.
  const std::string name =
      "a \u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u20ac\u20ac\u20ac\u20ac b-very-long-word";
  std::string all;
  for (const std::string& line : lines_of(name, 5.0 * words_px("x"))) {
    CHECK(words_px(line) <= 5.0 * words_px("x"));
    CHECK((static_cast<unsigned char>(line.front()) & 0xC0) != 0x80);
    all += line;
  }
  std::string letters = name;
  std::erase(letters, ' ');
  CHECK(all == letters);
}

TEST_CASE("a picture says what it is to those who do not see it") {
  const std::string svg = line_chart(two_lines(), 680.0);
  CHECK(svg.find("role=\"img\"") != std::string::npos);
  CHECK(svg.find("aria-labelledby=\"c-t c-d\"") != std::string::npos);
  CHECK(svg.find("<title id=\"c-t\">Title</title>") != std::string::npos);
  CHECK(svg.find("<desc id=\"c-d\">Description</desc>") != std::string::npos);
  CHECK(svg.find("viewBox=\"0 0 680 ") != std::string::npos);
  // Nothing is asked for from elsewhere.
  CHECK(count_of(svg, "http") == 1);
  CHECK(svg.find("xmlns=\"http://www.w3.org/2000/svg\"") != std::string::npos);
}

TEST_CASE("lines stand to scale, and are told apart by more than colour") {
  const std::string svg = line_chart(two_lines(), 680.0);
  const std::vector<Point> first = points_of(path_of(svg, ink::blue));
  REQUIRE(first.size() == 3);
  // The middle of a straight line is the middle of the picture, too.
  CHECK(first[1].x == Approx(0.5 * (first[0].x + first[2].x)).margin(0.1));
  CHECK(first[1].y == Approx(0.5 * (first[0].y + first[2].y)).margin(0.1));
  const std::vector<Point> second = points_of(path_of(svg, ink::vermilion));
  REQUIRE(second.size() == 2);
  CHECK(second[0].y == Approx(first[2].y).margin(0.1));
  CHECK(first[0].y > first[2].y);
  for (std::size_t a = 0; a < 6; ++a)
    for (std::size_t b = a + 1; b < 6; ++b)
      CHECK(std::string(line_style(a).dash) != line_style(b).dash);
  CHECK(svg.find(">first</text>") != std::string::npos);
  CHECK(svg.find(">second</text>") != std::string::npos);
}

TEST_CASE("a long line keeps its peaks and loses its bytes") {
  LineChart chart = two_lines();
  Run run;
  double highest = 0.0;
  for (int i = 0; i <= 20000; ++i) {
    const double y = 40.0 + 20.0 * std::sin(0.7 * i) + (i == 12345 ? 37.0 : 0.0);
    highest = std::max(highest, y);
    run.push_back({i / 2000.0, y});
  }
  chart.lines = {{"", {run}}};
  chart.y_high = 100.0;
  const std::string svg = line_chart(chart, 680.0);
  const std::vector<Point> drawn = points_of(path_of(svg, ink::blue));
  CHECK(drawn.size() < 2000);
  const double zero = number_in(svg, ">0</text>", "y") - 4.5;
  const double hundred = number_in(svg, ">100</text>", "y") - 4.5;
  double top = 1e9;
  for (const Point& p : drawn) top = std::min(top, p.y);
  CHECK((zero - top) / (zero - hundred) * 100.0 == Approx(highest).margin(0.3));
}

TEST_CASE("labels at the lines' ends stay in the picture and apart") {
  for (const double width : {680.0, 324.0}) {
    LineChart chart = two_lines();
    for (int i = 0; i < 4; ++i)
      chart.lines.push_back({"a line with a long name " + std::to_string(i),
                             {{{0.0, 99.0 + 0.1 * i}, {10.0, 99.0}}}});
    const std::string svg = line_chart(chart, width);
    const std::regex text("<text x=\"([0-9.-]+)\" y=\"([0-9.-]+)\"([^>]*)>([^<]*)<");
    const double height = number_in(svg, "role=\"img\"", "height");
    for (std::sregex_iterator i(svg.begin(), svg.end(), text), end; i != end; ++i) {
      const std::smatch& m = *i;
      INFO(m[0]);
      const double x = std::stod(m[1]), y = std::stod(m[2]), wide = words_px(m[4].str());
      const std::string how = m[3];
      const double left = how.find("end") != std::string::npos      ? x - wide
                          : how.find("middle") != std::string::npos ? x - 0.5 * wide
                                                                    : x;
      CHECK(left >= -0.5);
      CHECK(left + wide <= width + 0.5);
      CHECK(y > 0.0);
      CHECK(y <= height);
    }
  }
}

TEST_CASE("what comes later than the chart is an arrow, not a bar's end") {
  SpanChart chart;
  chart.words = {"s", "When", "Dates"};
  chart.x_low = 0.0;
  chart.x_high = 10.0 * 365.25 * 86400.0;
  const double middle = 5.0 * 365.25 * 86400.0;
  chart.rows = {{"a", "words", 0.5 * middle, middle, 1.5 * middle, {}}};
  const std::string all_known = span_chart(chart, 680.0);
  const double from = number_in(all_known, ink::sky, "x");
  const double width = number_in(all_known, ink::sky, "width");
  // From a quarter to three quarters of the axis.
  CHECK(width == Approx(2.0 * (from - 8.0)).margin(0.5));
  CHECK(all_known.find("z\" fill=\"#56b4e9\"") == std::string::npos);
  chart.rows[0].late.reset();
  CHECK(span_chart(chart, 680.0).find("z\" fill=\"#56b4e9\"") != std::string::npos);
  chart.rows[0] = {"a", "words", {}, {}, {}, {}};
  CHECK(span_chart(chart, 680.0).find("<rect") == std::string::npos);
}

TEST_CASE("the cut is drawn to one scale") {
  const std::string svg = section_drawing(one_pit(3.0, "east pit"), 680.0);
  CHECK(well_nested(svg));
  const std::regex water(
      "<rect x=\"[^\"]*\" y=\"([0-9.]+)\" width=\"([0-9.]+)\" height=\"([0-9.]+)\" "
      "fill=\"#b5dcf3\"/>");
  std::smatch m;
  REQUIRE(std::regex_search(svg, m, water));
  const double px_per_m = number_in(svg, ">1 m</text>", "y") - number_in(svg, ">0</text>", "y");
  CHECK(std::stod(m[3]) == Approx(1.5 * px_per_m).margin(0.2));  // half of 3 m
  CHECK(std::stod(m[2]) == Approx(2.0 * px_per_m).margin(0.2));
  // Its surface stands 1 + 1.5 m under the ground.
  CHECK(std::stod(m[1]) - (number_in(svg, ">0</text>", "y") - 4.5) ==
        Approx(2.5 * px_per_m).margin(0.2));
}

TEST_CASE("parts that find no room in a row go on in the next one") {
  Section s = one_pit(2.0, "one");
  for (int i = 2; i <= 6; ++i) {
    s.parts.push_back(s.parts.front());
    s.parts.back().name = "pit " + std::to_string(i);
  }
  for (const double width : {680.0, 324.0}) {
    const std::string svg = section_drawing(s, width);
    CHECK(well_nested(svg));
    const std::regex rect("<rect x=\"([0-9.-]+)\" [^>]*width=\"([0-9.]+)\"");
    for (std::sregex_iterator i(svg.begin(), svg.end(), rect), end; i != end; ++i)
      CHECK(std::stod((*i)[1]) + std::stod((*i)[2]) <= width + 0.5);
    for (int i = 2; i <= 6; ++i)
      CHECK(svg.find(">pit " + std::to_string(i) + "</text>") != std::string::npos);
  }
}

TEST_CASE("hatching stays inside and is one path") {
  for (const bool rising : {true, false}) {
    const std::string d = hatching(10.0, 20.0, 33.0, 7.0, 4.0, rising);
    for (const Point& p : points_of(d)) {
      CHECK(p.x >= 10.0 - 0.06);
      CHECK(p.x <= 43.0 + 0.06);
      CHECK(p.y >= 20.0 - 0.06);
      CHECK(p.y <= 27.0 + 0.06);
    }
    CHECK(count_of(d, "M") == 9);  // c = 4, 8, ... 36 of 40
  }
  CHECK(hatching(0.0, 0.0, 0.0, 5.0, 4.0).empty());
}
