#include "models/percolation.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace restwell {
namespace {

// Inches and minutes of a field sheet must still meet their limits after conversion.
constexpr double rounding = 1e-6;
bool more(double a, double b) { return a > b * (1 + rounding); }
bool less(double a, double b) { return a < b * (1 - rounding); }

double total_day(const HoleTest& t) {
  return t.interval_day * static_cast<double>(t.drops_m.size());
}

}  // namespace

HoleRate hole_rate(const HoleTest& test, const TestRules& rules) {
  const double drop = test.drops_m.back();
  const double error = rules.reading_error_m;
  HoleRate rate;
  rate.at_least = less(drop, error);
  rate.day_per_m = test.interval_day / std::max(drop, error);
  rate.fastest_day_per_m = test.interval_day / (drop + error);
  rate.slowest_day_per_m = more(drop, error) ? test.interval_day / (drop - error)
                                             : std::numeric_limits<double>::infinity();
  return rate;
}

double mean_water_depth_m(const HoleTest& test) {
  return test.water_depth_m - 0.5 * test.drops_m.back();
}

bool is_fast(const HoleTest& test, const TestRules& rules) {
  return more(test.drops_m.front() * rules.interval_day, rules.fast_fall_m * test.interval_day);
}

Drift drift(const HoleTest& test, const TestRules& rules) {
  const auto& d = test.drops_m;
  const std::size_t n = d.size();
  if (n < 2) return Drift::steady;
  const double allowed =
      is_fast(test, rules) ? std::max(rules.steady_difference_m, rules.steady_share_fast * d[n - 1])
                           : rules.steady_difference_m;
  const auto way = [](double change) { return change < 0.0 ? Drift::slowing : Drift::quickening; };
  const double last = d[n - 1] - d[n - 2];
  if (more(std::abs(last), allowed)) return way(last);
  if (n < 3) return Drift::steady;
  const double before = d[n - 2] - d[n - 3];
  const bool one_way = last * before > 0.0;
  return one_way && more(std::abs(last + before), allowed) ? way(last) : Drift::steady;
}

std::vector<TestFault> test_faults(const HoleTest& test, const TestRules& rules) {
  std::vector<TestFault> faults;
  const auto add_if = [&](bool wrong, TestFault fault) {
    if (wrong) faults.push_back(fault);
  };
  const bool fast = is_fast(test, rules);
  const HoleRate rate = hole_rate(test, rules);
  add_if(fast ? less(total_day(test), rules.fast_duration_day)
              : test.drops_m.size() < static_cast<std::size_t>(rules.fewest_readings),
         TestFault::too_few_readings);
  const Drift d = drift(test, rules);
  add_if(d == Drift::slowing, TestFault::still_slowing);
  add_if(d == Drift::quickening, TestFault::still_quickening);

  const double slack = rules.interval_tolerance;
  add_if(fast && test.interval_day > rules.fast_interval_day * (1 + slack),
         TestFault::interval_too_long);
  add_if(!fast && test.interval_day < rules.interval_day * (1 - slack),
         TestFault::interval_too_short);
  add_if(!fast && test.interval_day > rules.interval_day * (1 + slack),
         TestFault::interval_not_usual);

  const bool clayey = test.clayey || more(rate.day_per_m, rules.clayey_day_per_m);
  if (!test.presoak_day) {
    faults.push_back(TestFault::presoak_not_stated);
  } else if (less(*test.presoak_day, rules.presoak_day)) {
    faults.push_back(TestFault::presoak_too_short);
  } else if (clayey && less(*test.presoak_day, rules.clayey_presoak_day)) {
    faults.push_back(TestFault::presoak_short_for_clay);
  }
  const double drop = test.drops_m.back();
  add_if(!rate.at_least && more(rules.reading_error_m, rules.small_drop_share * drop),
         TestFault::drop_too_small);
  add_if(rate.at_least, TestFault::nothing_read);
  add_if(less(test.diameter_m, rules.narrowest_hole_m), TestFault::hole_narrow);
  add_if(more(test.diameter_m, rules.widest_hole_m), TestFault::hole_wide);
  add_if(more(std::abs(test.water_depth_m - rules.water_depth_m), rules.water_depth_tolerance_m),
         TestFault::water_depth_not_usual);
  return faults;
}

RateSpread rate_spread(std::span<const double> rates) {
  double sum = 0.0;
  for (const double r : rates) sum += r;
  const auto [least, most] = std::minmax_element(rates.begin(), rates.end());
  return {sum / static_cast<double>(rates.size()), *least, *most};
}

bool layer_counts(const LayerRate& layer) {
  return !more(layer.day_per_m, slowest_counted_day_per_m);
}

std::optional<WeightedRate> weighted_rate(std::span<const LayerRate> layers) {
  WeightedRate w;
  for (const LayerRate& l : layers) {
    if (!layer_counts(l)) continue;
    w.day_per_m += l.thickness_m * l.day_per_m;
    w.counted_m += l.thickness_m;
  }
  if (!(w.counted_m > 0.0)) return std::nullopt;
  w.day_per_m /= w.counted_m;
  return w;
}

double viscosity_ratio(double temperature_c) {
  const double below_20 = 20.0 - temperature_c;
  return std::pow(10.0, below_20 / (temperature_c + 96.0) *
                            (1.2364 - 1.37e-3 * below_20 + 5.7e-6 * below_20 * below_20));
}

}  // namespace restwell
