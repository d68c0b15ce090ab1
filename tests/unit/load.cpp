// The day-by-day load. Expected values are derived from the scenario's own numbers: counts times
// volumes, days times flows.
#include "sim/load.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

using namespace restwell;
using namespace std::chrono_literals;
using std::chrono::days;
using std::chrono::sys_days;

namespace {

const Date monday = sys_days{2024y / 1 / 1};
const HouseholdParameters parameters;
constexpr std::size_t washer = static_cast<std::size_t>(Fixture::washer);
constexpr std::size_t toilet = static_cast<std::size_t>(Fixture::toilet);

double expected_fixtures_m3_per_day(const HouseholdConfig& household, double residents) {
  double sum = 0.0;
  for (int i = 0; i < fixture_count; ++i) {
    sum += mean_events(parameters, household.fixtures, static_cast<Fixture>(i),
                       {.residents = residents}) *
           household.fixtures[static_cast<std::size_t>(i)].volume_m3;
  }
  return sum;
}

std::vector<DayLoad> loads(const HouseholdConfig& household, Mode mode, int count,
                           Date start = monday, std::uint64_t seed = 1) {
  LoadGenerator generator{household, parameters, mode, seed, start};
  std::vector<DayLoad> result;
  for (int i = 0; i < count; ++i) result.push_back(generator.day(i));
  return result;
}

double segments_m3(const DayLoad& load) {
  double sum = 0.0;
  for (const Segment& s : load.segments) sum += (s.to_day - s.from_day) * s.flow_m3_per_day;
  return sum;
}

bool same_segments(const DayLoad& a, const DayLoad& b) {
  return std::equal(a.segments.begin(), a.segments.end(), b.segments.begin(), b.segments.end(),
                    [](const Segment& x, const Segment& y) {
                      return x.from_day == y.from_day && x.to_day == y.to_day &&
                             x.flow_m3_per_day == y.flow_m3_per_day;
                    });
}

ExtraWater water(const std::string& name, double flow_m3_per_day) {
  ExtraWater extra;
  extra.name = name;
  extra.flow_m3_per_day = flow_m3_per_day;
  return extra;
}

HouseholdChange change(Date from, double occupants) {
  HouseholdChange result;
  result.from = from;
  result.occupants = occupants;
  return result;
}

// Every source at once: softener, leak, extra water, guests, an absence, washers near midnight.
HouseholdConfig busy_household() {
  HouseholdConfig household;
  household.home_by_day = 1.0;
  household.softener = Softener{.volume_m3 = 0.19, .every_day = 4.0};
  household.other_water = {water("sump", 0.05)};
  household.guests = {{.from = monday + days{3}, .to = monday + days{5}, .overnight = 2.0}};
  household.away = {{.from = monday + days{8}, .to = monday + days{10}}};
  return household;
}

// One fixture alone: one event a day and person, everything else never.
HouseholdConfig single_use(const FixtureUse& use) {
  HouseholdConfig household;
  for (FixtureUse& other : household.fixtures) other.events_per_person_day = 0.0;
  household.fixtures[toilet] = use;
  household.leak_m3_per_day = 0.0;
  return household;
}

}  // namespace

TEST_CASE("steady week's volume is exact") {
  const HouseholdConfig household;
  const double week_m3 =
      7.0 * (expected_fixtures_m3_per_day(household, 4.0) + household.leak_m3_per_day);
  for (const int shift : {0, 3}) {  // from a Monday and from a Thursday
    const auto all = loads(household, Mode::steady, 28, monday + days{shift});
    double started_m3 = 0.0, reached_m3 = 0.0;
    for (int i = 0; i < 28; ++i) {
      const DayLoad& load = all[static_cast<std::size_t>(i)];
      reached_m3 += load.volume_m3;
      started_m3 += load.leak_m3;
      for (const double m3 : load.fixture_m3) started_m3 += m3;
      if (i % 7 == 6) CHECK(started_m3 == Approx((i / 7 + 1) * week_m3).epsilon(1e-12));
    }
    CHECK(reached_m3 + all.back().carried_m3 == Approx(4 * week_m3).epsilon(1e-12));
    for (std::size_t i = 7; i < 21; ++i) CHECK(same_segments(all[i], all[i + 7]));
  }
}

