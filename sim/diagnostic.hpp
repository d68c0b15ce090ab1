// Problems in an input file: place, field, what is wrong, what is accepted, a hint.
#pragma once

#include <stdexcept>
#include <string>
#include <vector>

namespace restwell {

struct Diagnostic {
  int line = 0, column = 0;  // 1-based; 0: the file as a whole
  std::string field;         // "pits[1].depth"; empty: the file as a whole
  std::string message;       // "must be greater than 0 ft, got -3 ft"
  std::string hint;          // may be empty
};

// Carries every problem of one file, sorted by line.
class ScenarioError : public std::runtime_error {
 public:
  ScenarioError(std::string file, std::string text, std::vector<Diagnostic> problems);
  [[nodiscard]] const std::vector<Diagnostic>& problems() const { return problems_; }
  // "file:12:10: pits[1].depth: message", the line with a caret, the hint; problem after problem,
  // and a closing count. Ends with a newline.
  [[nodiscard]] std::string report() const;

 private:
  std::string file_, text_;
  std::vector<Diagnostic> problems_;
};

}  // namespace restwell
