#include "sim/load.hpp"

#include <algorithm>
#include <boost/random/gamma_distribution.hpp>
#include <boost/random/lognormal_distribution.hpp>
#include <boost/random/poisson_distribution.hpp>
#include <boost/random/uniform_01.hpp>
#include <cmath>
#include <limits>
#include <numeric>
#include <span>
#include <stdexcept>
#include <utility>

#include "models/constants.hpp"

namespace restwell {
namespace {

using std::chrono::days;

constexpr double hours_per_day = 24.0;
constexpr double softener_start_day = 2.0 / hours_per_day;
constexpr double softener_flow_m3_per_day = 0.1e-3 * seconds_per_day;  // 0.06-0.13 L/s

std::array<Fixture, fixture_count> all_fixtures() {
  std::array<Fixture, fixture_count> all{};
  for (int i = 0; i < fixture_count; ++i)
    all[static_cast<std::size_t>(i)] = static_cast<Fixture>(i);
  return all;
}

// ---- chance ----------------------------------------------------------------------------------
// Counter-based engine: free to seed, so that every fixture and day has its own stream (Steele, Lea
// & Flood 2014, Fast splittable pseudorandom number generators).
class SplitMix64 {
 public:
  using result_type = std::uint64_t;
  explicit SplitMix64(std::uint64_t state) : state_(state) {}
  static constexpr result_type min() { return 0; }
  static constexpr result_type max() { return std::numeric_limits<result_type>::max(); }
  result_type operator()() {
    state_ += 0x9e3779b97f4a7c15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }

