// Readings of one hole: rate, drift, and every fault that is told.
#include "models/percolation.hpp"

#include <catch2/catch.hpp>

using namespace restwell;

namespace {

constexpr double inch_m = 0.0254;
constexpr double minute_day = 1.0 / 1440.0;
constexpr double hour_day = 1.0 / 24.0;

// By the rule in every way: 30 minutes, six-inch hole, six inches of water, soaked for a day.
HoleTest good_test(const std::vector<double>& drops_in, double minutes = 30) {
  HoleTest t;
  t.presoak_day = 24 * hour_day;
  t.interval_day = minutes * minute_day;
  for (const double d : drops_in) t.drops_m.push_back(d * inch_m);
  return t;
}
using Faults = std::vector<TestFault>;

}  // namespace

TEST_CASE("a test by the rule has no faults") {
  CHECK(test_faults(good_test({1, .875, .875})).empty());
  CHECK(test_faults(good_test({1, 1, 1})).empty());
  CHECK(test_faults(good_test({1, .9375, 1})).empty());  // goes to and fro by 1/16
  CHECK(test_faults(good_test({3, 2.5, 2.25, 2.125, 2.125, 2.125}, 10)).empty());
}

TEST_CASE("each fault is told, and only that one") {
  CHECK(test_faults(good_test({1, 1})) == Faults{TestFault::too_few_readings});
  CHECK(test_faults(good_test({1})) == Faults{TestFault::too_few_readings});
  CHECK(test_faults(good_test({2.5, 2.5, 2.5}, 10)) == Faults{TestFault::too_few_readings});
  CHECK(test_faults(good_test({1.5, 1.25, 1})) == Faults{TestFault::still_slowing});
  CHECK(test_faults(good_test({1, 1, 1.25})) == Faults{TestFault::still_quickening});
  CHECK(test_faults(good_test({.75, .75, .75}, 20)) == Faults{TestFault::interval_too_short});
  CHECK(test_faults(good_test({2, 2, 2}, 60)) == Faults{TestFault::interval_not_usual});
  HoleTest fast = good_test({7, 7, 7}, 30);
  fast.water_depth_m = 12 * inch_m;
  CHECK(test_faults(fast) ==
        Faults{TestFault::interval_too_long, TestFault::water_depth_not_usual});

  HoleTest t = good_test({1, 1, 1});
  t.presoak_day.reset();
  CHECK(test_faults(t) == Faults{TestFault::presoak_not_stated});
  t.presoak_day = 3 * hour_day;
  CHECK(test_faults(t) == Faults{TestFault::presoak_too_short});
  t.presoak_day = 4 * hour_day;
  t.drops_m = good_test({2, 2, 2}).drops_m;
  CHECK(test_faults(t).empty());
  t.clayey = true;
  CHECK(test_faults(t) == Faults{TestFault::presoak_short_for_clay});
  t.clayey = false;
  t.drops_m = good_test({.75, .75, .75}).drops_m;  // 40 min/inch
  CHECK(test_faults(t) == Faults{TestFault::presoak_short_for_clay});

  CHECK(test_faults(good_test({.5, .5, .5})) == Faults{TestFault::drop_too_small});
  CHECK(test_faults(good_test({.03, .03, .03})) == Faults{TestFault::nothing_read});
  CHECK(test_faults(good_test({0, 0, 0})) == Faults{TestFault::nothing_read});
  t = good_test({1, 1, 1});
  t.diameter_m = 3 * inch_m;
  CHECK(test_faults(t) == Faults{TestFault::hole_narrow});
  t.diameter_m = 14 * inch_m;
  CHECK(test_faults(t) == Faults{TestFault::hole_wide});
}

TEST_CASE("limits of the rule pass, however they were written") {
  // 5/8 and 9/16 in differ by 1/16 in to the last bit, or nearly.
  CHECK(drift(good_test({.625, .625, .5625})) == Drift::steady);
  HoleTest t = good_test({1, 1, 1});
  t.diameter_m = 0.1016;  // 4 in
  CHECK(test_faults(t).empty());
  t.diameter_m = 0.3048;
  CHECK(test_faults(t).empty());
  t.presoak_day = 4.0 / 24.0 - 1e-12;
  CHECK(test_faults(t).empty());
  // 6 in within half an hour to a hair: not less than 30 minutes
  CHECK_FALSE(is_fast(good_test({2}, 10)));
  CHECK(is_fast(good_test({2.01}, 10)));
}

TEST_CASE("drops that creep one way are no end, though each step passes") {
  CHECK(drift(good_test({1, .9375, .875})) == Drift::slowing);
  CHECK(drift(good_test({.875, .9375, 1})) == Drift::quickening);
  CHECK(drift(good_test({1, .875, .875})) == Drift::steady);
  // The ten-minute rule allows a tenth of the drop.
  CHECK(drift(good_test({3, 3, 2.8}, 10)) == Drift::steady);
  CHECK(drift(good_test({3, 3, 2.5}, 10)) == Drift::slowing);
}

TEST_CASE("the reading error widens the rate") {
  const HoleRate r = hole_rate(good_test({1, 1, 1}));
  CHECK(r.fastest_day_per_m == Approx(r.day_per_m / 1.0625));
  CHECK(r.slowest_day_per_m == Approx(r.day_per_m / 0.9375));
  CHECK_FALSE(r.at_least);
  const HoleRate none = hole_rate(good_test({0}));
  CHECK(none.at_least);
  CHECK(none.day_per_m == Approx(30 * 16 * minute_day / inch_m));  // slower than 480 min/inch
  CHECK(std::isinf(none.slowest_day_per_m));
  CHECK(std::isinf(hole_rate(good_test({1.0 / 16})).slowest_day_per_m));
}

TEST_CASE("mean and spread of several holes") {
  const std::vector<double> rates{0.2, 0.6, 0.4};
  const RateSpread s = rate_spread(rates);
  CHECK(s.mean_day_per_m == Approx(0.4));
  CHECK(s.fastest_day_per_m == 0.2);
  CHECK(s.slowest_day_per_m == 0.6);
}

TEST_CASE("mean depth is that of the last reading") {
  CHECK(mean_water_depth_m(good_test({2, 1})) == Approx(5.5 * inch_m));
}
