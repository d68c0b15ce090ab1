// Percolation test: from the drops read in one hole to its rate, and what to think of the readings.
//
// Rule (US PHS 526, 1967; US EPA 1980): soak the hole, refill it to 6 in over the gravel, read the
// drop of every half hour for four hours; rate = interval / last drop (1). Where the first 6 in
// seep away in less than 30 minutes: every ten minutes for one hour, the last ten count. US EPA
// 1980 stops at two successive drops that differ by no more than 1/16 in, after at least three
// readings.
//
// A rate is a time per length of fall [day/m]: a large rate is a slow soil.
// Sources: models/sources.md.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "models/us_units.hpp"

namespace restwell {

struct HoleTest {
  double diameter_m = 6 * us::inch_m;     // the rule allows 4 to 12 in
  double water_depth_m = 6 * us::inch_m;  // over the gravel as each reading starts
  std::optional<double> presoak_day;      // not stated
  double interval_day = 0.0;              // > 0
  std::vector<double> drops_m;            // in order, at least one; each >= 0 and < water_depth_m
  bool clayey = false;                    // known to be fine or compacted soil
};

// The numbers of the rule, and those the rule leaves open (assumed).
struct TestRules {
  double reading_error_m = us::inch_m / 16;      // as an error of reading: assumed
  double steady_difference_m = us::inch_m / 16;  // US EPA 1980
  double steady_share_fast = 0.10;               // assumed, for the ten-minute rule, which has none
  double small_drop_share = 0.10;                // assumed: error of a drop worth a warning
  int fewest_readings = 3;                       // US EPA 1980
  double interval_day = 30 * us::minute_day;
  double fast_interval_day = 10 * us::minute_day;
  double fast_duration_day = 60 * us::minute_day;
  double interval_tolerance = 0.20;     // assumed: 25 to 35 minutes pass for 30
  double fast_fall_m = 6 * us::inch_m;  // within interval_day: ten-minute rule
  double presoak_day = 4.0 / 24.0;
  double clayey_presoak_day = 0.5;  // overnight: assumed 12 hours
  double clayey_day_per_m =
      30 * us::minute_per_inch_day_per_m;  // slower soil is taken as clayey, assumed
  double narrowest_hole_m = 4 * us::inch_m, widest_hole_m = 12 * us::inch_m;
  double water_depth_m = 6 * us::inch_m;
  double water_depth_tolerance_m = us::inch_m;  // assumed
};

// The rate (1) of a hole, and the rates that the last drop gives with the reading error added and
// taken off. A last drop below the reading error gives the rate of that error, as a lower bound.
struct HoleRate {
  double day_per_m = 0.0;
  bool at_least = false;  // nothing could be read: slower than day_per_m
  double fastest_day_per_m = 0.0;
  double slowest_day_per_m = 0.0;  // infinite if the error is as large as the drop
};
[[nodiscard]] HoleRate hole_rate(const HoleTest& test, const TestRules& rules = {});

// Mean depth of water during the last reading: what (2) of soil.hpp asks for.
[[nodiscard]] double mean_water_depth_m(const HoleTest& test);

// The ten-minute rule is meant: the first 6 in would be gone within half an hour.
[[nodiscard]] bool is_fast(const HoleTest& test, const TestRules& rules = {});

// How the drops still change. Steady: the last two differ by no more than the rule's difference,
// and the last three do not go one way by more than it (the latter assumed: four drops, each 1/16
// in less than the one before, pass the rule and are no end).
enum class Drift { steady, slowing, quickening };
[[nodiscard]] Drift drift(const HoleTest& test, const TestRules& rules = {});

enum class TestFault {
  too_few_readings,
  still_slowing,       // the soil still swells or fills: the true rate is slower
  still_quickening,    // smear gives way, or the wall caves in
  interval_too_long,   // fast soil, by half hours
  interval_too_short,  // by less than half hours, not fast
  interval_not_usual,  // longer than half hours, not fast
  presoak_not_stated,
  presoak_too_short,
  presoak_short_for_clay,
  drop_too_small,  // the reading error moves the rate by more than small_drop_share
  nothing_read,    // last drop below the reading error
  hole_narrow,
  hole_wide,
  water_depth_not_usual
};
// In the order of the list; empty: a test by the rule.
[[nodiscard]] std::vector<TestFault> test_faults(const HoleTest& test, const TestRules& rules = {});

// ---- several holes ----------------------------------------------------------------------------
struct RateSpread {
  double mean_day_per_m = 0.0;  // arithmetic mean of the rates (US EPA 1980)
  double fastest_day_per_m = 0.0, slowest_day_per_m = 0.0;
};
// At least one rate.
[[nodiscard]] RateSpread rate_spread(std::span<const double> rates_day_per_m);
// More than 20 min/inch apart: different soils, not to be averaged (US EPA 1980).
inline constexpr double different_soils_day_per_m = 20 * us::minute_per_inch_day_per_m;

struct LayerRate {
  double thickness_m = 0.0;  // > 0
  double day_per_m = 0.0;
};
struct WeightedRate {
  double day_per_m = 0.0;
  double counted_m = 0.0;  // thickness of the layers that count
};
// Layers slower than 30 min/inch neither seep nor count.
inline constexpr double slowest_counted_day_per_m = 30 * us::minute_per_inch_day_per_m;
[[nodiscard]] bool layer_counts(const LayerRate& layer);
// Mean weighted by thickness over the layers that count (US EPA 1980, 7.2.3.3); nothing if none
// does.
[[nodiscard]] std::optional<WeightedRate> weighted_rate(std::span<const LayerRate> layers);

// ---- temperature ------------------------------------------------------------------------------
// Viscosity of water over that at 20 degC (Kestin, Sokolov & Wakeham 1978), 0 to 40 degC. The rate
// [day/m] goes with it, conductivity against it.
[[nodiscard]] double viscosity_ratio(double temperature_c);

}  // namespace restwell