 private:
  std::uint64_t state_;
};

enum class Stream : std::uint64_t { household = 1, count = 2, uses = 3 };

SplitMix64 engine(std::uint64_t seed, Date date, Stream stream, std::uint64_t item = 0) {
  std::uint64_t key = SplitMix64{seed}();
  for (const std::uint64_t part : {static_cast<std::uint64_t>(date.time_since_epoch().count()),
                                   static_cast<std::uint64_t>(stream), item}) {
    key = SplitMix64{key ^ part}();
  }
  return SplitMix64{key};
}

// Where the share `u` (0..1) of a total spread over equal cells has passed, in cells: the inverse
// of the running sum, linear within a cell.
double quantile_cells(std::span<const double> running_sum, double u) {
  const double target = u * running_sum.back();
  // Counted, not searched for: no branch that chance decides.
  auto cell = running_sum.begin() +
              std::ranges::count_if(running_sum, [target](double sum) { return sum <= target; });
  if (cell == running_sum.end()) {  // rounding at the far end
    cell = std::lower_bound(running_sum.begin(), running_sum.end(), running_sum.back());
  }
  const double before = cell == running_sum.begin() ? 0.0 : *std::prev(cell);
  const double index = static_cast<double>(std::distance(running_sum.begin(), cell));
  return index + std::min(1.0, (target - before) / (*cell - before));
}

// Where fixtures' uses sit between two quantiles in steady mode: multiples of the golden ratio keep
// them apart.
double steady_offset(Fixture f) {
  const double golden = 0.6180339887498949;
  return std::fmod((static_cast<double>(f) + 1.0) * golden, 1.0);
}

bool same_people(const DayPeople& a, const DayPeople& b) {
  return a.residents == b.residents && a.home_by_day == b.home_by_day &&
         a.overnight_guests == b.overnight_guests && a.day_visitors == b.day_visitors;
}

}  // namespace

double daily_multiplier(std::uint64_t seed, Date date, double cv) {
  if (cv <= 0.0) return 1.0;
  SplitMix64 random = engine(seed, date, Stream::household);
  return boost::random::gamma_distribution<double>{1.0 / (cv * cv), cv * cv}(random);
}

void random_events(std::uint64_t seed, Date date, Fixture f, const FixtureUse& use, double mean,
                   const std::array<double, 24>& hourly_pattern, std::vector<UseEvent>& events) {
  events.clear();
  if (mean <= 0.0 || use.volume_m3 <= 0.0) return;
  // Count and uses have a stream each: a changed rate adds or drops the last uses drawn, the others
  // stay.
  SplitMix64 count_random = engine(seed, date, Stream::count, static_cast<std::uint64_t>(f));
  SplitMix64 use_random = engine(seed, date, Stream::uses, static_cast<std::uint64_t>(f));
  const int count = boost::random::poisson_distribution<int, double>{mean}(count_random);

  std::array<double, 24> running_sum = hourly_pattern;
  for (std::size_t hour = 1; hour < running_sum.size(); ++hour) {
    running_sum[hour] += running_sum[hour - 1];
  }
  const double log_variance = std::log1p(use.volume_cv * use.volume_cv);
  boost::random::lognormal_distribution<double> volume_m3{
      std::log(use.volume_m3) - 0.5 * log_variance, std::sqrt(log_variance)};
  boost::random::uniform_01<double> uniform;
  for (int i = 0; i < count; ++i) {
    const double start_day = quantile_cells(running_sum, uniform(use_random)) / hours_per_day;
    events.push_back({.start_day = start_day, .volume_m3 = volume_m3(use_random)});
  }
}

LoadGenerator::LoadGenerator(HouseholdConfig household, const HouseholdParameters& parameters,
                             Mode mode, std::uint64_t seed, Date start)
    : household_(std::move(household)),
      parameters_(parameters),
      mode_(mode),
      seed_(seed),
      start_(start),
      changes_(sorted_by_date(household_.changes)) {}

const DayLoad& LoadGenerator::day(int day_index) {
  if (day_index != next_day_) {
    throw std::logic_error("LoadGenerator: days must be asked for in order, from 0");
  }
  ++next_day_;
  const Date date = start_ + days{day_index};
  const unsigned weekday = weekday_of(date);
  apply_changes(date);

  load_.date = date;
  load_.people = people_on(household_, date);
  load_.solids = solids_load(parameters_, load_.people, household_.disposer);
  load_.leak_m3 = household_.leak_m3_per_day;
  load_.foreign_m3 = extra_water_m3_per_day(household_, date);
  load_.base_flow_m3_per_day = load_.leak_m3 + load_.foreign_m3;
  load_.volume_m3 = load_.base_flow_m3_per_day;
  load_.carried_m3 = 0.0;
  load_.softener_m3 = 0.0;
  load_.fixture_m3.fill(0.0);
  load_.pulses.clear();

  arrived_.swap(carried_);
  carried_.clear();
  for (const Pulse& pulse : arrived_) add_pulse(pulse);
  add_softener(day_index);
  if (mode_ == Mode::steady) {
    add_steady(weekday);
    join_pulses(weekday);
  } else {
    add_random(weekday);
    build_segments();
  }
  return load_;
}

void LoadGenerator::apply_changes(Date date) {
  for (; next_change_ < changes_.size() && changes_[next_change_].from <= date; ++next_change_) {
    apply_change(changes_[next_change_], household_);
    weeks_.clear();
  }
}

const LoadGenerator::Week& LoadGenerator::week_of(const DayPeople& people) {
  const auto known = std::find_if(weeks_.begin(), weeks_.end(), [&people](const Week& week) {
    return same_people(week.people, people);
  });
  if (known != weeks_.end()) return *known;

  Week& week = weeks_.emplace_back();
  week.people = people;
  for (const Fixture f : all_fixtures()) {
    std::array<double, 7 * 24> running_sum{};
    double sum = 0.0;
    for (unsigned weekday = 0; weekday < 7; ++weekday) {
      DayPeople then = people;
      then.weekend = is_weekend(weekday);
      const double expected = expected_events(household_, parameters_, f, then, weekday);
      const std::array<double, 24> pattern = hourly_pattern(then);
      for (std::size_t hour = 0; hour < pattern.size(); ++hour) {
        sum += expected * pattern[hour];
        running_sum[24 * weekday + hour] = sum;
      }
    }
    if (sum <= 0.0) continue;
    const double count = std::max(1.0, std::round(sum));
    const double volume_m3 =
        household_.fixtures[static_cast<std::size_t>(f)].volume_m3 * sum / count;
    for (double k = 0.0; k < count; k += 1.0) {
      const double hours = quantile_cells(running_sum, (k + steady_offset(f)) / count);
      const double weekday = std::min(6.0, std::floor(hours / hours_per_day));
      week.days[static_cast<std::size_t>(weekday)].push_back(
          {.fixture = f,
           .event = {.start_day = hours / hours_per_day - weekday, .volume_m3 = volume_m3}});
    }
  }
  return week;
}

void LoadGenerator::add_steady(unsigned weekday) {
  for (const FixtureEvent& use : week_of(load_.people).days[weekday]) {
    add_use(use.fixture, use.event);
  }
}

void LoadGenerator::add_random(unsigned weekday) {
  const double multiplier = daily_multiplier(seed_, load_.date, parameters_.daily_cv);
  const std::array<double, 24> pattern = hourly_pattern(load_.people);
  for (const Fixture f : all_fixtures()) {
    const double mean =
        multiplier * expected_events(household_, parameters_, f, load_.people, weekday);
    const FixtureUse& use = household_.fixtures[static_cast<std::size_t>(f)];
    random_events(seed_, load_.date, f, use, mean, pattern, events_);
    for (const UseEvent& event : events_) add_use(f, event);
  }
}

void LoadGenerator::add_softener(int day_index) {
  if (!household_.softener || household_.softener->every_day <= 0.0) return;
  // Regenerations due by the end of this day less those due by its beginning.
  const double every_day = household_.softener->every_day;
  const double due = std::floor((day_index + 1) / every_day) - std::floor(day_index / every_day);
  const double volume_m3 = due * household_.softener->volume_m3;
  if (volume_m3 <= 0.0) return;
  load_.softener_m3 = volume_m3;
  add_pulse({.start_day = softener_start_day,
             .duration_day = volume_m3 / softener_flow_m3_per_day,
             .flow_m3_per_day = softener_flow_m3_per_day});
}

void LoadGenerator::add_use(Fixture f, const UseEvent& event) {
  const FixtureUse& use = household_.fixtures[static_cast<std::size_t>(f)];
  load_.fixture_m3[static_cast<std::size_t>(f)] += event.volume_m3;
  for (int drain = 0; drain < use.drains; ++drain) {
    add_pulse({.start_day = event.start_day + drain * use.drain_gap_day,
               .duration_day = event.volume_m3 / use.drains / use.flow_m3_per_day,
               .flow_m3_per_day = use.flow_m3_per_day});
  }
}

void LoadGenerator::add_pulse(Pulse pulse) {
  const auto carry = [this](const Pulse& rest) {
    carried_.push_back(rest);
    load_.carried_m3 += rest.duration_day * rest.flow_m3_per_day;
  };
  if (pulse.start_day >= 1.0) {
    pulse.start_day -= 1.0;
    carry(pulse);
    return;
  }
  const double until_midnight_day = 1.0 - pulse.start_day;
  if (pulse.duration_day > until_midnight_day) {
    carry({.start_day = 0.0,
           .duration_day = pulse.duration_day - until_midnight_day,
           .flow_m3_per_day = pulse.flow_m3_per_day});
    pulse.duration_day = until_midnight_day;
  }
  load_.pulses.push_back(pulse);
  load_.volume_m3 += pulse.duration_day * pulse.flow_m3_per_day;
}

void LoadGenerator::join_pulses(unsigned weekday) {
  Joined& joined = joined_[weekday];
  if (!joined.segments.empty() && joined.base_flow_m3_per_day == load_.base_flow_m3_per_day &&
      joined.pulses == load_.pulses) {
    load_.segments = joined.segments;
    return;
  }
  build_segments();
  joined = {load_.pulses, load_.segments, load_.base_flow_m3_per_day};
}

// A day's edges lie all over it: counted by the part of the day that they fall into, hardly any is
// out of place. Three times as fast as pdqsort, which took a tenth of a run with chance.
void LoadGenerator::sort_edges() {
  constexpr std::size_t parts = 256;
  const auto part_of = [](const Edge& e) {
    return std::min(static_cast<std::size_t>(static_cast<int>(e.at_day * parts)), parts - 1);
  };
  std::array<std::size_t, parts + 1> place{};
  for (const Edge& e : edges_) ++place[part_of(e) + 1];
  std::partial_sum(place.begin(), place.end(), place.begin());
  sorted_edges_.resize(edges_.size());
  for (const Edge& e : edges_) sorted_edges_[place[part_of(e)]++] = e;
  for (std::size_t i = 1; i < sorted_edges_.size(); ++i) {
    const Edge e = sorted_edges_[i];
    std::size_t to = i;
    for (; to > 0 && sorted_edges_[to - 1].at_day > e.at_day; --to)
      sorted_edges_[to] = sorted_edges_[to - 1];
    sorted_edges_[to] = e;
  }
  edges_.swap(sorted_edges_);
}

void LoadGenerator::build_segments() {
  edges_.clear();
  for (const Pulse& pulse : load_.pulses) {
    const double end_day = std::min(1.0, pulse.start_day + pulse.duration_day);
    edges_.push_back({.at_day = pulse.start_day, .flow_m3_per_day = pulse.flow_m3_per_day});
    edges_.push_back({.at_day = end_day, .flow_m3_per_day = -pulse.flow_m3_per_day});
  }
  sort_edges();

  load_.segments.clear();
  double from_day = 0.0;
  double pulses_m3_per_day = 0.0;
  int running = 0;
  const auto close = [&](double to_day) {
    if (to_day <= from_day) return;
    load_.segments.push_back({.from_day = from_day,
                              .to_day = to_day,
                              .flow_m3_per_day = load_.base_flow_m3_per_day + pulses_m3_per_day});
    from_day = to_day;
  };
  for (const Edge& edge : edges_) {
    close(edge.at_day);
    pulses_m3_per_day += edge.flow_m3_per_day;
    running += edge.flow_m3_per_day > 0.0 ? 1 : -1;
    if (running == 0) pulses_m3_per_day = 0.0;  // no rounding left over on an idle drain
  }
  close(1.0);
}

}  // namespace restwell
