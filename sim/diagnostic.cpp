#include "sim/diagnostic.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <tuple>
#include <utility>

namespace restwell {
namespace {

constexpr std::size_t line_width = 100;

struct Character {
  std::string shown;
  std::size_t bytes;
};

// Length of the UTF-8 sequence at the front and its code point; nothing if it is malformed.
std::optional<std::pair<std::size_t, char32_t>> decode(std::string_view s) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(s[i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return std::pair{std::size_t{1}, char32_t{lead}};
  const std::size_t length = lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2;
  if (lead < 0xc2 || lead > 0xf4 || s.size() < length) return std::nullopt;
  char32_t code = lead & (0xffu >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xc0) != 0x80) return std::nullopt;
    code = code << 6 | (byte(i) & 0x3fu);
  }
  constexpr std::array<char32_t, 5> smallest{0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = code >= 0xd800 && code <= 0xdfff;
  if (code < smallest[length] || surrogate || code > 0x10ffff) return std::nullopt;
  return std::pair{length, code};
}

bool changes_display(char32_t c) {
  return c < 0x20 || (c >= 0x7f && c < 0xa0) || (c >= 0x200b && c <= 0x200f) ||
         (c >= 0x2028 && c <= 0x202e) || (c >= 0x2060 && c <= 0x206f) || c == 0xfeff;
}

Character first_character(std::string_view s) {
  const auto decoded = decode(s);
  if (!decoded) return {fmt::format("\\x{:02x}", static_cast<unsigned char>(s[0])), 1};
  const auto [bytes, code] = *decoded;
  if (code == '\t') return {"\\t", 1};
  if (code == '\n') return {"\\n", 1};
  if (code == '\r') return {"\\r", 1};
  if (changes_display(code))
    return {code < 0x100 ? fmt::format("\\x{:02x}", static_cast<unsigned>(code))
                         : fmt::format("\\u{:04x}", static_cast<unsigned>(code)),
            bytes};
  return {std::string(s.substr(0, bytes)), bytes};
}

std::vector<std::string> characters(std::string_view s) {
  std::vector<std::string> result;
  while (!s.empty()) {
    Character c = first_character(s);
    s.remove_prefix(c.bytes);
    result.push_back(std::move(c.shown));
  }
  return result;
}

std::size_t width(const std::string& shown) {
  return shown.size() > 1 && shown[0] == '\\' ? shown.size() : 1;
}

std::optional<std::string_view> line_of(std::string_view text, int line) {
  if (line < 1) return std::nullopt;
  for (int n = 1; n < line; ++n) {
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos) return std::nullopt;
    text.remove_prefix(end + 1);
  }
  std::string_view result = text.substr(0, text.find('\n'));
  if (result.ends_with('\r')) result.remove_suffix(1);
  return result;
}

// The source line and a caret under the column; a long line is cut around the caret.
std::string excerpt(std::string_view source, int line, int column) {
  const std::vector<std::string> shown = characters(source);
  const std::size_t at = std::min(static_cast<std::size_t>(std::max(column - 1, 0)), shown.size());
  std::size_t first = 0;
  std::size_t last = shown.size();
  if (shown.size() > line_width) {
    first = at > line_width / 2 ? at - line_width / 2 : 0;
    last = std::min(first + line_width, shown.size());
    first = last - line_width;
  }
  std::string text = first > 0 ? "..." : "";
  std::size_t caret = text.size();
  for (std::size_t i = first; i < last; ++i) {
    if (i < at) caret += width(shown[i]);
    text += shown[i];
  }
  if (last < shown.size()) text += "...";
  const std::string gutter = fmt::format("{:>4} | ", line);
  return gutter + text + "\n" + std::string(gutter.size() - 2, ' ') + "| " +
         std::string(caret, ' ') + "^\n";
}

// Edits: a letter changed, added, left out, or two neighbours swapped.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1), above(b.size() + 1), row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    before = std::exchange(above, row);
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = above[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({changed, above[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], before[j - 2] + 1);
    }
  }
  return row[b.size()];
}

}  // namespace

ScenarioError::ScenarioError(std::string file, std::string text, std::vector<Diagnostic> problems)
    : std::runtime_error(problems.empty() ? "invalid scenario" : headline(file, problems.front())),
      file_(std::move(file)),
      text_(std::move(text)),
      problems_(std::move(problems)) {
  std::ranges::stable_sort(problems_, {},
                           [](const Diagnostic& d) { return std::tuple(d.line, d.column); });
}

std::string ScenarioError::report() const {
  std::string text;
  for (std::size_t i = 0; i < std::min(problems_.size(), most_problems_shown); ++i) {
    const Diagnostic& d = problems_[i];
    text += headline(file_, d) + "\n";
    if (const auto source = line_of(text_, d.line); source && !text_.empty())
      text += excerpt(*source, d.line, d.column);
    if (!d.hint.empty()) text += "  hint: " + d.hint + "\n";
  }
  text += fmt::format("{} problem{}{}; nothing was run.\n", problems_.size(),
                      problems_.size() == 1 ? "" : "s",
                      problems_.size() > most_problems_shown
                          ? fmt::format(", the first {} shown", most_problems_shown)
                          : "");
  return text;
}

void refuse_question(const std::vector<std::string>& problems, const std::string& hint) {
  std::string text;
  for (const std::string& p : problems) text += (text.empty() ? "" : "\nrestwell: ") + p;
  throw QuestionError(text, hint);
}

std::string headline(const std::string& file, const Diagnostic& d) {
  std::string text = printable(file, 1000);
  if (d.line > 0) text += fmt::format(":{}:{}", d.line, d.column);
  text += ": ";
  if (!d.field.empty()) text += d.field + ": ";
  return text + d.message;
}

std::string printable(std::string_view text, std::size_t max_characters) {
  std::string result;
  std::size_t count = 0;
  while (!text.empty()) {
    if (count++ == max_characters) return result + "...";
    const Character c = first_character(text);
    result += c.shown;
    text.remove_prefix(c.bytes);
  }
  return result;
}

std::optional<std::size_t> first_non_text_byte(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const auto decoded = decode(text.substr(at));
    if (!decoded) return at;
    const auto [bytes, code] = *decoded;
    if ((code < 0x20 && code != '\t' && code != '\n') || code == 0x7f) return at;
    at += bytes;
  }
  return std::nullopt;
}

std::string nearest(std::string_view word, const std::vector<std::string>& candidates) {
  if (word.size() < 2 || word.size() > 40) return "";  // of one letter every other is near
  const std::size_t most = std::clamp<std::size_t>(word.size() / 3, 1, 3);
  std::string best;
  std::size_t best_distance = most + 1;
  for (const std::string& candidate : candidates) {
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < best_distance) {
      best = candidate;
      best_distance = distance;
    }
  }
  return best;
}

}  // namespace restwell
