#include "models/household.hpp"

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"

namespace restwell {
namespace {

constexpr double m3_per_gallon = 3.785412e-3;
constexpr double minutes_per_day = 1440.0;
constexpr double day_visitor_as_person = 0.25;  // solids; assumed

constexpr double m3_per_day_from_litres_per_second(double litres_per_second) {
  return litres_per_second * 1e-3 * seconds_per_day;
}

struct Use {
  double events_per_person_day;
  double gallons;
};

// How a fixture discharges is a matter of its build, not of the household: the same in every set.
// Rates, drains and gaps: common practice, no published source. Coefficients of variation: assumed.
struct Build {
  double volume_cv, litres_per_second;
  int drains = 1;
  double gap_minutes = 0.0;
};
FixtureUse fixture(Use u, const Build& b) {
  return {.events_per_person_day = u.events_per_person_day,
          .volume_m3 = u.gallons * m3_per_gallon,
          .volume_cv = b.volume_cv,
          .flow_m3_per_day = m3_per_day_from_litres_per_second(b.litres_per_second),
          .drains = b.drains,
          .drain_gap_day = b.gap_minutes / minutes_per_day};
}
FixtureUse toilet(Use u) { return fixture(u, {0.25, 1.2}); }
FixtureUse shower(Use u) { return fixture(u, {0.5, 0.132}); }
FixtureUse bath(Use u) { return fixture(u, {0.25, 0.6}); }
FixtureUse faucet(Use u) { return fixture(u, {1.0, 0.08}); }  // a lavatory's rate: most are there
FixtureUse washer(Use u) { return fixture(u, {0.25, 0.4, 2, 20.0}); }  // wash and rinse
FixtureUse dishwasher(Use u) { return fixture(u, {0.1, 0.2, 3, 20.0}); }

// DeOreo et al. 2016, Residential End Uses of Water, version 2. Their "other" (2 gal per person) is
// taken as two uses of a gallon.
FixtureSet typical_set() {
  return {toilet({5.0, 2.6}),   shower({0.68, 15.8}),    bath({0.06, 22.0}), faucet({20.0, 0.5}),
          washer({0.30, 31.0}), dishwasher({0.10, 6.1}), faucet({2.0, 1.0})};
}

// The typical habits with fixtures of the present plumbing codes.
FixtureSet efficient_set() {
  return {toilet({5.0, 1.6}),   shower({0.68, 15.0}),    bath({0.06, 22.0}), faucet({20.0, 0.5}),
          washer({0.30, 18.0}), dishwasher({0.10, 4.0}), faucet({2.0, 1.0})};
}

// Mayer & DeOreo et al. 1999, Residential End Uses of Water. Toilet, faucet and bath counts are
// fitted to the study's volume per person (18.5, 10.9 and 1.2 gal/day) at its volume per use.
FixtureSet old_set() {
  return {toilet({18.5 / 3.5, 3.5}), shower({0.675, 17.2}), bath({0.06, 20.0}),
          faucet({21.8, 0.5}),       washer({0.37, 40.5}),  dishwasher({0.10, 10.0}),
          faucet({2.0, 0.8})};
}

double volume_per_person_m3_per_day(const FixtureSet& set) {
  double sum = 0.0;
  for (const FixtureUse& use : set) sum += use.events_per_person_day * use.volume_m3;
  return sum;
}

double share_at_home(const DayPeople& people) {
  return people.residents > 0.0 ? std::clamp(people.home_by_day / people.residents, 0.0, 1.0) : 0.0;
}

bool presence_stated(const DayPeople& people) {
  return !people.weekend && people.home_by_day >= 0.0;
}

double presence_factor(const HouseholdParameters& p, const DayPeople& people) {
  if (!presence_stated(people)) return 1.0;
  const double home = share_at_home(people);
  return home * p.home_by_day_factor + (1.0 - home) * p.away_by_day_factor;
}

// Percent of the day's volume in the hours 0..23: assumed, shape from published descriptions.
using Pattern = std::array<double, 24>;
constexpr Pattern weekday_percent = {1.2, 0.8, 0.6, 0.6, 1.0, 2.6, 6.2, 8.4, 7.6, 6.0, 5.2, 4.7,
                                     4.4, 3.9, 3.7, 4.0, 4.7, 5.7, 6.4, 6.3, 5.6, 4.8, 3.5, 2.1};
constexpr Pattern weekend_percent = {1.5, 1.0, 0.7, 0.6, 0.7, 1.2, 2.6, 5.0, 7.2, 8.0, 7.6, 6.8,
                                     5.9, 5.2, 4.7, 4.5, 4.7, 5.3, 5.7, 5.7, 5.2, 4.5, 3.5, 2.2};
constexpr Pattern at_home_percent = {1.2, 0.8, 0.6, 0.6, 0.9, 1.8, 4.0, 6.5, 7.6, 7.0, 6.1, 5.5,
                                     5.4, 4.8, 4.4, 4.5, 4.8, 5.5, 6.0, 5.9, 5.3, 4.6, 3.7, 2.5};

constexpr Pattern normalised(Pattern pattern) {
  double sum = 0.0;
  for (const double hour : pattern) sum += hour;
  for (double& hour : pattern) hour /= sum;
  return pattern;
}
constexpr Pattern weekday_pattern = normalised(weekday_percent);
constexpr Pattern weekend_pattern = normalised(weekend_percent);
constexpr Pattern at_home_pattern = normalised(at_home_percent);

}  // namespace

std::string_view fixture_name(Fixture f) {
  switch (f) {
    case Fixture::toilet:
      return "toilet";
    case Fixture::shower:
      return "shower";
    case Fixture::bath:
      return "bath";
    case Fixture::faucet:
      return "faucet";
    case Fixture::washer:
      return "washer";
    case Fixture::dishwasher:
      return "dishwasher";
    case Fixture::other:
      return "other";
  }
  return "";
}

FixtureSet fixture_set(FixtureSetName name) {
  switch (name) {
    case FixtureSetName::efficient:
      return efficient_set();
    case FixtureSetName::typical:
      return typical_set();
    case FixtureSetName::old:
      return old_set();
  }
  return typical_set();
}

double size_factor(const HouseholdParameters& p, double residents) {
  if (residents <= 0.0) return 0.0;
  return std::pow(residents / p.reference_people, p.size_exponent - 1.0);
}

double mean_events(const HouseholdParameters& p, const FixtureSet& set, Fixture f,
                   const DayPeople& people) {
  const double per_person_m3_per_day = volume_per_person_m3_per_day(set);
  if (per_person_m3_per_day <= 0.0) return 0.0;
  const double residents =
      people.residents * size_factor(p, people.residents) * presence_factor(p, people);
  const double extra_persons =
      (people.overnight_guests * p.guest_m3_per_day + people.day_visitors * p.visitor_m3_per_day) /
      per_person_m3_per_day;
  const FixtureUse& use = set[static_cast<std::size_t>(f)];
  return (residents + extra_persons) * use.events_per_person_day;
}

std::array<double, 24> hourly_pattern(const DayPeople& people) {
  if (people.weekend) return weekend_pattern;
  if (!presence_stated(people)) return weekday_pattern;
  const double home = share_at_home(people);
  Pattern mixed{};
  for (std::size_t hour = 0; hour < mixed.size(); ++hour) {
    mixed[hour] = home * at_home_pattern[hour] + (1.0 - home) * weekday_pattern[hour];
  }
  return mixed;
}

SolidsLoad solids_load(const HouseholdParameters& p, const DayPeople& people, bool disposer) {
  const double persons =
      people.residents + people.overnight_guests + day_visitor_as_person * people.day_visitors;
  const double tss = p.tss_kg_per_person_day + (disposer ? p.disposer_tss_kg_per_person_day : 0.0);
  const double bod = p.bod_kg_per_person_day + (disposer ? p.disposer_bod_kg_per_person_day : 0.0);
  return {.tss_kg_per_day = persons * tss, .bod_kg_per_day = persons * bod};
}

}  // namespace restwell
