// How long must a pit rest, how long does that rest last, what does it cost the others; and two
// pits taking turns.
//
// The tank is run once. Under each set of clogging parameters box and pits are run through the
// rest, copied at every length asked for, and each copy goes on in service until the pit is full
// again: the household's real flow, shared by the box as it stands then.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/pits_run.hpp"
#include "sim/rest_works.hpp"
#include "sim/run.hpp"

namespace restwell {

inline constexpr int rest_precision_day = 3;   // of the shortest rest
inline constexpr int one_year_rest_day = 365;  // in the table of what each unknown does

struct RestQuestion {
  std::size_t pit = 0;
  Date from{};  // first day out of service; not before the start
  WhileResting flow_to;
  double service_day = 3.0 * 365.25;  // what the rest is to buy
  int longest_rest_day = 730;
  int look_ahead_day = 3652;  // how long a pit back in service is followed at most
};

// One length of rest.
struct RestPoint {
  int rest_day = 0;
  double level_m = 0.0;           // over the bottom, when the rest ends
  double takes_m3_per_day = 0.0;  // into the soil with water at the inlet, then
  double residual_share = 0.0;    // of the wall's mean resistance: what no rest takes away
  int lasts_day = never;          // back in service until full; never: longer than looked at
};

// What happens to the others while it rests; days count from the first day of rest.
struct Meanwhile {
  std::vector<int> first_full;                 // by pit
  std::vector<std::vector<double>> highest_m;  // by pit, by day: highest so far
  int first_leaves = never;
  std::string leaves_at;
  std::vector<double> outflow_m3;  // of the tank, by day: so far
};

struct RestCurve {
  ClogCase clog_case;
  std::vector<RestPoint> points;  // by length of rest, 0 first
  // A clean, empty pit put in service after the longest rest; of fine curves only.
  RestPoint never_clogged;
  std::optional<RestPoint> shortest;  // the shortest rest that buys the service
  Meanwhile meanwhile;
  std::vector<double> level_m, takes_m3_per_day;  // of the resting pit, by day of rest
};

// Two pits taking turns: one in service, one resting.
struct Turns {
  double months = 0.0;  // 0: no turns, both in service if each has an outlet of its own
  // By case (expected, early, late): first day, from the first turn on, on which a pit is full in
  // its turn, and on which water leaves other than into the soil.
  std::vector<int> first_full, first_leaves;
  double highest_share = 0.0;  // expected case: highest water of the last two years over its depth
};

struct RestResult {
  Scenario scenario;
  RestQuestion question;
  TypicalWeek week;
  std::vector<RestCurve> curves;       // expected, early, late
  std::vector<RestCurve> unknowns;     // one unknown moved alone, in pairs: slower, faster recovery
  std::optional<std::size_t> partner;  // pit it takes turns with
  bool both_without_turns = false;     // each of the two has an outlet of its own
  std::vector<Turns> turns;
  std::vector<int> as_it_is;  // by case: first day from `from` on which water leaves other than
                              // into the soil if nothing is done
  int days = 0;               // of the tank's run
};

// Throws std::runtime_error if an integration fails.
[[nodiscard]] RestResult rest(const Scenario& scenario, const RestQuestion& question,
                              const Progress& progress = {});

// One curve on a tank that has been run: long enough for from + longest rest + look-ahead, or what
// lies beyond is not seen. fine: all lengths of the table, else a few: up to the first that buys
// the service, and a year.
[[nodiscard]] RestCurve rest_curve(const Scenario& scenario, const TankHistory& history,
                                   const RestQuestion& question, const ClogCase& clog_case,
                                   bool fine);

}  // namespace restwell
