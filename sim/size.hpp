// Replacement pits: which of the allowed sizes last long enough, what each costs, and what the
// codes would ask for.
//
// Of every diameter and number of pits the depths are tried from the shallowest down, until one
// lasts: deeper ones cost more. A life ends on the first day on which every new pit stands full to
// its inlet: no reserve is left, though it may be years before water comes up anywhere.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "sim/cases.hpp"
#include "sim/code_check.hpp"
#include "sim/old_pits_plan.hpp"
#include "sim/run.hpp"
#include "sim/size_options.hpp"

namespace restwell {

// Years looked at beyond the life asked for (assumed): a life is told as "more than" that.
inline constexpr double look_beyond_years = 5.0;
// A planned pump-out so long after the solids mark is called too late (assumed).
inline constexpr int pump_out_late_day = 182;
inline constexpr std::size_t most_choices_listed = 12, most_table_choices = 3,
                             most_nearest_listed = 5;

// Day of the end of a life by case, in the order of Cases; nothing: longer than was looked at.
using Lives = std::array<std::optional<int>, Cases::first_partial>;

struct Choice {
  PitSize size;
  double dug_m3 = 0.0;
  double cost = 0.0;          // in money if unit costs are given, else dug_m3
  Lives household;            // life on the household's flow
  std::optional<Lives> code;  // and on the codes' design flow
  CodeAsk asks;
};

// A life found on the way, by the flow and case the list goes by.
struct TriedSize {
  PitSize size;
  std::optional<int> life_day;
};

// What a life is judged by.
struct FlowBasis {
  double people = 0.0;
  double flow_m3_per_day = 0.0;       // of a typical week
  double mean_flow_m3_per_day = 0.0;  // over the life asked for
};

struct SoilTrial {
  double factor = 1.0;  // on the conductivity of every layer
  Lives life;
};

// The picked choice as a scenario of its own, run through.
struct BestChoice {
  BuiltChoice built;
  std::optional<LevelerSetting> leveler;  // old pits kept
  std::vector<OldPitBack> old_pits;
  std::vector<PlannedWork> work;
  RunResult run;  // expected, early, late
};

struct SizeResult {
  Scenario site;
  SizeQuestion question;
  PitPattern pattern;
  int life_day = 0, look_day = 0;
  CodeBasis code_basis;
  FlowBasis household, code;          // code: if asked for
  std::vector<Choice> choices;        // that last, cheapest first
  std::vector<Choice> table_choices;  // that last and meet the PHS table too; if the first of
                                      // choices does not
  std::vector<Choice> nearest;        // none lasts: longest life first
  std::size_t lasting = 0;            // diameters and numbers that have a depth that lasts
  std::vector<TriedSize> tried;
  std::vector<double> depths_m;  // that keep clear of the water table
  std::vector<double> depths_too_deep_m;
  std::vector<SoilTrial> soil;  // of the picked choice
  std::optional<BestChoice> best;
  std::optional<int> next_pump_out;  // day
  std::vector<int> as_it_is;         // by case: first overflow if nothing is built
  bool plan_left_out = false;        // the file's own works
  bool pump_out_planned = false;     // by the file; else the day its solids mark is met
  std::optional<int> pump_out_due;   // the day of the solids mark, if the plan comes later
};

// The choice to build: if both flows count, the cheapest that lasts and meets the PHS table too, if
// there is one; else the cheapest that lasts. Precondition: there are choices.
[[nodiscard]] const Choice& picked(const SizeResult& r);

[[nodiscard]] SizeResult size_pits(const LoadedScenario& site, const SizeQuestion& question,
                                   const Progress& progress = {});

}  // namespace restwell
