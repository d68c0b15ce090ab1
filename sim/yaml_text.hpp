// A scenario's tree as YAML text again, with some of its parts put in place of others. Comments are
// lost; what is read back is the same.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "sim/yaml_tree.hpp"

namespace restwell {

[[nodiscard]] YamlNode yaml_word(std::string text);
[[nodiscard]] YamlNode yaml_list(std::vector<YamlNode> items);
[[nodiscard]] YamlNode yaml_map(const std::vector<std::pair<std::string, YamlNode>>& entries);

// The value of a map's key, or nullptr.
[[nodiscard]] YamlNode* find_entry(YamlNode& map, const std::string& key);
// In the place of the old value, else at the end.
void set_entry(YamlNode& map, const std::string& key, YamlNode value);
void drop_entry(YamlNode& map, const std::string& key);

// Precondition: a map. Two levels in lines, the rest in braces.
[[nodiscard]] std::string yaml_text(const YamlNode& root);

}  // namespace restwell
