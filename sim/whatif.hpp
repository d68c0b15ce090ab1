// What-ifs: the same site under other values, each case run and boiled down to what is compared.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "sim/run.hpp"

namespace restwell {

using Weekdays = std::array<double, 7>;  // Monday first

struct PitOutcome {
  std::string name;
  std::optional<double> share;    // of a typical week's water; none if no outlet leads to it
  double clean_m3_per_day = 0.0;  // what it takes with water at its inlet, clean
  double now_m3_per_day = 0.0;    // and as clogged at the start (expected)
  double depth_m = 0.0;
  Weekdays
      highest_m{};  // highest level of the day over the bottom, mean of the first year (expected)
  DaySpread full;
};

struct CaseOutcome {
  Scenario scenario;
  double flow_m3_per_day = 0.0;      // into the tank, mean of the first year
  double solids_kg_per_day = 0.0;    // suspended solids into the tank, mean of the first year
  Weekdays week_m3{};                // into the tank, typical week
  double outflow_m3_per_day = 0.0;   // out of the tank, as the water meets it: mean by volume
  double bod_kg_per_day = 0.0;       // sent to the pits, mean of the run
  double bod_kg_per_m3 = 0.0;        // strength of what is sent, mean of the run
  int pump_interval_day = never;     // from a pump-out to the solids mark at today's use
  int pump_due_day = never;          // first day on which a criterion asks for it
  double tank_m3 = 0.0;              // liquid volume
  std::vector<double> lip_m;         // of the open outlets, over the lowest one
  std::vector<std::size_t> lip_pit;  // where they lead
  // What all pits take with water at their inlets, at the start and after every year (expected).
  struct Takes {
    int day;
    double m3_per_day;
  };
  std::vector<Takes> takes;
  DaySpread first_full;   // of any pit
  DaySpread overflow;     // water leaves other than into the soil
  std::string leaves_at;  // in the first of expected, early, late that overflows
  std::vector<PitOutcome> pits;
  std::vector<std::string> notes;                 // of the start state
  [[nodiscard]] double clean_m3_per_day() const;  // all pits
  [[nodiscard]] double now_m3_per_day() const;
};

[[nodiscard]] CaseOutcome outcome_of(const RunResult& result);

struct CaseToRun {
  std::string name;  // for messages
  Scenario scenario;
  bool keeps_past = false;     // tank and pits start as the first case's household left them
  bool same_as_first = false;  // not run again
};

// Runs every case under the expected, early and late clogging, on all cores; the outcomes do not
// depend on how many there are. Throws std::runtime_error that names the case.
[[nodiscard]] std::vector<CaseOutcome> run_cases(const std::vector<CaseToRun>& cases,
                                                 const Progress& progress = {},
                                                 unsigned threads = 0);

}  // namespace restwell
