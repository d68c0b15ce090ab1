#include "sim/scenario_tree.hpp"

#include <fmt/format.h>

#include "sim/assumptions.hpp"
#include "sim/scenario_parts.hpp"

namespace restwell {
namespace {

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
  limits.intake_step_day = number_or(*given, "intake_step", limits.intake_step_day);
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
    run.end = date_of(s.start, days_of_years(s.years));
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

Scenario scenario_of_tree(const YamlNode& root, std::optional<double> years, Findings& findings) {
  const Record top = read_record(root, scenario_fields(), findings);
  return top.sound ? read_scenario(top, years, findings) : Scenario{};
}

}  // namespace restwell
