#include "sim/scenario_yaml.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "sim/diagnostic.hpp"
#include "sim/input_file.hpp"
#include "sim/scenario_tree.hpp"

namespace restwell {
namespace {

bool is_list_of_cases(const YamlNode& root) {
  return root.entries.size() == 1 && root.entries.front().key == "cases";
}

}  // namespace

LoadedScenario load_scenario(const std::filesystem::path& file, std::optional<double> years) {
  return parse_scenario(read_input_file(file), file.string(), years);
}

LoadedScenario parse_scenario(const std::string& given, const std::string& name,
                              std::optional<double> years, const std::vector<PathValue>& set) {
  auto [text, root] = input_tree(given, name);
  if (is_list_of_cases(root))
    throw ScenarioError(name, "",
                        {{0, 0, "", "is a list of cases for a site, not a site",
                          fmt::format("restwell whatif SITE.yaml --cases {}", printable(name))}});
  if (is_percolation_test(root))
    throw ScenarioError(name, "",
                        {{0, 0, "", "is a percolation test, not a site",
                          fmt::format("restwell perc {}", printable(name))}});
  Findings findings;
  LoadedScenario loaded;
  loaded.dropped = set_values(root, set, findings);
  // Values that found no place are told alone: the rest would be judged without them.
  if (!findings.problems.empty()) throw ScenarioError(name, text, std::move(findings.problems));
  loaded.scenario = scenario_of_tree(root, years, findings);
  if (!findings.problems.empty()) throw ScenarioError(name, text, std::move(findings.problems));
  std::ranges::stable_sort(findings.warnings, {}, &Diagnostic::line);
  for (const Diagnostic& w : findings.warnings) loaded.warnings.push_back(headline(name, w));
  loaded.text = text;
  return loaded;
}

}  // namespace restwell
