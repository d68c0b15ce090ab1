// The main job: one scenario run through the years, under several clogging cases.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/cases.hpp"
#include "sim/downstream.hpp"
#include "sim/flow_histogram.hpp"
#include "sim/progress.hpp"
#include "sim/scenario.hpp"
#include "sim/start_state.hpp"
#include "sim/upstream.hpp"

namespace restwell {

constexpr int never = -1;  // a day index: not within the run

// The earlier of two, never being later than all days.
[[nodiscard]] constexpr int earlier_day(int a, int b) {
  if (a == never || b == never) return a == never ? b : a;
  return a < b ? a : b;
}

// A day index, or never, under the three clogging cases.
struct DaySpread {
  int early = never, expected = never, late = never;
  [[nodiscard]] bool operator==(const DaySpread&) const = default;
};

// A tank day without its hydrograph.
struct TankRecord {
  double inflow_m3, outflow_m3, foreign_m3, peak_outflow_m3_per_day;
  double tss_in_kg, tss_out_kg, bod_out_kg, carried_over_kg, residents;
  Layers layers;
  PumpOutReadings readings;
  bool pumped, refilling;
};

struct CriterionDates {
  Criterion criterion;
  std::vector<int> met;  // day indices, the first after the start and after every pump-out
};

struct PitMilestones {
  int first_full = never, first_reaches_box = never, first_overflow = never;
};

// Rings' resistances on one day, from the bottom up, bottom last.
struct ClogProfile {
  int day_index;
  std::vector<std::vector<double>> resistance_day;  // by pit
};

struct CaseRun {
  ClogCase clog_case;                                  // days may end early, see Follow
  std::vector<std::vector<PitDay>> days;               // by pit, by day
  std::vector<std::vector<double>> outlet_m3_by_year;  // by outlet of the scenario
  std::vector<double> over_lid_m3;                     // by day
  std::vector<double> start_level_m;                   // by pit, over the bottom
  std::vector<double> capacity_m3_per_day;  // by pit: intake when full, at the end of the run
  std::vector<PitMilestones> pits;
  int first_no_reserve = never;       // first day on which every pit is full
  int first_leaves = never;           // first day water leaves other than into the soil
  std::string leaves_at;              // "the box lid", "the cover of the east pit"
  std::vector<ClogProfile> profiles;  // start and every year
  DownstreamLedger ledger;
  double water_held_end_m3 = 0.0;
  std::vector<std::string> notes;
};

// Day on which the first of the pits is full.
[[nodiscard]] int first_pit_full(const CaseRun& c);

// House and tank; nothing below acts back on them.
struct TankRun {
  TypicalWeek week;
  std::vector<TankRecord> tank;  // by day
  TankState tank_start;
  std::vector<CriterionDates> criteria;
  std::vector<int> pumped;        // day indices
  int pump_interval_day = never;  // from a pump-out to the solids mark at today's use
  FlowHistogram effluent;
  TankLedger tank_ledger;
  double tank_water_end_m3 = 0.0, tank_solids_end_kg = 0.0;
  [[nodiscard]] int days() const { return static_cast<int>(tank.size()); }
};

struct RunResult : TankRun {
  Scenario scenario;
  SiteLayout site;                 // as found
  std::vector<Phase> phases;       // as planned
  std::vector<double> free_share;  // as found, of the typical week, by open outlet
  std::vector<CaseRun> cases;      // expected first
};

struct RunOptions {
  unsigned threads = 0;  // 0: all cores
  // Whose household lived here until the start, with the same tank, box and pits; null: the
  // scenario's own.
  const Scenario* past = nullptr;
  std::optional<TankState> tank_start;  // overrules what the file says was found in the tank
};

// Runs the scenario under the given cases (the first is the expected one). Throws
// std::runtime_error with the day and what failed if the integration fails.
[[nodiscard]] RunResult run(const Scenario& scenario, const std::vector<ClogCase>& cases,
                            const Progress& progress = {}, const RunOptions& options = {});

// One of several sites under one household and tank.
struct SiteToRun {
  const Scenario* scenario;
  const Scenario* past;  // as in RunOptions
  std::vector<ClogCase> cases;
  std::string name;  // put before what failed, if not empty
};

// `run` of each site, to the same numbers, with house and tank run once for all. Precondition:
// house and tank are alike (packed_house_and_tank) in all scenarios, and in all pasts. The options'
// own past is not looked at.
[[nodiscard]] std::vector<RunResult> run_on_one_tank(const std::vector<SiteToRun>& sites,
                                                     const Progress& progress = {},
                                                     const RunOptions& options = {});

// Greatest relative misfit of the water balances of tank and pits and of the tank's solids balance.
[[nodiscard]] double worst_balance_error(const RunResult& result);

}  // namespace restwell
