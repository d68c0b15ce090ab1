// A file's tree of keys as one line of text and back, for a reader that knows no YAML: a page's
// engine. Written as in bencode: a text is its bytes' number, a colon and the bytes; a list l...e,
// a map d...e with keys in the file's order; nothing is n. Places are not kept.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "sim/yaml_tree.hpp"

namespace restwell {

[[nodiscard]] std::string packed_tree(const YamlNode& root);
// Nothing for what packed_tree did not write.
[[nodiscard]] std::optional<YamlNode> unpacked_tree(std::string_view text);

}  // namespace restwell
