// Plain text tables and wrapped paragraphs for terminals.
#pragma once

#include <string>
#include <vector>

namespace restwell::plots {

enum class Align { left, right };
struct Column {
  std::string heading;
  Align align = Align::left;
};

// Columns padded to the widest cell (UTF-8 aware for width), two blanks between, a rule of dashes
// under the heading, no trailing blanks, each line ends with \n and starts with indent blanks.
// Cells of a column wider than its limit wrap at blanks so that no line exceeds width when that can
// be.
[[nodiscard]] std::string text_table(const std::vector<Column>& columns,
                                     const std::vector<std::vector<std::string>>& rows,
                                     int indent = 2, int width = 100);

// Words wrapped at width; the first line starts with first, the others with rest.
[[nodiscard]] std::string wrapped(const std::string& text, const std::string& first,
                                  const std::string& rest, int width = 100);

}  // namespace restwell::plots
