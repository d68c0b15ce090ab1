// Reads a scenario file. The only place that knows YAML.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "sim/scenario.hpp"

namespace restwell {

struct LoadedScenario {
  Scenario scenario;
  std::vector<std::string> warnings;  // "file:3:5: field: text": accepted, but worth a word
  std::string text;                   // of the file, without byte-order mark, with \n line ends
};

// Throws ScenarioError with all problems at once; never anything else for bad input.
// years overrules the file's.
[[nodiscard]] LoadedScenario load_scenario(const std::filesystem::path& file,
                                           std::optional<double> years = {});
// The same from text; name stands for the file in messages.
[[nodiscard]] LoadedScenario parse_scenario(const std::string& text, const std::string& name,
                                            std::optional<double> years = {});

}  // namespace restwell
