// Household use against the two end-use studies and the EPA's solids. All quoted from memory.
#include "models/household.hpp"

#include <numeric>

#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;

namespace {

constexpr double m3_per_gallon = 3.785412e-3;
const HouseholdParameters parameters;
const std::string study_1999 = "Mayer & DeOreo et al. 1999, Residential End Uses of Water, memory";
const std::string study_2016 = "DeOreo et al. 2016, Residential End Uses of Water v2, memory";
const std::string epa_2002 = "US EPA 2002, EPA/625/R-00/008, tables 3-7 and 3-8, memory";

double gallons_per_person_day(const FixtureSet& set) {
  double sum = 0.0;
  for (const FixtureUse& use : set) sum += use.events_per_person_day * use.volume_m3;
  return sum / m3_per_gallon;
}

double gallons_per_day(const FixtureSet& set, const DayPeople& people) {
  double sum = 0.0;
  for (int i = 0; i < fixture_count; ++i) {
    sum += mean_events(parameters, set, static_cast<Fixture>(i), people) *
           set[static_cast<std::size_t>(i)].volume_m3;
  }
  return sum / m3_per_gallon;
}

double use_gallons(const FixtureSet& set, Fixture f) {
  const FixtureUse& use = set[static_cast<std::size_t>(f)];
  return use.events_per_person_day * use.volume_m3 / m3_per_gallon;
}

}  // namespace

TEST_CASE("typical set follows the regression on household size") {
  const double median_leak_gallons = 4.3;
  const double regression[] = {66, 103, 132, 159, 183, 205};
  const FixtureSet set = fixture_set(FixtureSetName::typical);
  for (int people = 1; people <= 6; ++people) {
    const DayPeople day{.residents = static_cast<double>(people)};
    check_row("N = " + std::to_string(people), gallons_per_day(set, day) + median_leak_gallons,
              regression[people - 1], 0.05, study_2016 + ": Q = 66.3 N^0.63 gal/day");
  }
}

TEST_CASE("old set adds up to the 1999 study's uses") {
  const FixtureSet set = fixture_set(FixtureSetName::old);
  check_row("sum and leak of 9.5 gal", gallons_per_person_day(set) + 9.5, 69.3, 0.01, study_1999);
  const struct {
    Fixture fixture;
    double gallons;
  } rows[] = {{Fixture::toilet, 18.5}, {Fixture::shower, 11.6}, {Fixture::bath, 1.2},
              {Fixture::faucet, 10.9}, {Fixture::washer, 15.0}, {Fixture::dishwasher, 1.0},
              {Fixture::other, 1.6}};
  for (const auto& row : rows) {
    check_row(std::string(fixture_name(row.fixture)), use_gallons(set, row.fixture), row.gallons,
              0.01, study_1999);
  }
}

TEST_CASE("typical set's uses against the 2016 study") {
  // Derived: gallons per household over its 2.65 persons. Counts per person and volumes per use
  // are means of their own, so that their products agree within a tenth, not exactly.
  const FixtureSet set = fixture_set(FixtureSetName::typical);
  const struct {
    Fixture fixture;
    double household_gallons;
  } rows[] = {{Fixture::toilet, 33.1}, {Fixture::shower, 28.1}, {Fixture::bath, 3.6},
              {Fixture::faucet, 26.3}, {Fixture::washer, 22.7}, {Fixture::dishwasher, 1.6},
              {Fixture::other, 5.3}};
  for (const auto& row : rows) {
    check_row(std::string(fixture_name(row.fixture)), use_gallons(set, row.fixture),
              row.household_gallons / 2.65, 0.10, study_2016);
  }
}

TEST_CASE("efficient set") {
  check_row("sum and leak of 17.0 / 2.65 gal",
            gallons_per_person_day(fixture_set(FixtureSetName::efficient)) + 17.0 / 2.65, 44.0,
            0.03, "derived: 2016 study's habits and leak with fixtures of present codes");
}

