// Keys of a scenario that say the same in different ways, or cannot stand beside each other.
#pragma once

#include <string_view>
#include <vector>

namespace restwell {

// Where `key` of the map `parent` (path without entries of lists) is set, `dropped` have to go.
struct Alternative {
  std::string_view parent, key;
  std::string_view only_value;  // if not empty: only this value of the key makes others go
  std::vector<std::string_view> dropped;
};

[[nodiscard]] const std::vector<Alternative>& alternatives();

}  // namespace restwell
