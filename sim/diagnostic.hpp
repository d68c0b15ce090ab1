// Problems in an input file: place, field, what is wrong, what is accepted, a hint.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace restwell {

// Of many problems, the first so many.
inline constexpr std::size_t most_problems_shown = 50;

struct Diagnostic {
  int line = 0, column = 0;  // 1-based, columns in characters; 0: the file as a whole
  std::string field;         // "pits[1].depth", counted from 1; empty: no field in particular
  std::string message;       // "must be greater than 0 ft, got -3 ft"
  std::string hint;          // may be empty
};

// A problem that has no place and field yet.
[[nodiscard]] inline Diagnostic unplaced(std::string message, std::string hint = "") {
  return {0, 0, "", std::move(message), std::move(hint)};
}

// Carries every problem of one file, sorted by line.
class ScenarioError : public std::runtime_error {
 public:
  ScenarioError(std::string file, std::string text, std::vector<Diagnostic> problems);
  [[nodiscard]] const std::vector<Diagnostic>& problems() const { return problems_; }
  // "file:12:10: pits[1].depth: message", the line with a caret, the hint; problem after problem,
  // and a closing count. Ends with a newline. Shows the first 50 problems; the count is of all.
  [[nodiscard]] std::string report() const;

 private:
  std::string file_, text_;
  std::vector<Diagnostic> problems_;
};

// A question that cannot be answered as asked, though the file is sound: an unknown pit, a range
// without members. Ends like a wrong command line.
class QuestionError : public std::runtime_error {
 public:
  explicit QuestionError(const std::string& message, const std::string& hint = "")
      : std::runtime_error(hint.empty() ? message : message + "\nhint: " + hint) {}
};

// Throws a QuestionError with all of them, each on a line of its own. Precondition: not empty.
[[noreturn]] void refuse_question(const std::vector<std::string>& problems,
                                  const std::string& hint);

// "file:12:10: pits[1].depth: message": the first line of a problem, also used for warnings.
[[nodiscard]] std::string headline(const std::string& file, const Diagnostic& d);

// Text of a file made safe to show: control and direction-changing characters and bytes that are
// not UTF-8 are written as escapes (\t, \x1b, \u202e); cut to at most max_characters with "...".
[[nodiscard]] std::string printable(std::string_view text, std::size_t max_characters = 60);

// Where a text stops being text: a control character other than \t and \n, or bytes that are not
// UTF-8. Nothing for plain text.
[[nodiscard]] std::optional<std::size_t> first_non_text_byte(std::string_view text);

// The candidate nearest to a word by edit distance, or empty if none is near (at most a third of
// the word's length, at least 1 and at most 3 edits). Words over 40 characters have no near one.
[[nodiscard]] std::string nearest(std::string_view word,
                                  const std::vector<std::string>& candidates);

}  // namespace restwell