TEST_CASE("steady days are alike without laundry days") {
  const FixtureUse use = HouseholdConfig{}.fixtures[toilet];
  const double mean =
      mean_events(parameters, HouseholdConfig{}.fixtures, Fixture::toilet, {.residents = 4});
  for (const DayLoad& load : loads({}, Mode::steady, 14)) {
    CHECK(std::abs(load.fixture_m3[toilet] / use.volume_m3 - mean) < 1.0);  // of about 17 flushes
  }
}

TEST_CASE("segments cover the day and hold its volume") {
  for (const Mode mode : {Mode::steady, Mode::random}) {
    double in_m3 = 0.0, started_m3 = 0.0, carried_m3 = 0.0;
    for (const DayLoad& load : loads(busy_household(), mode, 60)) {
      REQUIRE(!load.segments.empty());
      CHECK(load.segments.front().from_day == 0.0);
      CHECK(load.segments.back().to_day == 1.0);
      for (std::size_t i = 0; i < load.segments.size(); ++i) {
        const Segment& segment = load.segments[i];
        REQUIRE(segment.to_day > segment.from_day);
        REQUIRE(segment.flow_m3_per_day >= load.base_flow_m3_per_day);
        if (i > 0) REQUIRE(segment.from_day == load.segments[i - 1].to_day);
      }
      for (const Pulse& pulse : load.pulses) {
        REQUIRE(pulse.start_day >= 0.0);
        REQUIRE(pulse.start_day + pulse.duration_day <= 1.0 + 1e-15);
      }
      CHECK(segments_m3(load) == Approx(load.volume_m3).epsilon(1e-11));
      in_m3 += load.volume_m3;
      started_m3 += load.base_flow_m3_per_day + load.softener_m3;
      for (const double m3 : load.fixture_m3) started_m3 += m3;
      carried_m3 = load.carried_m3;
      // No water is lost at any midnight.
      CHECK(in_m3 + carried_m3 == Approx(started_m3).epsilon(1e-12));
    }
  }
}

TEST_CASE("a discharge past midnight goes on the next day") {
  // One use a week of 2.4 m3 at 1 m3/day: it runs for 2.4 days, whenever it starts.
  HouseholdConfig household = single_use({.events_per_person_day = 1.0,
                                          .volume_m3 = 2.4,
                                          .volume_cv = 0.0,
                                          .flow_m3_per_day = 1.0,
                                          .drains = 1,
                                          .drain_gap_day = 0.0});
  household.occupants = 1;
  household.fixtures[toilet].events_per_person_day =
      1.0 / 7.0 / size_factor(parameters, household.occupants);
  const auto all = loads(household, Mode::steady, 14);
  std::size_t first = 0;
  while (all[first].volume_m3 == 0.0) ++first;
  REQUIRE(first + 3 < all.size());
  const double start_day = all[first].pulses.front().start_day;
  CHECK(all[first].volume_m3 == Approx(1.0 - start_day));
  CHECK(all[first].carried_m3 == Approx(1.4 + start_day));
  CHECK(all[first + 1].volume_m3 == Approx(1.0));
  CHECK(all[first + 2].volume_m3 == Approx(std::min(1.0, 0.4 + start_day)));
  CHECK(all[first + 2].pulses.front().start_day == 0.0);
  CHECK(all[first].volume_m3 + all[first + 1].volume_m3 + all[first + 2].volume_m3 +
            all[first + 3].volume_m3 ==
        Approx(2.4).epsilon(1e-13));

  // The same in drains a day apart: whole later drains are carried, at the same clock time.
  household.fixtures[toilet].volume_m3 = 0.3;
  household.fixtures[toilet].flow_m3_per_day = 100.0;
  household.fixtures[toilet].drains = 3;
  household.fixtures[toilet].drain_gap_day = 1.0;
  const auto drains = loads(household, Mode::steady, 14);
  for (std::size_t i = first; i < first + 3; ++i) {
    CHECK(drains[i].volume_m3 == Approx(0.1));
    CHECK(drains[i].pulses.front().start_day == Approx(start_day));
  }
  CHECK(drains[first + 3].volume_m3 == 0.0);
}