TEST_CASE("duration of one drain of the typical set") {
  // Usual durations of a discharge, s: common practice, no published source.
  const FixtureSet set = fixture_set(FixtureSetName::typical);
  const struct {
    Fixture fixture;
    double low_s, high_s;
  } rows[] = {{Fixture::toilet, 5, 12},   {Fixture::shower, 440, 480},
              {Fixture::bath, 110, 240},  {Fixture::faucet, 20, 40},
              {Fixture::washer, 60, 160}, {Fixture::dishwasher, 30, 50}};
  for (const auto& row : rows) {
    const FixtureUse& use = set[static_cast<std::size_t>(row.fixture)];
    const double seconds = use.volume_m3 / use.drains / use.flow_m3_per_day * 86400.0;
    INFO(fixture_name(row.fixture) << " " << seconds << " s");
    CHECK(seconds >= row.low_s);
    CHECK(seconds <= row.high_s);
  }
}

TEST_CASE("solids") {
  const SolidsLoad one = solids_load(parameters, {.residents = 1}, false);
  check_row("one person, TSS", one.tss_kg_per_day, 0.050, 1e-12, epa_2002);
  check_row("one person, BOD", one.bod_kg_per_day, 0.055, 1e-12, epa_2002);
  const SolidsLoad four = solids_load(parameters, {.residents = 4}, true);
  check_row("four, disposer, TSS", four.tss_kg_per_day, 4 * 0.0765, 1e-12, epa_2002);
  check_row("four, disposer, BOD", four.bod_kg_per_day, 4 * 0.073, 1e-12, epa_2002);
  // Derived: a guest counts as a person, a visitor as a quarter.
  const DayPeople company{.residents = 2, .overnight_guests = 1, .day_visitors = 4};
  CHECK(solids_load(parameters, company, false).tss_kg_per_day == Approx(4 * 0.050));
  CHECK(solids_load(parameters, {}, true).tss_kg_per_day == 0.0);
}

TEST_CASE("presence and company") {
  const FixtureSet set = fixture_set(FixtureSetName::typical);
  const double plain = gallons_per_day(set, {.residents = 4});
  // Derived from the assumed factors: at home x1.10, away x0.85 on weekdays; 40 and 10 gal.
  CHECK(gallons_per_day(set, {.residents = 4, .home_by_day = 4}) == Approx(1.10 * plain));
  CHECK(gallons_per_day(set, {.residents = 4, .home_by_day = 0}) == Approx(0.85 * plain));
  CHECK(gallons_per_day(set, {.residents = 4, .home_by_day = 1}) == Approx(0.9125 * plain));
  CHECK(gallons_per_day(set, {.residents = 4, .home_by_day = 0, .weekend = true}) == Approx(plain));
  CHECK(gallons_per_day(set, {.residents = 4, .overnight_guests = 2, .day_visitors = 3}) - plain ==
        Approx(110.0).epsilon(0.002));  // the defaults are rounded to four digits
  CHECK(gallons_per_day(set, {.overnight_guests = 1}) == Approx(40.0).epsilon(0.001));
  CHECK(gallons_per_day(set, {}) == 0.0);
  CHECK(size_factor(parameters, 0.0) == 0.0);
  CHECK(size_factor(parameters, parameters.reference_people) == Approx(1.0));
}

TEST_CASE("hourly patterns are shares of a day") {
  const DayPeople days[] = {{.residents = 4},
                            {.residents = 4, .weekend = true},
                            {.residents = 4, .home_by_day = 4},
                            {.residents = 4, .home_by_day = 1},
                            {.home_by_day = 2}};
  for (const DayPeople& day : days) {
    const auto pattern = hourly_pattern(day);
    CHECK(std::accumulate(pattern.begin(), pattern.end(), 0.0) == Approx(1.0).epsilon(1e-14));
  }
  // Derived: a quarter at home mixes a quarter of the at-home shape into the weekday's.
  const auto weekday = hourly_pattern(days[0]);
  const auto home = hourly_pattern(days[2]);
  CHECK(hourly_pattern(days[3])[7] == Approx(0.25 * home[7] + 0.75 * weekday[7]));
  CHECK(weekday[7] > home[7]);
}
