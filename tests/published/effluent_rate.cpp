// Flow rates that leave a simulated tank, against logs at real distribution boxes.
#include <algorithm>

#include "tests/support/rows.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

struct Rates {
  double commonest_by_time;  // L/min
  double median_by_volume;   // half of the water leaves faster
};

Rates rates_of(const char* mode, int people) {
  const RunResult r =
      run_expected(scenario_of(two_pits({.household = fmt::format("occupants: {}", people),
                                         .extra = fmt::format("mode: {}", mode),
                                         .years = 1})));
  int commonest = 0;
  double all = 0.0;
  for (int b = 0; b < FlowHistogram::bins; ++b) {
    if (r.effluent.day[b] > r.effluent.day[commonest]) commonest = b;
    all += r.effluent.day[b] * r.effluent.bin_middle_m3_per_day(b);
  }
  int median = 0;
  for (double below = 0.0; median < FlowHistogram::bins; ++median) {
    below += r.effluent.day[median] * r.effluent.bin_middle_m3_per_day(median);
    if (below >= 0.5 * all) break;
  }
  return {r.effluent.bin_middle_m3_per_day(commonest) / 1.44,
          r.effluent.bin_middle_m3_per_day(median) / 1.44};
}

}  // namespace

TEST_CASE("the effluent's commonest rate and its median lie where boxes have been logged") {
  // Water Sci. Technol. 51(10):39, 2005: mostly 1-4 L/min; 58(2):459, 2008: 0.1-2.5 L/min
  // (abstracts): together 0.1-4 L/min. The logged households' sizes are not told.
  for (const char* mode : {"steady", "random"}) {
    for (const int people : {3, 4, 5, 6}) {
      const Rates r = rates_of(mode, people);
      INFO(mode << ", " << people << " people: " << r.commonest_by_time << ", "
                << r.median_by_volume << " L/min");
      CHECK(r.commonest_by_time >= 0.1);
      CHECK(r.commonest_by_time <= 4.0);
      CHECK(r.median_by_volume >= 0.1);
      CHECK(r.median_by_volume <= 4.0);
    }
    CHECK(rates_of(mode, 2).median_by_volume >= 0.1);
    CHECK(rates_of(mode, 2).median_by_volume <= 4.0);
  }
  CHECK(rates_of("steady", 2).commonest_by_time >= 0.1);
}

// Must fail: if the model comes to meet the logs, the README's list of misses is to be mended.
TEST_CASE("known miss: two people's tank trickles below the logged rates most of the time",
          "[!shouldfail]") {
  CHECK(rates_of("random", 2).commonest_by_time >= 0.1);
}

TEST_CASE("an eighth of an inch decides the split at household flows") {
  // Derived from first principles with another program, second by second, for four people and 182
  // gal/day: the higher of two outlets gets 43, 37, 26, 18, 8, 2.5 % at .5, 1, 2, 3, 6, 10 mm.
  // Five people send 182 gal/day here. Another mix of fixtures, unknown, gives other digits: 5
  // points are an assumption, and the rows' own column for a day's mean flow fits 235-260 gal/day
  // better. The day's mean flow would give 41, 33, 18, 6, 0, 0 %: the last three rows tell the two
  // apart.
  const double lift_mm[] = {0.5, 1, 2, 3, 6, 10};
  const double expected[] = {43, 37, 26, 18, 8, 2.5};
  for (int i = 0; i < 6; ++i) {
    const RunResult r =
        run_expected(scenario_of(two_pits({.household = "occupants: 5",
                                           .west_invert = fmt::format("{} mm", lift_mm[i]),
                                           .years = 1})));
    check_row(fmt::format("{} mm", lift_mm[i]), 100.0 * r.free_share[1], expected[i], 0.0,
              "derived: event-scale simulation done apart from this program", 5.0);
    if (i >= 3) CHECK(100.0 * r.free_share[1] > expected[i] / 2.0);
  }
}
