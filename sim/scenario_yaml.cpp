#include "sim/scenario_yaml.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstring>
#include <fstream>
#include <utility>

#include "models/constants.hpp"
#include "sim/assumptions.hpp"
#include "sim/diagnostic.hpp"
#include "sim/record.hpp"
#include "sim/scenario_parts.hpp"
#include "sim/yaml_tree.hpp"

namespace restwell {
namespace {

constexpr std::uintmax_t most_bytes = 1'000'000;

[[noreturn]] void refuse_file(const std::string& name, std::string message, std::string hint = "") {
  throw ScenarioError(name, "", {{0, 0, "", std::move(message), std::move(hint)}});
}

void refuse_size(const std::string& name, std::uintmax_t bytes) {
  if (bytes > most_bytes)
    refuse_file(name,
                fmt::format("is larger than 1 MB, the limit for a scenario ({} bytes)", bytes));
}

std::string read_file(const std::filesystem::path& file) {
  namespace fs = std::filesystem;
  const std::string name = file.string();
  std::error_code error;
  const fs::file_status status = fs::status(file, error);
  if (status.type() == fs::file_type::not_found) refuse_file(name, "there is no such file");
  if (error) refuse_file(name, "cannot be read: " + error.message());
  if (status.type() == fs::file_type::directory) refuse_file(name, "is a directory, not a file");
  if (status.type() != fs::file_type::regular) refuse_file(name, "is not a regular file");
  const std::uintmax_t bytes = fs::file_size(file, error);
  if (error) refuse_file(name, "cannot be read: " + error.message());
  refuse_size(name, bytes);
  errno = 0;
  std::ifstream stream(file, std::ios::binary);
  if (!stream) refuse_file(name, fmt::format("cannot be read: {}", std::strerror(errno)));
  // One byte more than allowed: the file may have grown since.
  std::string text(most_bytes + 1, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (stream.bad()) refuse_file(name, "cannot be read");
  text.resize(static_cast<std::size_t>(stream.gcount()));
  return text;
}

// Without byte-order mark, with \n line ends.
std::string plain_text(std::string_view given) {
  if (given.starts_with("\xef\xbb\xbf")) given.remove_prefix(3);
  std::string text;
  text.reserve(given.size());
  for (std::size_t i = 0; i < given.size(); ++i) {
    if (given[i] != '\r')
      text += given[i];
    else if (i + 1 == given.size() || given[i + 1] != '\n')
      text += '\n';
  }
  return text;
}

void refuse_binary(const std::string& name, const std::string& text) {
  if (const auto bad = first_non_text_byte(text)) {
    const auto line =
        1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(*bad), '\n');
    refuse_file(name,
                fmt::format("is not a text file: byte 0x{:02x} in line {}",
                            static_cast<unsigned char>(text[*bad]), line),
                "a scenario is UTF-8 text in YAML");
  }
}

// Sets each assumption the file gives; returns "assumptions.key = value" as written.
std::vector<std::string> read_assumptions(const Record& top, Scenario& scenario) {
  std::vector<std::string> set;
  const Record* given = find(top, "assumptions");
  if (given == nullptr || !given->sound) return set;
  for (const Assumption& a : assumptions()) {
    const Record* r = find(*given, a.key);
    if (r == nullptr || !r->sound) continue;
    a.parameter(scenario) = std::get<double>(r->data);
    set.push_back(fmt::format("{} = {}", r->path, r->text));
  }
  return set;
}

NumericLimits read_limits(const Record& top) {
  NumericLimits limits;
  const Record* given = find(top, "limits");
  if (given == nullptr || !given->sound) return limits;
  limits.ring_height_m = number_or(*given, "ring_height", limits.ring_height_m);
  limits.pit_step_day = number_or(*given, "pit_step", limits.pit_step_day);
  limits.surge_head_change = number_or(*given, "surge_step", limits.surge_head_change);
  return limits;
}

Scenario read_scenario(const Record& top, std::optional<double> years, Findings& findings) {
  Scenario s;
  s.name = word(top, "name").value_or("");
  s.question = word(top, "question").value_or("");
  s.years = years.value_or(number_or(top, "years", s.years));
  s.units = word(top, "units") == "metric" ? UnitSystem::metric : UnitSystem::us;
  s.mode = word(top, "mode") == "random" ? Mode::random : Mode::steady;
  s.seed = static_cast<unsigned long long>(number_or(top, "seed", 1));
  RunDates run;
  run.start = date(top, "start");
  if (run.start) {
    s.start = *run.start;
    run.end = s.start + std::chrono::days(std::lround(s.years * days_per_year));
  }
  s.assumptions_set = read_assumptions(top, s);
  s.limits = read_limits(top);
  s.household = read_household(top, s.household_parameters, run, findings);
  s.tank = read_tank(top, s.tank, run, findings);
  s.box = read_box(top, s.tank.tank.outlet.discharge_coefficient, findings);
  s.soil = read_soil(top, findings);
  if (const Record* soil = find(top, "soil"); soil != nullptr && soil->sound)
    s.separation_m = number_or(*soil, "separation", s.separation_m);
  s.pits = read_pits(top, findings);
  check_site(top, s, findings);
  if (findings.problems.empty()) s.plan = read_plan(top, s, run, findings);
  return s;
}

}  // namespace

LoadedScenario load_scenario(const std::filesystem::path& file, std::optional<double> years) {
  return parse_scenario(read_file(file), file.string(), years);
}

LoadedScenario parse_scenario(const std::string& given, const std::string& name,
                              std::optional<double> years) {
  refuse_size(name, given.size());
  const std::string text = plain_text(given);
  refuse_binary(name, text);
  const auto tree = read_yaml_tree(text);
  if (const auto* problem = std::get_if<Diagnostic>(&tree))
    throw ScenarioError(name, text, {*problem});
  const YamlNode& root = std::get<YamlNode>(tree);
  if (root.kind == YamlNode::Kind::empty) refuse_file(name, "is empty");
  Findings findings;
  const Record top = read_record(root, scenario_fields(), findings);
  LoadedScenario loaded;
  if (top.sound) loaded.scenario = read_scenario(top, years, findings);
  if (!findings.problems.empty()) throw ScenarioError(name, text, std::move(findings.problems));
  std::ranges::stable_sort(findings.warnings, {}, &Diagnostic::line);
  for (const Diagnostic& w : findings.warnings) loaded.warnings.push_back(headline(name, w));
  return loaded;
}

}  // namespace restwell
