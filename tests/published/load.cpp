// The random load as a rectangular pulse process, and the peaks of single homes.
#include "sim/load.hpp"

#include <algorithm>
#include <cmath>

#include "tests/support/rows.hpp"

using namespace restwell;
using namespace std::chrono_literals;
using restwell::test::check_row;
using std::chrono::days;
using std::chrono::sys_days;

namespace {

const Date monday = sys_days{2024y / 1 / 1};
const int day_count = 4000;

double flow_at(const DayLoad& load, double time_day) {
  const auto segment = std::find_if(load.segments.begin(), load.segments.end(),
                                    [time_day](const Segment& s) { return time_day < s.to_day; });
  return segment->flow_m3_per_day;
}

}  // namespace

TEST_CASE("number of one fixture's uses is Poisson") {
  // Buchberger & Wu 1995, J. Hydraul. Eng. 121: arrivals of a Poisson process. Mean and variance
  // are equal, P(none) = exp(-mean); standard errors derived, 4 of them. The means lie on both
  // sides of the sampler's change of method at 10.
  const auto pattern = hourly_pattern({.residents = 4});
  const FixtureUse use = fixture_set(FixtureSetName::typical)[0];
  for (const double mean : {0.2, 1.5, 9.0, 17.0, 70.0}) {
    double sum = 0.0, squares = 0.0, none = 0.0;
    std::vector<UseEvent> events;
    for (int i = 0; i < day_count; ++i) {
      random_events(11, monday + days{i}, Fixture::toilet, use, mean, pattern, events);
      const double count = static_cast<double>(events.size());
      sum += count;
      squares += (count - mean) * (count - mean);
      if (events.empty()) none += 1.0;
    }
    const double n = day_count;
    const double idle = std::exp(-mean);
    const std::string inputs = "mean " + std::to_string(mean);
    const std::string source = "Buchberger & Wu 1995, Poisson arrivals";
    check_row(inputs + ", mean", sum / n, mean, 0.0, source, 4.0 * std::sqrt(mean / n));
    check_row(inputs + ", variance", squares / n, mean, 0.0, source,
              4.0 * std::sqrt((mean + 2.0 * mean * mean) / n));
    check_row(inputs + ", P(none)", none / n, idle, 0.0, source,
              4.0 * std::sqrt(idle * (1.0 - idle) / n) + 1e-12);
  }
}

TEST_CASE("uses follow the hourly pattern and their volumes are lognormal") {
  const auto pattern = hourly_pattern({.residents = 4});
  const FixtureUse use = fixture_set(FixtureSetName::typical)[1];  // shower, CV .5
  std::array<double, 24> hours{};
  double count = 0.0, sum = 0.0, log_sum = 0.0, log_squares = 0.0;
  std::vector<UseEvent> events;
  for (int i = 0; i < day_count; ++i) {
    random_events(13, monday + days{i}, Fixture::shower, use, 5.0, pattern, events);
    for (const UseEvent& event : events) {
      REQUIRE(event.start_day >= 0.0);
      REQUIRE(event.start_day <= 1.0);
      hours[std::min<std::size_t>(23, static_cast<std::size_t>(event.start_day * 24.0))] += 1.0;
      const double log_volume = std::log(event.volume_m3 / use.volume_m3);
      count += 1.0;
      sum += event.volume_m3 / use.volume_m3;
      log_sum += log_volume;
      log_squares += log_volume * log_volume;
    }
  }
  double chi_squared = 0.0;
  for (std::size_t h = 0; h < 24; ++h) {
    chi_squared += std::pow(hours[h] - count * pattern[h], 2) / (count * pattern[h]);
  }
  CHECK(chi_squared < 52.0);  // chi-squared with 23 degrees of freedom exceeds 52.0 once in 2000
  // Derived: mean 1, log-variance ln(1 + CV^2), log-mean minus half of it; 4 standard errors.
  const double log_variance = std::log(1.25);
  check_row("mean", sum / count, 1.0, 0.0, "derived: lognormal", 4.0 * 0.5 / std::sqrt(count));
  check_row("log-mean", log_sum / count, -0.5 * log_variance, 0.0, "derived: lognormal",
            4.0 * std::sqrt(log_variance / count));
  check_row("log-variance", log_squares / count - std::pow(log_sum / count, 2), log_variance, 0.0,
            "derived: lognormal", 4.0 * log_variance * std::sqrt(2.0 / count));
}

