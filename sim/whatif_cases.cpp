#include "sim/whatif_cases.hpp"

#include <fmt/format.h>

#include <optional>
#include <set>
#include <string_view>
#include <utility>

#include "sim/diagnostic.hpp"
#include "sim/text_parts.hpp"
#include "sim/value_list.hpp"

namespace restwell {
namespace {

using Values = std::vector<std::string>;

// ---- names ----------------------------------------------------------------------------------
// "household.laundry.days" -> "laundry days", "pits[east].depth" -> "pit east depth".
std::string path_words(std::string path) {
  for (const auto& [section, word] : {std::pair{"household.", ""}, std::pair{"assumptions.", ""},
                                      std::pair{"box.outlets", "outlet"}, std::pair{"box.", ""},
                                      std::pair{"pits", "pit"}, std::pair{"trenches", "trench"}}) {
    if (!path.starts_with(section)) continue;
    path.replace(0, std::string_view(section).size(), word);
    break;
  }
  std::string words;
  for (const char c : path) {
    if (c == ']') continue;
    if (c == '*')
      words += "all";
    else
      words += c == '.' || c == '_' || c == '[' ? ' ' : c;
  }
  return trimmed(words);
}

std::string case_name(const std::vector<PathValue>& set) {
  std::string name;
  for (const PathValue& v : set)
    name += (name.empty() ? "" : ", ") + path_words(v.path) + " " + v.text;
  return printable(name, 60);
}

// Same for all cases, or of no use in a comparison.
std::optional<Diagnostic> fixed_path(const std::string& path) {
  for (const char* key : {"years", "units"}) {
    if (path == key)
      return unplaced(fmt::format("{} is the same for all cases", key),
                      fmt::format("--{} sets it for all", key));
  }
  for (const char* key : {"name", "question", "start"}) {
    if (path == key)
      return unplaced(fmt::format("{} is the same for all cases and is taken from the file", key));
  }
  return std::nullopt;
}

std::vector<NumberAxis> number_axis(const YamlNode& site, const Setting& setting) {
  constexpr std::size_t worth_a_line = 3;
  if (setting.values.size() < worth_a_line) return {};
  const auto target = find_path(site, setting.path);
  const Field& field = *std::get<PathTarget>(target).field;
  NumberAxis axis{setting.path, path_words(setting.path), "", {}};
  for (const std::string& text : setting.values) {
    const auto value = number_text(field, text);
    if (!value) return {};
    if (axis.values.empty()) axis.unit = value->unit;
    if (value->unit != axis.unit) return {};
    if (!axis.values.empty() && value->number <= axis.values.back()) return {};
    axis.values.push_back(value->number);
  }
  return {axis};
}

std::string as_line(const std::string& source, const Diagnostic& d) {
  std::string line = source + ": " + d.message;
  if (!d.hint.empty()) line += "\n  hint: " + d.hint;
  return line;
}

}  // namespace

std::vector<WhatIfCase> combinations(const std::string& name,
                                     const std::vector<Setting>& settings) {
  std::vector<WhatIfCase> cases{{}};
  bool several = false;
  for (const Setting& s : settings) {
    std::vector<WhatIfCase> more;
    several = several || s.values.size() > 1;
    for (const WhatIfCase& before : cases) {
      for (const std::string& value : s.values) {
        WhatIfCase next = before;
        next.set.push_back({s.path, value});
        next.places.push_back(s.place);
        more.push_back(std::move(next));
      }
    }
    cases = std::move(more);
  }
  for (WhatIfCase& c : cases) {
    c.name = name.empty() ? case_name(c.set) : name;
    if (!name.empty() && several) c.name = printable(name + ": " + case_name(c.set), 60);
  }
  return cases;
}

double number_of_combinations(const std::vector<Setting>& settings) {
  double product = 1.0;
  for (const Setting& s : settings) product *= static_cast<double>(s.values.size());
  return product;
}

std::variant<Setting, Diagnostic> setting_of(const YamlNode& site, const std::string& path,
                                             const std::string& text, Place place) {
  if (const auto fixed = fixed_path(path)) return *fixed;
  const auto target = find_path(site, path);
  if (const auto* d = std::get_if<Diagnostic>(&target)) return *d;
  auto values = values_of(*std::get<PathTarget>(target).field, text);
  if (const auto* d = std::get_if<Diagnostic>(&values)) return *d;
  return Setting{path, std::get<Values>(std::move(values)), place};
}

AskedCases cases_of_sets(const YamlNode& site, const std::vector<std::string>& sets) {
  AskedCases asked;
  std::vector<Setting> settings;
  std::set<std::string> seen;
  for (const std::string& argument : sets) {
    const std::string source = "--set " + printable(argument, 100);
    const std::size_t equals = argument.find('=');
    if (equals == std::string::npos || equals == 0) {
      asked.problems.push_back(
          as_line(source, unplaced("must be PATH=VALUE", "household.occupants=6")));
      continue;
    }
    const std::string path = trimmed(argument.substr(0, equals));
    if (!seen.insert(path).second) {
      asked.problems.push_back(
          as_line(source, unplaced(printable(path, 80) + " is set twice",
                                   "give all its values in one --set, with commas between")));
      continue;
    }
    auto setting = setting_of(site, path, argument.substr(equals + 1), {});
    if (const auto* d = std::get_if<Diagnostic>(&setting))
      asked.problems.push_back(as_line(source, *d));
    else
      settings.push_back(std::get<Setting>(std::move(setting)));
  }
  if (!asked.problems.empty()) {
    for (const Setting& s : settings)
      for (WhatIfCase& c : combinations("", {s})) asked.cases.push_back(std::move(c));
    return asked;
  }
  if (settings.empty()) return asked;
  const double count = number_of_combinations(settings);
  if (count > static_cast<double>(most_cases)) {
    asked.problems.push_back(as_line(
        "--set", unplaced(fmt::format("the values combine to {:.0f} cases, at most {} are run",
                                      count, most_cases),
                          "take fewer values, or ask in several runs")));
    return asked;
  }
  asked.cases = combinations("", settings);
  if (settings.size() == 1) asked.axis = number_axis(site, settings.front());
  return asked;
}

}  // namespace restwell
