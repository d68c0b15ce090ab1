#include "sim/occupancy.hpp"

#include <algorithm>
#include <array>

namespace restwell {
namespace {

bool within(const Season& season, Date date) {
  const std::chrono::year_month_day ymd{date};
  const auto key = [](unsigned month, unsigned day) { return 100 * month + day; };
  const unsigned today = key(unsigned{ymd.month()}, unsigned{ymd.day()});
  const unsigned from = key(season.from.month, season.from.day);
  const unsigned to = key(season.to.month, season.to.day);
  return from <= to ? from <= today && today <= to : from <= today || today <= to;
}

bool is_active(const ExtraWater& water, Date date) {
  if (!water.dates.empty()) {
    return std::find(water.dates.begin(), water.dates.end(), date) != water.dates.end();
  }
  return (!water.from || *water.from <= date) && (!water.to || date <= *water.to);
}

template <class T>
void replace_if_given(T& value, const std::optional<T>& change) {
  if (change) value = *change;
}

double laundry_loads_per_week(const HouseholdConfig& household, const HouseholdParameters& p,
                              DayPeople people) {
  if (household.laundry.loads_per_week) {
    return people.residents > 0.0 ? *household.laundry.loads_per_week : 0.0;
  }
  people.home_by_day = -1.0;  // a week's laundry is there, whoever stays at home by day
  return 7.0 * mean_events(p, household.fixtures, Fixture::washer, people);
}

double laundry_share(const Laundry& laundry, unsigned weekday) {
  if (laundry.days.empty()) return 1.0 / 7.0;
  std::array<bool, 7> allowed{};
  for (const unsigned day : laundry.days) allowed.at(day) = true;
  if (!allowed.at(weekday)) return 0.0;
  return 1.0 / static_cast<double>(std::count(allowed.begin(), allowed.end(), true));
}

}  // namespace

unsigned weekday_of(Date date) { return std::chrono::weekday{date}.iso_encoding() - 1; }

bool is_weekend(unsigned weekday) { return weekday >= 5; }

void apply_change(const HouseholdChange& change, HouseholdConfig& household) {
  replace_if_given(household.occupants, change.occupants);
  if (change.home_by_day) household.home_by_day = change.home_by_day;
  replace_if_given(household.leak_m3_per_day, change.leak_m3_per_day);
  if (change.laundry_loads_per_week) {
    household.laundry.loads_per_week = change.laundry_loads_per_week;
  }
  replace_if_given(household.laundry.days, change.laundry_days);
  replace_if_given(household.disposer, change.disposer);
  replace_if_given(household.fixtures, change.fixtures);
}

std::vector<HouseholdChange> sorted_by_date(std::vector<HouseholdChange> changes) {
  std::stable_sort(changes.begin(), changes.end(),
                   [](const auto& a, const auto& b) { return a.from < b.from; });
  return changes;
}

HouseholdConfig household_on(const HouseholdConfig& household, Date date) {
  HouseholdConfig then = household;
  for (const HouseholdChange& change : sorted_by_date(household.changes)) {
    if (change.from <= date) apply_change(change, then);
  }
  return then;
}

bool in_season(const HouseholdConfig& household, Date date) {
  return !household.season || within(*household.season, date);
}

DayPeople people_on(const HouseholdConfig& household, Date date) {
  const auto covers = [date](const auto& stay) { return stay.from <= date && date <= stay.to; };
  const bool away = std::any_of(household.away.begin(), household.away.end(), covers) ||
                    !in_season(household, date);
  DayPeople people;
  people.weekend = is_weekend(weekday_of(date));
  if (!away && household.occupants > 0.0) {
    people.residents = household.occupants;
    people.home_by_day = household.home_by_day.value_or(-1.0);
  }
  for (const Stay& stay : household.guests) {
    if (!covers(stay)) continue;
    people.overnight_guests += stay.overnight;
    people.day_visitors += stay.day_visitors;
  }
  return people;
}

double extra_water_m3_per_day(const HouseholdConfig& household, Date date) {
  double sum = 0.0;
  for (const ExtraWater& water : household.other_water) {
    if (is_active(water, date)) sum += water.flow_m3_per_day;
  }
  return sum;
}

double expected_events(const HouseholdConfig& household, const HouseholdParameters& p, Fixture f,
                       const DayPeople& people, unsigned weekday) {
  if (f != Fixture::washer) return mean_events(p, household.fixtures, f, people);
  return laundry_loads_per_week(household, p, people) * laundry_share(household.laundry, weekday);
}

double mean_use_m3_per_day(const HouseholdConfig& household, const HouseholdParameters& p) {
  double week = 0.0;
  for (unsigned weekday = 0; weekday < 7; ++weekday) {
    DayPeople people;
    people.weekend = is_weekend(weekday);
    people.residents = household.occupants;
    people.home_by_day = household.home_by_day.value_or(-1.0);
    for (int i = 0; i < fixture_count; ++i) {
      const auto f = static_cast<Fixture>(i);
      week += expected_events(household, p, f, people, weekday) *
              household.fixtures[static_cast<std::size_t>(i)].volume_m3;
    }
  }
  return week / 7.0;
}

}  // namespace restwell
