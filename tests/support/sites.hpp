// Invented sites for tests, as scenario text with the parts that matter left open.
#pragma once

#include <fmt/core.h>

#include <string>
#include <vector>

#include "sim/cases.hpp"
#include "sim/run.hpp"
#include "sim/scenario_yaml.hpp"

namespace restwell::test {

struct SiteText {
  std::string household = "occupants: 4";
  std::string tank =
      "{volume: 1000 gal, liquid_depth: 48 in, pumped: 2026-05-01, pump_out: {when: solids}}";
  std::string east_invert = "0 in", west_invert = "0 in";
  std::string depth = "8 ft", diameter = "6 ft";
  std::string start = "in_service: 5 years";
  std::string soil = "{perc: 15 min/inch}";
  std::string extra = "";  // whole lines at the top level
  double years = 3;
};

// Two pits on a box.
inline std::string two_pits(const SiteText& s) {
  return fmt::format(R"(name: Test site (invented)
start: 2026-05-01
years: {}
household: {{{}}}
tank: {}
box:
  lid: 8 in
  outlets:
    - {{name: A, to: east, invert: {}}}
    - {{name: B, to: west, invert: {}}}
pits:
  - {{name: east, diameter: {}, depth: {}, {}}}
  - {{name: west, diameter: {}, depth: {}, {}}}
soil: {}
{})",
                     s.years, s.household, s.tank, s.east_invert, s.west_invert, s.diameter,
                     s.depth, s.start, s.diameter, s.depth, s.start, s.soil, s.extra);
}

// One pit, no box, that overflows to the surface.
inline std::string one_pit(const SiteText& s) {
  return fmt::format(R"(name: Test site (invented)
start: 2026-05-01
years: {}
household: {{{}}}
tank: {}
single_outlet: {{to: east}}
pits:
  - {{name: east, diameter: {}, depth: {}, when_full: surface, {}}}
soil: {}
{})",
                     s.years, s.household, s.tank, s.diameter, s.depth, s.start, s.soil, s.extra);
}

inline Scenario scenario_of(const std::string& text) {
  return parse_scenario(text, "test.yaml").scenario;
}

// Under the expected clogging only.
inline RunResult run_expected(const Scenario& scenario) {
  std::vector<ClogCase> cases = clogging_cases(scenario.biomat);
  cases.resize(1);
  return run(scenario, cases);
}

// Day of a milestone, or far beyond the run.
inline int day_or_beyond(int day) { return day == never ? 1000000 : day; }

}  // namespace restwell::test
