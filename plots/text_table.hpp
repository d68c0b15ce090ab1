// Plain text tables and wrapped paragraphs for terminals.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace restwell::plots {

// Code points of UTF-8 text: its width in a terminal for all we print (no combining or wide signs).
[[nodiscard]] std::size_t text_width(std::string_view text);

enum class Align { left, right };
struct Column {
  std::string heading;
  Align align = Align::left;
};

// Columns padded to the widest cell (UTF-8 aware for width), two blanks between, a rule of dashes
// under the heading, no trailing blanks, each line ends with \n and starts with indent blanks.
// Cells of a column wider than its limit wrap at blanks so that no line exceeds width when that can
// be. A line break in a cell stays one; a row may have fewer cells than columns. Throws
// std::runtime_error if it has more.
[[nodiscard]] std::string text_table(const std::vector<Column>& columns,
                                     const std::vector<std::vector<std::string>>& rows,
                                     int indent = 2, int width = 100);

// Words wrapped at width; the first line starts with first, the others with rest. A line break in
// text stays one; each line ends with \n and has no trailing blanks.
[[nodiscard]] std::string wrapped(const std::string& text, const std::string& first,
                                  const std::string& rest, int width = 100);

}  // namespace restwell::plots
