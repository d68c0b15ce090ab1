// The cases of a what-if: from what the command line and a file of named cases ask for to lists of
// set values.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <variant>
#include <vector>

#include "sim/diagnostic.hpp"
#include "sim/set_path.hpp"
#include "sim/yaml_tree.hpp"

namespace restwell {

// More would be a table that nobody reads.
inline constexpr std::size_t most_cases = 200;

struct WhatIfCase {
  std::string name;  // "occupants 6"
  std::vector<PathValue> set;
  std::vector<Place> places;  // of every value in the file of cases; line 0: from --set
};

// The case set apart from the others by numbers of one field: what a line can be drawn over.
struct NumberAxis {
  std::string path, label;     // "occupants", "tank volume"
  std::string unit;            // empty for bare numbers
  std::vector<double> values;  // of the cases in their order
};

struct AskedCases {
  std::vector<WhatIfCase> cases;
  std::vector<NumberAxis> axis;  // one, if the cases are the numbers of a single --set; else none
  std::vector<std::string> problems;  // message and hint, without an end of line
};

// One path, and the values it is to have.
struct Setting {
  std::string path;
  std::vector<std::string> values;
  Place place;
};
// Checks the path and takes the text apart; what the site makes of the values is not looked at.
[[nodiscard]] std::variant<Setting, Diagnostic> setting_of(const YamlNode& site,
                                                           const std::string& path,
                                                           const std::string& text, Place place);
// Every combination of the settings' values, the last one changing fastest. name: of all of them,
// or empty to name each by what it sets.
[[nodiscard]] std::vector<WhatIfCase> combinations(const std::string& name,
                                                   const std::vector<Setting>& settings);
[[nodiscard]] double number_of_combinations(const std::vector<Setting>& settings);

// Every combination of the values of all --set arguments; if there are problems, every value alone,
// so that those of the values can be found too. site: the scenario file's tree.
[[nodiscard]] AskedCases cases_of_sets(const YamlNode& site, const std::vector<std::string>& sets);

struct CasesFile {
  std::vector<WhatIfCase> cases;
  std::string name, text;  // for messages
};
// The named cases of a file. Throws ScenarioError with all problems of the file itself; what a
// value does to the site is not looked at here.
[[nodiscard]] CasesFile read_cases_file(const YamlNode& site, const std::filesystem::path& file);
// The same from text; name stands for the file in messages.
[[nodiscard]] CasesFile parse_cases(const YamlNode& site, const std::string& text,
                                    const std::string& name);

}  // namespace restwell
