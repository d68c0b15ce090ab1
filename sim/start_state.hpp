// The state of tank and pits on the start date, from what the file says was found.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/downstream.hpp"
#include "sim/layout.hpp"
#include "sim/upstream.hpp"

namespace restwell {

// Tank: brand-new; or run through the time since its last pump-out with today's household (season
// included, dated things left out); a reading overrules the amounts, not the composition. Pumped on
// the start date, and if nothing is given, it is empty and has to refill.
[[nodiscard]] TankState tank_at_start(const Scenario& scenario);

// The scenario with the household as it is on the start date, without what is tied to dates (but
// for the season).
[[nodiscard]] Scenario as_today(const Scenario& scenario);

// Days from a pump-out to the solids mark with today's household; nullopt if it takes longer than
// is looked at.
inline constexpr int longest_pump_interval_year = 15;
[[nodiscard]] std::optional<int> pump_interval(const Scenario& scenario);

// A week of the household as it is on the start date, without guests, absences and dated water,
// through a tank without deposits: what the pits have been living with.
struct TypicalWeek {
  std::vector<TankDay> days;                 // Monday to Sunday
  std::vector<std::vector<Segment>> inflow;  // of the same days
  double mean_flow_m3_per_day = 0.0;
  double empty_house_m3_per_day = 0.0;  // leak and lasting foreign water: out of season
};
[[nodiscard]] TypicalWeek typical_week(const Scenario& scenario);

// Mean share of every open outlet of the site over the week under free fall; sums to 1.
[[nodiscard]] std::vector<double> free_shares(const TypicalWeek& week, const SiteLayout& site);

struct PitsAtStart {
  std::vector<PitState> pits;
  std::vector<std::string> notes;  // where reading and soil do not agree
};

// Pits "in service for N years" are run for those years with the typical week, every pit joining
// when it was built. Pits with a reading take the one resistance that explains it; their history,
// if others have one, is taken to be as long as the longest.
[[nodiscard]] PitsAtStart pits_at_start(const Scenario& scenario, const BiomatParameters& biomat,
                                        const TypicalWeek& week);

}  // namespace restwell
