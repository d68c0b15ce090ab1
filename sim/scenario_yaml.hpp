// Reads a scenario file. The only place that knows YAML.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "sim/scenario.hpp"
#include "sim/set_path.hpp"

namespace restwell {

struct LoadedScenario {
  Scenario scenario;
  std::vector<std::string> warnings;  // "file:3:5: field: text": accepted, but worth a word
  std::string text;                   // of the file, without byte-order mark, with \n line ends
  std::vector<std::string> dropped;   // what a set value made the file's say no more
};

// Throws ScenarioError with all problems at once; never anything else for bad input.
// years overrules the file's.
[[nodiscard]] LoadedScenario load_scenario(const std::filesystem::path& file,
                                           std::optional<double> years = {});
// The same from text; name stands for the file in messages. set: values put in place of the
// file's; a problem that one of them causes has it as its place (set_value_place).
[[nodiscard]] LoadedScenario parse_scenario(const std::string& text, const std::string& name,
                                            std::optional<double> years = {},
                                            const std::vector<PathValue>& set = {});

}  // namespace restwell
