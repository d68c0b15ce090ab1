#include "plots/text_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <stdexcept>

namespace restwell::plots {
namespace {

using Lines = std::vector<std::string>;

constexpr std::size_t gap = 2;  // blanks between columns

Lines split_lines(const std::string& text) {
  Lines lines(1);
  for (const char c : text) {
    if (c == '\n') {
      lines.emplace_back();
    } else if (c != '\r') {
      lines.back() += c;
    }
  }
  return lines;
}

void trim_end(std::string& line) { line.erase(line.find_last_not_of(' ') + 1); }

// The text between blanks and ends of line.
Lines words_of(const std::string& text) {
  constexpr const char* blanks = " \t\n\v\f\r";
  Lines words;
  for (std::size_t at = 0; (at = text.find_first_not_of(blanks, at)) != std::string::npos;) {
    const std::size_t end = std::min(text.find_first_of(blanks, at), text.size());
    words.push_back(text.substr(at, end - at));
    at = end;
  }
  return words;
}

// Words of one paragraph filled into lines. A word wider than the line stands alone and juts out.
Lines fill(const std::string& paragraph, std::size_t first_width, std::size_t width) {
  Lines lines(1);
  std::size_t room = first_width, used = 0;
  for (const std::string& word : words_of(paragraph)) {
    const std::size_t wide = text_width(word);
    if (used > 0 && used + 1 + wide > room) {
      lines.emplace_back();
      room = width;
      used = 0;
    }
    if (used > 0) {
      lines.back() += ' ';
      ++used;
    }
    lines.back() += word;
    used += wide;
  }
  return lines;
}

Lines cell_lines(const std::string& cell, std::size_t width) {
  Lines lines;
  for (std::string& line : split_lines(cell)) {
    // Text that fits keeps its inner blanks.
    if (text_width(line) <= width) {
      lines.push_back(std::move(line));
    } else {
      for (std::string& part : fill(line, width, width)) lines.push_back(std::move(part));
    }
  }
  return lines;
}

std::size_t widest_line(const std::string& cell) {
  std::size_t widest = 0;
  for (const std::string& line : split_lines(cell)) widest = std::max(widest, text_width(line));
  return widest;
}

std::size_t widest_word(const std::string& cell) {
  std::size_t widest = 0;
  for (const std::string& word : words_of(cell)) widest = std::max(widest, text_width(word));
  return widest;
}

// Takes from the widest column that can still wrap until the table fits.
void shrink(std::vector<std::size_t>& widths, const std::vector<std::size_t>& narrowest,
            std::size_t room) {
  std::size_t total = std::accumulate(widths.begin(), widths.end(), std::size_t{0});
  for (; total > room; --total) {
    std::size_t* widest = nullptr;
    for (std::size_t c = 0; c < widths.size(); ++c) {
      if (widths[c] > narrowest[c] && (widest == nullptr || widths[c] > *widest)) {
        widest = &widths[c];
      }
    }
    if (widest == nullptr) return;
    --*widest;
  }
}

}  // namespace

std::size_t text_width(std::string_view text) {
  // Every byte but the continuation bytes 10xxxxxx starts a code point.
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

std::string text_table(const std::vector<Column>& columns,
                       const std::vector<std::vector<std::string>>& rows, int indent, int width) {
  if (columns.empty()) return {};
  const std::size_t count = columns.size();
  std::vector<std::size_t> widths(count), narrowest(count);
  const auto measure = [&](std::size_t c, const std::string& cell) {
    widths[c] = std::max(widths[c], widest_line(cell));
    narrowest[c] = std::max(narrowest[c], widest_word(cell));
  };
  for (std::size_t c = 0; c < count; ++c) measure(c, columns[c].heading);
  for (const auto& row : rows) {
    if (row.size() > count) {
      throw std::runtime_error(
          fmt::format("table row of {} cells for {} columns", row.size(), count));
    }
    for (std::size_t c = 0; c < row.size(); ++c) measure(c, row[c]);
  }
  const std::string margin(static_cast<std::size_t>(std::max(indent, 0)), ' ');
  const std::size_t taken = margin.size() + gap * (count - 1);
  const auto wanted = static_cast<std::size_t>(std::max(width, 0));
  shrink(widths, narrowest, wanted > taken ? wanted - taken : 0);

  std::string out;
  const auto add_row = [&](const std::vector<std::string>& cells) {
    std::vector<Lines> wrapped_cells;
    std::size_t height = 1;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      wrapped_cells.push_back(cell_lines(cells[c], widths[c]));
      height = std::max(height, wrapped_cells.back().size());
    }
    for (std::size_t l = 0; l < height; ++l) {
      std::string line = margin;
      for (std::size_t c = 0; c < wrapped_cells.size(); ++c) {
        const std::string text = l < wrapped_cells[c].size() ? wrapped_cells[c][l] : "";
        const std::size_t used = text_width(text);
        const std::string pad(widths[c] > used ? widths[c] - used : 0, ' ');
        if (c > 0) line.append(gap, ' ');
        line += columns[c].align == Align::right ? pad + text : text + pad;
      }
      trim_end(line);
      out += line + '\n';
    }
  };
  std::vector<std::string> headings, rule;
  for (std::size_t c = 0; c < count; ++c) {
    headings.push_back(columns[c].heading);
    rule.emplace_back(widths[c], '-');
  }
  add_row(headings);
  add_row(rule);
  for (const auto& row : rows) add_row(row);
  return out;
}

std::string wrapped(const std::string& text, const std::string& first, const std::string& rest,
                    int width) {
  const auto room = [width](const std::string& lead) {
    const std::size_t used = text_width(lead), wide = static_cast<std::size_t>(std::max(width, 0));
    return wide > used ? wide - used : 0;
  };
  std::string out;
  const std::string* lead = &first;
  for (const std::string& paragraph : split_lines(text)) {
    for (const std::string& part : fill(paragraph, room(*lead), room(rest))) {
      std::string line = *lead + part;
      trim_end(line);
      out += line + '\n';
      lead = &rest;
    }
  }
  return out;
}

}  // namespace restwell::plots
