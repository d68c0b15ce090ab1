#include "plots/text_table.hpp"

#include <catch2/catch.hpp>
#include <sstream>

using namespace restwell::plots;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

}  // namespace

TEST_CASE("width counts code points") {
  CHECK(text_width("") == 0);
  CHECK(text_width("20 °C – ½ m³") == 12);
}

TEST_CASE("columns are padded, aligned and ruled") {
  CHECK(text_table({{"Pit"}, {"Level, ft", Align::right}, {"Note"}},
                   {{"east", "4.2", "fills"}, {"west (old)", "11.75", ""}}) ==
        "  Pit         Level, ft  Note\n"
        "  ----------  ---------  -----\n"
        "  east              4.2  fills\n"
        "  west (old)      11.75\n");
}

TEST_CASE("signs beyond ASCII do not shift columns") {
  CHECK(text_table({{"Water", Align::right}, {"Is"}}, {{"5 °C", "a"}, {"5–10 °C", "b"}}, 0) ==
        "  Water  Is\n"
        "-------  --\n"
        "   5 °C  a\n"
        "5–10 °C  b\n");
}

TEST_CASE("wide cells wrap at blanks, the widest column first") {
  const std::string table =
      text_table({{"Date"}, {"What happens"}},
                 {{"2011-04-02", "the east pit rests at its overflow level for a week"},
                  {"2012-01-01", "short"}},
                 2, 34);
  CHECK(table ==
        "  Date        What happens\n"
        "  ----------  --------------------\n"
        "  2011-04-02  the east pit rests\n"
        "              at its overflow\n"
        "              level for a week\n"
        "  2012-01-01  short\n");
  for (const std::string& line : lines_of(table)) CHECK(text_width(line) <= 34);
}

TEST_CASE("a word is never cut, even if the table gets too wide") {
  const auto lines = lines_of(text_table({{"A"}}, {{"incompressible words"}}, 0, 5));
  CHECK(lines == std::vector<std::string>{"A", "--------------", "incompressible", "words"});
}

TEST_CASE("line breaks stay, missing cells are empty, too many cells are a mistake") {
  CHECK(text_table({{"A"}, {"B"}}, {{"x\nyy", "1"}, {"z"}}, 0) == "A   B\n--  -\nx   1\nyy\nz\n");
  CHECK_THROWS_AS(text_table({{"A"}}, {{"1", "2"}}), std::runtime_error);
  CHECK(text_table({}, {}).empty());
  CHECK(text_table({{"A"}}, {}) == "  A\n  -\n");
}

TEST_CASE("paragraphs wrap with their own first line") {
  CHECK(wrapped("The pit overflows in spring.", "- ", "  ", 15) ==
        "- The pit\n  overflows in\n  spring.\n");
  CHECK(wrapped("exactly ten", "", "", 11) == "exactly ten\n");
  CHECK(wrapped("exactly ten", "", "", 10) == "exactly\nten\n");
  CHECK(wrapped("°°° °°°", "", "", 7) == "°°° °°°\n");
}

TEST_CASE("wrapping keeps line breaks and leaves no trailing blanks") {
  CHECK(wrapped("one\n\ntwo  three", "* ", "  ", 80) == "* one\n\n  two three\n");
  CHECK(wrapped("", "* ", "  ") == "*\n");
  CHECK(wrapped("unbreakable word", "", "  ", 4) == "unbreakable\n  word\n");
}
