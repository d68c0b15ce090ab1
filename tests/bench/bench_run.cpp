// How long a run takes, by part, and how much memory. Not a test: run it by hand, on one core with
//     taskset -c 0 build/bench_run
#include <fmt/core.h>
#include <sched.h>
#include <sys/resource.h>

#include <chrono>

#include "models/constants.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

template <typename Work>
double seconds(const Work& work) {
  const auto from = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
}

int cores() {
  cpu_set_t set;
  return sched_getaffinity(0, sizeof set, &set) == 0 ? CPU_COUNT(&set) : 0;
}

double peak_megabytes() {
  rusage use{};
  getrusage(RUSAGE_SELF, &use);
  return static_cast<double>(use.ru_maxrss) / 1024.0;
}

}  // namespace

int main() {
  Scenario scenario = scenario_of(two_pits({.west_invert = "0.125 in", .years = 20}));
  scenario.mode = Mode::random;
  fmt::print("Two pits, four people, 20 years, random mode, {} core(s).\n", cores());

  double typical = 0.0, upstream = 0.0;
  TypicalWeek week;
  typical = seconds([&] { week = typical_week(scenario); });
  upstream = seconds([&] {
    Upstream house_and_tank(scenario, scenario.mode, tank_at_start(scenario));
    const auto days = static_cast<int>(scenario.years * days_per_year);
    for (int d = 0; d < days; ++d) (void)house_and_tank.next_day();
  });
  fmt::print("  typical week              {:7.3f} s\n", typical);
  fmt::print("  house and tank            {:7.3f} s\n", upstream);

  const std::vector<ClogCase> cases = clogging_cases(scenario.biomat);
  for (const ClogCase& one : cases) {
    const double history = seconds([&] { (void)pits_at_start(scenario, one.biomat, week); });
    const double alone = seconds([&] { (void)run(scenario, {one}); });
    fmt::print("  box and pits: {:7.3f} s, the years before the start {:7.3f} s   ({}{})\n",
               alone - typical - upstream - history, history, one.name,
               one.until_overflow ? ", stops at the overflow" : "");
  }
  const double whole = seconds([&] { (void)run(scenario, cases); });
  fmt::print("  whole run, {} cases      {:7.3f} s\n", cases.size(), whole);
  fmt::print("  peak memory               {:7.1f} MB\n", peak_megabytes());
}
