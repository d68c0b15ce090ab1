// Who lives in the house on a date, and what they are expected to use.
#pragma once

#include "models/household.hpp"
#include "sim/scenario.hpp"

namespace restwell {

// 0 = Monday ... 6 = Sunday.
[[nodiscard]] unsigned weekday_of(Date date);
[[nodiscard]] bool is_weekend(unsigned weekday);

// The change applied to the household, whatever the date.
void apply_change(const HouseholdChange& change, HouseholdConfig& household);
[[nodiscard]] std::vector<HouseholdChange> sorted_by_date(std::vector<HouseholdChange> changes);

// The household with all changes up to and including this date applied.
[[nodiscard]] HouseholdConfig household_on(const HouseholdConfig& household, Date date);

// Whether the date lies in the part of the year in which the house is lived in.
[[nodiscard]] bool in_season(const HouseholdConfig& household, Date date);

// Who is there. `household` as of the date (household_on). Absences and months out of season send
// the residents away; guests come as stated, even to an empty house.
[[nodiscard]] DayPeople people_on(const HouseholdConfig& household, Date date);

// Constant water that does not belong there, of all sources active on the date.
[[nodiscard]] double extra_water_m3_per_day(const HouseholdConfig& household, Date date);

// Expected uses of one fixture on one day of the week (0 = Monday). As mean_events, but laundry
// follows the week's loads and its days.
[[nodiscard]] double expected_events(const HouseholdConfig& household, const HouseholdParameters& p,
                                     Fixture f, const DayPeople& people, unsigned weekday);

// Mean over a week of what the residents send down the fixtures, without leaks, guests or other
// water, as the household is on no particular date.
[[nodiscard]] double mean_use_m3_per_day(const HouseholdConfig& household,
                                         const HouseholdParameters& p);

}  // namespace restwell
