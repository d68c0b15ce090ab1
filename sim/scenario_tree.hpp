// From a file's tree of keys to a scenario: no files, no exceptions.
#pragma once

#include <optional>

#include "sim/record.hpp"
#include "sim/scenario.hpp"

namespace restwell {

// years overrules the tree's. With problems in findings the scenario is to be thrown away.
[[nodiscard]] Scenario scenario_of_tree(const YamlNode& root, std::optional<double> years,
                                        Findings& findings);

}  // namespace restwell
