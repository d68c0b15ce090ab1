// Household: what people send to the drain. Flow and solids are kept apart: flow goes as N^0.63
// (DeOreo et al. 2016), solids as N.
//
// Event rates per person are multiplied by size_factor = (N/N_ref)^(e - 1), so that with the leak
// of a median home the typical set follows Q = 66.3 N^0.63 gal/day.
#pragma once

#include <array>
#include <string_view>

namespace restwell {

enum class Fixture { toilet, shower, bath, faucet, washer, dishwasher, other };
inline constexpr int fixture_count = 7;
[[nodiscard]] std::string_view fixture_name(Fixture f);

struct FixtureUse {
  double events_per_person_day;  // a washer or dishwasher event is one load
  double volume_m3;              // per event
  double volume_cv;              // coefficient of variation of the volume (random mode)
  double flow_m3_per_day;        // discharge rate to the drain
  int drains;                    // pulses per event, equal parts
  double drain_gap_day;          // from the start of one pulse to the next
};
using FixtureSet = std::array<FixtureUse, fixture_count>;

enum class FixtureSetName { efficient, typical, old };
[[nodiscard]] FixtureSet fixture_set(FixtureSetName name);

struct HouseholdParameters {
  double size_exponent = 0.63;            // DeOreo et al. 2016
  double reference_people = 2.4;          // fits the typical set to that study's regression
  double home_by_day_factor = 1.10;       // assumed, 1.0-1.35
  double away_by_day_factor = 0.85;       // assumed, weekdays
  double guest_m3_per_day = 0.1514165;    // 40 gal, assumed
  double visitor_m3_per_day = 0.0378541;  // 10 gal, assumed
  double daily_cv = 0.3;  // of the household's daily multiplier (random mode), assumed
  double tss_kg_per_person_day = 0.050;            // US EPA 2002, table 3-7; .035-.075
  double bod_kg_per_person_day = 0.055;            // .035-.065
  double disposer_tss_kg_per_person_day = 0.0265;  // table 3-8
  double disposer_bod_kg_per_person_day = 0.018;
};

// Who is in the house on one day.
struct DayPeople {
  double residents = 0.0;     // present and sleeping here; 0 on vacation
  double home_by_day = -1.0;  // residents at home on a weekday; negative: not stated, factor 1
  double overnight_guests = 0.0;
  double day_visitors = 0.0;
  bool weekend = false;
};

// (N/N_ref)^(e - 1); 0 residents give 0.
[[nodiscard]] double size_factor(const HouseholdParameters& p, double residents);

// Mean events of one fixture on this day: N r times size factor times presence factor, guests and
// visitors added as extra persons by their volume relative to the set's volume per person.
[[nodiscard]] double mean_events(const HouseholdParameters& p, const FixtureSet& set, Fixture f,
                                 const DayPeople& people);

// Share of the day's events in each hour, sums to 1: the weekday, weekend or at-home shape, mixed
// by the share of residents at home.
[[nodiscard]] std::array<double, 24> hourly_pattern(const DayPeople& people);

struct SolidsLoad {
  double tss_kg_per_day;
  double bod_kg_per_day;
};
// A guest counts as a person, a day visitor as a quarter (assumed).
[[nodiscard]] SolidsLoad solids_load(const HouseholdParameters& p, const DayPeople& people,
                                     bool disposer);

}  // namespace restwell
