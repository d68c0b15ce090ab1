// Values put in place of a scenario file's, by their paths: what the command line or a list of
// cases asks for, before the file is checked.
//
// A path is keys with dots between: "household.occupants". An entry of a list goes by its name, its
// number from 1, or * for every entry: "pits.east.depth", "pits[1].depth", "pits.*.depth"; brackets
// are for names with dots. A value is YAML as in the file; "+2" or "+6 in" is added to what the
// file says, or to the default.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/diagnostic.hpp"

namespace restwell {

struct Field;
struct Findings;
struct YamlNode;

struct PathValue {
  std::string path, text;
};

// Line of a diagnostic caused by the set value of this index: not a line of the file.
[[nodiscard]] constexpr int line_of_set_value(std::size_t index) {
  return -static_cast<int>(index) - 1;
}
// The index, or nothing if the line is one of the file.
[[nodiscard]] constexpr std::optional<std::size_t> set_value_of_line(int line) {
  if (line >= 0) return std::nullopt;
  return static_cast<std::size_t>(-line - 1);
}

// What a path leads to. The field lives in the table of fields.
struct PathTarget {
  const Field* field = nullptr;
  std::string was;  // single values: what the file says, else the default; of * the first entry's
  bool in_file = false;  // was is the file's
};
// For a path that leads nowhere: what is wrong, with what is accepted and the nearest as the hint.
[[nodiscard]] std::variant<PathTarget, Diagnostic> find_path(const YamlNode& root,
                                                             const std::string& path);

// Puts the values in, each with its line_of_set_value as place; keys and maps that the file does
// not have are added. Other ways of saying the same (soil by percolation rate, by texture) make
// way; returns what was dropped, "soil.texture (sand)". Problems of paths and values go to
// findings.
[[nodiscard]] std::vector<std::string> set_values(YamlNode& root,
                                                  const std::vector<PathValue>& values,
                                                  Findings& findings);

}  // namespace restwell