TEST_CASE("an appliance drains in equal parts a gap apart") {
  HouseholdConfig household = single_use(fixture_set(FixtureSetName::typical)[washer]);
  household.fixtures[toilet].events_per_person_day = 0.01;
  const auto all = loads(household, Mode::steady, 7);  // one use a week
  const auto busy =
      std::find_if(all.begin(), all.end(), [](const DayLoad& load) { return load.volume_m3 > 0; });
  REQUIRE(busy != all.end());
  REQUIRE(busy->pulses.size() == 2);
  CHECK(busy->pulses[1].start_day - busy->pulses[0].start_day == Approx(20.0 / 1440.0));
  CHECK(busy->pulses[1].duration_day == Approx(busy->pulses[0].duration_day));
}

TEST_CASE("all laundry on Saturday") {
  const HouseholdConfig any_day;
  HouseholdConfig saturday;
  saturday.laundry.days = {5};
  const auto even = loads(any_day, Mode::steady, 14);
  const auto heaped = loads(saturday, Mode::steady, 14);
  const double laundry_m3_per_day =
      mean_events(parameters, any_day.fixtures, Fixture::washer, {.residents = 4}) *
      any_day.fixtures[washer].volume_m3;
  double even_m3 = 0.0;
  for (std::size_t i = 7; i < 14; ++i) {
    even_m3 += even[i].volume_m3 / 7;
    for (std::size_t f = 0; f < fixture_count; ++f) {
      if (f != washer) CHECK(heaped[i].fixture_m3[f] == even[i].fixture_m3[f]);
    }
    CHECK(heaped[i].fixture_m3[washer] ==
          Approx(i == 12 ? 7 * laundry_m3_per_day : 0.0).epsilon(1e-12));
  }
  // Derived: with the share s of laundry in an even day, Saturday is 1 + 6 s of it; s = 0.19 of the
  // typical set more than doubles the day. A tenth for the week's one bath.
  const double share = laundry_m3_per_day / even_m3;
  CHECK(heaped[12].volume_m3 / even_m3 == Approx(1.0 + 6.0 * share).epsilon(0.1));
  CHECK(heaped[12].volume_m3 > 2.0 * even_m3);

  SECTION("loads a week as stated, on two days") {
    HouseholdConfig stated;
    stated.laundry = {.loads_per_week = 5.0, .days = {2, 5}};
    const auto all = loads(stated, Mode::steady, 7);
    double week_m3 = 0.0;
    for (const DayLoad& load : all) {
      const bool allowed = weekday_of(load.date) == 2 || weekday_of(load.date) == 5;
      CHECK((load.fixture_m3[washer] > 0.0) == allowed);
      week_m3 += load.fixture_m3[washer];
    }
    CHECK(week_m3 == Approx(5.0 * stated.fixtures[washer].volume_m3).epsilon(1e-12));
  }
  SECTION("by chance") {
    double washed_m3 = 0.0;
    const int weeks = 600;
    for (const DayLoad& load : loads(saturday, Mode::random, 7 * weeks)) {
      if (weekday_of(load.date) != 5) CHECK(load.fixture_m3[washer] == 0.0);
      washed_m3 += load.fixture_m3[washer];
    }
    // Derived: variance of a week's count under the daily multiplier is m + (m cv)^2; 4 standard
    // errors, volumes' own scatter (CV .25) included.
    const double m = 7 * laundry_m3_per_day / any_day.fixtures[washer].volume_m3;
    const double error = std::sqrt((m * (1.0 + 0.25 * 0.25) + 0.09 * m * m) / weeks) / m;
    CHECK(washed_m3 / weeks == Approx(7 * laundry_m3_per_day).epsilon(4 * error));
  }
}