TEST_CASE("flow at one moment has the moments of a rectangular pulse process") {
  // Buchberger & Wu 1995: E = lambda tau alpha, Var = lambda tau (alpha^2 + beta^2), P(idle) =
  // exp(-lambda tau). All three hold for durations of any distribution (M/G/infinity), also for
  // ours; the intensity is constant, beta = 0. 07:30: the middle of an hour of constant rate.
  HouseholdParameters parameters;
  parameters.daily_cv = 0.0;
  HouseholdConfig household;
  household.leak_m3_per_day = 0.0;
  constexpr std::size_t shower = static_cast<std::size_t>(Fixture::shower);
  for (std::size_t f = 0; f < fixture_count; ++f) {
    household.fixtures[f].events_per_person_day = f == shower ? 8.0 : 0.0;
  }
  const FixtureUse& use = household.fixtures[shower];
  const DayPeople people{.residents = 4};
  const double per_day = mean_events(parameters, household.fixtures, Fixture::shower, people);

  double idle = 0.0, sum = 0.0, squares = 0.0, n = 0.0;
  const double alpha = use.flow_m3_per_day;
  LoadGenerator generator{household, parameters, Mode::random, 17, monday};
  for (int i = 0; i < day_count; ++i) {
    const DayLoad& load = generator.day(i);
    if (load.people.weekend) continue;  // another rate
    const double busy = flow_at(load, 7.5 / 24.0) / alpha;
    n += 1.0;
    sum += busy;
    squares += busy * busy;
    if (busy == 0.0) idle += 1.0;
  }
  const double lambda_tau =
      per_day * hourly_pattern(people)[7] * 24.0 * use.volume_m3 / use.flow_m3_per_day;
  const double p = std::exp(-lambda_tau);
  const std::string source = "Buchberger & Wu 1995, J. Hydraul. Eng. 121, memory";
  check_row("E / alpha", sum / n, lambda_tau, 0.0, source, 4.0 * std::sqrt(lambda_tau / n));
  check_row("Var / alpha^2", squares / n - std::pow(sum / n, 2), lambda_tau, 0.0, source,
            4.0 * std::sqrt((lambda_tau + 2.0 * lambda_tau * lambda_tau) / n));
  check_row("P(idle)", idle / n, p, 0.0, source, 4.0 * std::sqrt(p * (1.0 - p) / n));
}

TEST_CASE("peaks of a single home over the mean") {
  // Crites & Tchobanoglous 1998, single residences, from memory: peak day 2-5, peak hour 4-10 times
  // the mean. The record behind them is not known to us: the day is taken as a year's highest, the
  // hour as the highest of an average day. (A year's very highest hour lies above the range, and
  // the highest week at the lower end of 1.25-4 or below: days are drawn independently.)
  for (const std::uint64_t seed : {1U, 2U, 3U}) {
    LoadGenerator generator{{}, {}, Mode::random, seed, monday};
    double total_m3 = 0.0, highest_day_m3 = 0.0, highest_hours_m3 = 0.0;
    for (int i = 0; i < 365; ++i) {
      const DayLoad& load = generator.day(i);
      total_m3 += load.volume_m3;
      highest_day_m3 = std::max(highest_day_m3, load.volume_m3);
      std::array<double, 24> hour_m3{};
      for (const Segment& s : load.segments) {
        for (std::size_t h = 0; h < 24; ++h) {
          const double from_day = static_cast<double>(h) / 24.0;
          const double overlap_day =
              std::min(s.to_day, from_day + 1.0 / 24.0) - std::max(s.from_day, from_day);
          hour_m3[h] += std::max(0.0, overlap_day) * s.flow_m3_per_day;
        }
      }
      highest_hours_m3 += *std::max_element(hour_m3.begin(), hour_m3.end());
    }
    const double peak_day = highest_day_m3 * 365.0 / total_m3;
    const double peak_hour = highest_hours_m3 * 24.0 / total_m3;
    INFO("seed " << seed << ": peak day " << peak_day << ", peak hour " << peak_hour);
    CHECK(peak_day >= 2.0);
    CHECK(peak_day <= 5.0);
    CHECK(peak_hour >= 4.0);
    CHECK(peak_hour <= 10.0);
  }
}
