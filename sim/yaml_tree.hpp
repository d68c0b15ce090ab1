// YAML text as a plain tree in which every key and value knows its place. The only file that
// includes yaml-cpp is its .cpp; what this project does not read is refused there: anchors and
// aliases (a few lines can expand to gigabytes), tags, keys that are not plain words, several
// documents, and nesting deeper than 20.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "sim/diagnostic.hpp"

namespace restwell {

struct Place {
  int line = 0, column = 0;  // 1-based, column in characters; 0: no place
};

struct YamlEntry;
struct YamlNode {
  enum class Kind { empty, scalar, list, map } kind = Kind::empty;
  Place place;                     // of a block map: its first key
  std::string scalar;              // kind scalar, as text
  std::vector<YamlNode> items;     // kind list
  std::vector<YamlEntry> entries;  // kind map, in the file's order, duplicates kept
};
struct YamlEntry {
  std::string key;
  Place key_place;
  YamlNode value;
};

// Never throws on bad text. Expects UTF-8 without a byte-order mark and \n as line end.
[[nodiscard]] std::variant<YamlNode, Diagnostic> read_yaml_tree(const std::string& text);

}  // namespace restwell