TEST_CASE("absence leaves leak, softener and extra water") {
  HouseholdConfig household;
  household.away = {{.from = monday + days{2}, .to = monday + days{15}}};
  household.softener = Softener{.volume_m3 = 0.19, .every_day = 5.0};
  household.other_water = {water("condensate", 0.02)};
  for (const Mode mode : {Mode::steady, Mode::random}) {
    const auto all = loads(household, mode, 20);
    for (std::size_t i = 3; i <= 15; ++i) {  // the first day may still get a carried pulse
      const double softener_m3 = i % 5 == 4 ? 0.19 : 0.0;
      CHECK(all[i].people.residents == 0.0);
      CHECK(all[i].solids.tss_kg_per_day == 0.0);
      CHECK(all[i].solids.bod_kg_per_day == 0.0);
      CHECK(all[i].foreign_m3 == Approx(0.02));
      CHECK(all[i].volume_m3 == Approx(household.leak_m3_per_day + 0.02 + softener_m3));
    }
    CHECK(all[1].people.residents == 4.0);
    CHECK(all[2].people.residents == 0.0);
    CHECK(all[16].people.residents == 4.0);
    CHECK(all[16].volume_m3 > 0.2);
  }
}

TEST_CASE("softener regenerates from two in the morning") {
  HouseholdConfig household;
  household.occupants = 0;
  household.leak_m3_per_day = 0.0;
  household.softener = Softener{.volume_m3 = 0.19, .every_day = 16.0};
  const auto all = loads(household, Mode::steady, 320);
  int regenerations = 0;
  for (const DayLoad& load : all) {
    if (load.volume_m3 == 0.0) continue;
    ++regenerations;
    CHECK(load.volume_m3 == Approx(0.19));
    CHECK(load.segments[1].from_day == Approx(2.0 / 24.0));
    // 1800-5400 s; common practice, no published source.
    const double seconds = (load.segments[1].to_day - load.segments[1].from_day) * 86400.0;
    CHECK(seconds >= 1800.0);
    CHECK(seconds <= 5400.0);
  }
  CHECK(regenerations == 20);
}

TEST_CASE("season across New Year") {
  HouseholdConfig household;
  household.season = Season{.from = {11, 15}, .to = {2, 29}};
  const auto residents = [&](Date date) { return people_on(household, date).residents; };
  CHECK(residents(sys_days{2023y / 11 / 14}) == 0.0);
  CHECK(residents(sys_days{2023y / 11 / 15}) == 4.0);
  CHECK(residents(sys_days{2023y / 12 / 31}) == 4.0);
  CHECK(residents(sys_days{2024y / 1 / 1}) == 4.0);
  CHECK(residents(sys_days{2024y / 2 / 29}) == 4.0);  // a leap year
  CHECK(residents(sys_days{2024y / 3 / 1}) == 0.0);
  CHECK(residents(sys_days{2025y / 2 / 28}) == 4.0);
  CHECK(residents(sys_days{2025y / 3 / 1}) == 0.0);
  household.season = Season{.from = {5, 1}, .to = {9, 30}};
  CHECK(residents(sys_days{2024y / 4 / 30}) == 0.0);
  CHECK(residents(sys_days{2024y / 5 / 1}) == 4.0);
  CHECK(residents(sys_days{2024y / 9 / 30}) == 4.0);
  CHECK(residents(sys_days{2024y / 10 / 1}) == 0.0);
}

