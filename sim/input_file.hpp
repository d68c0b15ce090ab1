// An input file up to its tree of keys: what every kind of file has in common.
#pragma once

#include <filesystem>
#include <string>

#include "sim/yaml_tree.hpp"

namespace restwell {

// Bytes of a regular file of at most 1 MB. Throws ScenarioError.
[[nodiscard]] std::string read_input_file(const std::filesystem::path& file);

struct InputTree {
  std::string text;  // without byte-order mark, with \n line ends
  YamlNode root;     // not empty
};
// Throws ScenarioError for what is no text, too large, empty or no YAML. name: for messages.
[[nodiscard]] InputTree input_tree(const std::string& given, const std::string& name);

// A file of percolation readings has holes and no household, tank or pits, a site the other way
// round; some files are neither.
[[nodiscard]] bool is_percolation_test(const YamlNode& root);
[[nodiscard]] bool is_site(const YamlNode& root);

}  // namespace restwell
