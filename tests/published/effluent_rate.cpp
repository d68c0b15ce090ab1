// Flow rates that leave a simulated tank, against logs at real distribution boxes.
#include <algorithm>

#include "tests/support/rows.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

double commonest_l_per_min(const RunResult& r) {
  int best = 0;
  for (int b = 0; b < FlowHistogram::bins; ++b) {
    if (r.effluent.day[b] > r.effluent.day[best]) best = b;
  }
  return r.effluent.bin_middle_m3_per_day(best) * 1000.0 / 1440.0;
}

}  // namespace

TEST_CASE("the commonest effluent rate lies where boxes have been logged") {
  // Water Sci. Technol. 51(10):39, 2005: mostly 1-4 L/min; 58(2):459, 2008: 0.1-2.5 L/min
  // (abstracts). The two logs together span 0.1-4 L/min.
  for (const char* mode : {"steady", "random"}) {
    for (const int people : {2, 4, 6}) {
      const RunResult r =
          run_expected(scenario_of(two_pits({.household = fmt::format("occupants: {}", people),
                                             .extra = fmt::format("mode: {}", mode),
                                             .years = 1})));
      const double rate = commonest_l_per_min(r);
      INFO(mode << ", " << people << " people: " << rate << " L/min");
      CHECK(rate >= 0.1);
      CHECK(rate <= 4.0);
    }
  }
}

TEST_CASE("an eighth of an inch decides the split at household flows") {
  // Derived from first principles with another program, second by second, for four people and 182
  // gal/day: the higher of two outlets gets 43, 37, 26, 18, 8, 2.5 % at .5, 1, 2, 3, 6, 10 mm.
  // Another mix of fixtures gives other digits: within 5 points. The day's mean flow would give
  // 41, 33, 18, 6, 0, 0 %: the last three rows tell the two apart.
  const double lift_mm[] = {0.5, 1, 2, 3, 6, 10};
  const double expected[] = {43, 37, 26, 18, 8, 2.5};
  for (int i = 0; i < 6; ++i) {
    const RunResult r =
        run_expected(scenario_of(two_pits({.household = "occupants: 5",
                                           .west_invert = fmt::format("{} mm", lift_mm[i]),
                                           .years = 0.2})));
    check_row(fmt::format("{} mm", lift_mm[i]), 100.0 * r.free_share[1], expected[i], 0.0,
              "derived: event-scale simulation done apart from this program", 5.0);
    if (i >= 3) CHECK(100.0 * r.free_share[1] > expected[i] / 2.0);
  }
}