TEST_CASE("changes by date") {
  HouseholdConfig household;
  household.changes = {change(monday + days{14}, 2.0), change(monday + days{7}, 6.0)};
  household.changes[0].disposer = true;
  household.changes[1].leak_m3_per_day = 0.1;
  CHECK(household_on(household, monday + days{6}).occupants == 4.0);
  CHECK(household_on(household, monday + days{7}).occupants == 6.0);
  CHECK(household_on(household, monday + days{14}).occupants == 2.0);
  CHECK(household_on(household, monday + days{14}).leak_m3_per_day == 0.1);  // stays
  CHECK(household_on(household, monday + days{14}).disposer);

  const auto all = loads(household, Mode::steady, 21);
  const double people[] = {4.0, 6.0, 2.0};
  for (std::size_t week = 0; week < 3; ++week) {
    double week_m3 = 0.0;
    for (std::size_t i = 7 * week; i < 7 * week + 7; ++i) {
      CHECK(all[i].people.residents == people[week]);
      CHECK(all[i].leak_m3 == (week == 0 ? household.leak_m3_per_day : 0.1));
      for (const double m3 : all[i].fixture_m3) week_m3 += m3;
    }
    CHECK(week_m3 ==
          Approx(7 * expected_fixtures_m3_per_day(household, people[week])).epsilon(1e-12));
  }
  CHECK(all[13].solids.tss_kg_per_day == Approx(6 * 0.050));
  CHECK(all[14].solids.tss_kg_per_day == Approx(2 * 0.0765));
}

TEST_CASE("changed fixtures and laundry take effect with the same people") {
  HouseholdConfig household;
  HouseholdChange renewed;
  renewed.from = monday + days{7};
  renewed.fixtures = fixture_set(FixtureSetName::efficient);
  renewed.laundry_loads_per_week = 3.0;
  renewed.laundry_days = std::vector<unsigned>{0};
  household.changes = {renewed};
  const auto all = loads(household, Mode::steady, 14);
  double toilets_m3 = 0.0;
  for (std::size_t i = 7; i < 14; ++i) {
    toilets_m3 += all[i].fixture_m3[toilet];
    CHECK(all[i].fixture_m3[washer] ==
          Approx(i == 7 ? 3.0 * (*renewed.fixtures)[washer].volume_m3 : 0.0).epsilon(1e-12));
  }
  CHECK(toilets_m3 ==
        Approx(7.0 * (*renewed.fixtures)[toilet].volume_m3 *
               mean_events(parameters, *renewed.fixtures, Fixture::toilet, {.residents = 4}))
            .epsilon(1e-12));
}

TEST_CASE("a week's laundry does not depend on who is at home by day") {
  HouseholdConfig away_by_day;
  away_by_day.home_by_day = 0.0;
  const DayPeople people = people_on(away_by_day, monday);
  const HouseholdConfig plain;
  CHECK(expected_events(away_by_day, parameters, Fixture::washer, people, 0) ==
        Approx(mean_events(parameters, plain.fixtures, Fixture::washer, {.residents = 4})));
  CHECK(expected_events(away_by_day, parameters, Fixture::toilet, people, 0) ==
        Approx(0.85 * mean_events(parameters, plain.fixtures, Fixture::toilet, {.residents = 4})));
}

TEST_CASE("a change before the start is in force at once") {
  HouseholdConfig household;
  household.changes = {change(monday - days{100}, 1.0)};
  CHECK(loads(household, Mode::steady, 1).front().people.residents == 1.0);
}

TEST_CASE("extra water on its dates only") {
  HouseholdConfig household;
  household.other_water = {water("roof", 1.0), water("sump", 0.1), water("drip", 0.01),
                           water("thaw", 0.001)};
  household.other_water[0].dates = {monday + days{1}, monday + days{4}};
  household.other_water[1].from = monday + days{2};
  household.other_water[1].to = monday + days{4};
  household.other_water[2].from = monday + days{5};
  household.other_water[3].to = monday;
  const double foreign_m3[] = {0.001, 1.0, 0.1, 0.1, 1.1, 0.01, 0.01};
  const auto all = loads(household, Mode::steady, 7);
  const auto without = loads({}, Mode::steady, 7);
  for (std::size_t i = 0; i < 7; ++i) {
    CHECK(all[i].foreign_m3 == Approx(foreign_m3[i]));
    CHECK(all[i].volume_m3 - without[i].volume_m3 == Approx(foreign_m3[i]));
    CHECK(all[i].base_flow_m3_per_day == Approx(foreign_m3[i] + household.leak_m3_per_day));
  }
}

TEST_CASE("guests and visitors for their days") {
  HouseholdConfig household;
  household.guests = {{.from = monday + days{7}, .to = monday + days{20}, .overnight = 3.0},
                      {.from = monday + days{20}, .to = monday + days{20}, .day_visitors = 8.0}};
  const auto all = loads(household, Mode::steady, 22);
  const auto without = loads({}, Mode::steady, 22);
  double extra_m3 = 0.0;
  for (std::size_t i = 7; i < 14; ++i) {
    CHECK(all[i].people.overnight_guests == 3.0);
    CHECK(all[i].solids.tss_kg_per_day == Approx(7 * 0.050));
    for (std::size_t f = 0; f < fixture_count; ++f) {
      extra_m3 += all[i].fixture_m3[f] - without[i].fixture_m3[f];
    }
  }
  CHECK(extra_m3 == Approx(7 * 3 * parameters.guest_m3_per_day).epsilon(1e-10));
  CHECK(all[6].people.overnight_guests == 0.0);
  CHECK(all[20].people.day_visitors == 8.0);
  CHECK(all[21].people.overnight_guests == 0.0);
  CHECK(all[21].fixture_m3 == without[21].fixture_m3);

  // Guests come to a house whose residents are away.
  household.away = {{.from = monday + days{7}, .to = monday + days{20}}};
  CHECK(people_on(household, monday + days{8}).residents == 0.0);
  CHECK(people_on(household, monday + days{8}).overnight_guests == 3.0);
}

TEST_CASE("dates follow the calendar") {
  const auto all = loads({}, Mode::steady, 800, sys_days{2023y / 12 / 30});
  CHECK(all[0].people.weekend);  // Saturday
  CHECK(all[1].people.weekend);
  CHECK_FALSE(all[2].people.weekend);
  CHECK(all[2].date == sys_days{2024y / 1 / 1});
  CHECK(all[61].date == sys_days{2024y / 2 / 29});  // 2 + 31 + 28
  CHECK(all[62].date == sys_days{2024y / 3 / 1});
  CHECK(all[368].date == sys_days{2025y / 1 / 1});  // 366 days later
  for (const DayLoad& load : all) {
    REQUIRE(load.people.weekend == (weekday_of(load.date) >= 5));
  }
}

TEST_CASE("days are asked for in order") {
  LoadGenerator generator{{}, parameters, Mode::steady, 1, monday};
  CHECK_THROWS_AS(generator.day(1), std::logic_error);
  CHECK(generator.day(0).date == monday);
  CHECK_THROWS_AS(generator.day(0), std::logic_error);
  CHECK(generator.day(1).date == monday + days{1});
}

TEST_CASE("same seed, same bits") {
  const auto one = loads(busy_household(), Mode::random, 100, monday, 7);
  const auto again = loads(busy_household(), Mode::random, 100, monday, 7);
  const auto other = loads(busy_household(), Mode::random, 100, monday, 8);
  const auto later = loads(HouseholdConfig{}, Mode::random, 10, monday + days{1}, 7);
  const auto plain = loads(HouseholdConfig{}, Mode::random, 11, monday, 7);
  int differing = 0;
  for (std::size_t i = 0; i < one.size(); ++i) {
    REQUIRE(same_segments(one[i], again[i]));
    if (!same_segments(one[i], other[i])) ++differing;
  }
  CHECK(differing >= 97);  // all but the three days of absence
  // A date's draw does not depend on when the run began.
  for (std::size_t i = 0; i < later.size(); ++i) {
    CHECK(later[i].fixture_m3 == plain[i + 1].fixture_m3);
  }
}

TEST_CASE("one changed fixture leaves the others' uses") {
  const HouseholdConfig before;
  HouseholdConfig after;
  after.fixtures[washer].volume_m3 = 0.07;
  after.fixtures[washer].events_per_person_day = 0.5;
  const auto a = loads(before, Mode::random, 200);
  const auto b = loads(after, Mode::random, 200);
  int washed_differently = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    for (std::size_t f = 0; f < fixture_count; ++f) {
      if (f != washer) REQUIRE(a[i].fixture_m3[f] == b[i].fixture_m3[f]);
    }
    if (a[i].fixture_m3[washer] != b[i].fixture_m3[washer]) ++washed_differently;
    // All pulses at other rates than the washer's are there again.
    const auto others = [&before](const DayLoad& load) {
      std::vector<std::pair<double, double>> kept;
      for (const Pulse& p : load.pulses) {
        if (p.flow_m3_per_day != before.fixtures[washer].flow_m3_per_day) {
          kept.emplace_back(p.start_day, p.duration_day);
        }
      }
      return kept;
    };
    REQUIRE(others(a[i]) == others(b[i]));
  }
  CHECK(washed_differently > 100);
}

TEST_CASE("a fixture's volume scales its uses and leaves their times") {
  const auto pattern = hourly_pattern({.residents = 4});
  FixtureUse use = fixture_set(FixtureSetName::typical)[toilet];
  std::vector<UseEvent> big, small, more;
  random_events(3, monday, Fixture::toilet, use, 17.0, pattern, big);
  random_events(3, monday, Fixture::toilet, use, 20.0, pattern, more);
  use.volume_m3 *= 0.5;
  random_events(3, monday, Fixture::toilet, use, 17.0, pattern, small);
  REQUIRE(!big.empty());
  REQUIRE(big.size() == small.size());
  for (std::size_t i = 0; i < big.size(); ++i) {
    CHECK(small[i].start_day == big[i].start_day);
    CHECK(small[i].volume_m3 == Approx(0.5 * big[i].volume_m3).epsilon(1e-12));
  }
  // A changed rate keeps the uses both have in common.
  for (std::size_t i = 0; i < std::min(big.size(), more.size()); ++i) {
    CHECK(more[i].start_day == big[i].start_day);
    CHECK(more[i].volume_m3 == big[i].volume_m3);
  }
}

TEST_CASE("random mean over 4000 days") {
  const HouseholdConfig household;
  const int count = 4000;
  std::array<double, fixture_count> mean_m3{};
  for (const DayLoad& load : loads(household, Mode::random, count)) {
    for (std::size_t f = 0; f < fixture_count; ++f) mean_m3[f] += load.fixture_m3[f] / count;
  }
  for (std::size_t f = 0; f < fixture_count; ++f) {
    const FixtureUse& use = household.fixtures[f];
    const double m =
        mean_events(parameters, household.fixtures, static_cast<Fixture>(f), {.residents = 4});
    // Derived: compound Poisson under the multiplier; variance m (1 + cv_v^2) + (m cv_g)^2 in
    // units of the mean volume; 4 standard errors.
    const double variance =
        m * (1.0 + use.volume_cv * use.volume_cv) + std::pow(m * parameters.daily_cv, 2);
    INFO(fixture_name(static_cast<Fixture>(f)));
    CHECK(std::abs(mean_m3[f] / use.volume_m3 - m) < 4.0 * std::sqrt(variance / count));
  }
}

TEST_CASE("daily multiplier has mean 1 and the stated scatter") {
  const int count = 20000;
  const double cv = 0.3;
  double sum = 0.0, squares = 0.0;
  for (int i = 0; i < count; ++i) {
    const double g = daily_multiplier(5, monday + days{i}, cv);
    REQUIRE(g > 0.0);
    sum += g;
    squares += (g - 1.0) * (g - 1.0);
  }
  CHECK(std::abs(sum / count - 1.0) < 4.0 * cv / std::sqrt(count));
  // Derived: kurtosis of a Gamma is 3 + 6 cv^2; standard error of the variance, 4 of them.
  const double error = cv * cv * std::sqrt((2.0 + 6.0 * cv * cv) / count);
  CHECK(std::abs(squares / count - cv * cv) < 4.0 * error);
  CHECK(daily_multiplier(5, monday, 0.0) == 1.0);
}
