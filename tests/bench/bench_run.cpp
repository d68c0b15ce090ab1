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

// As many pits as outlets on one box, each in the same ground.
Scenario site_of(int pits, double years, const char* ring_height) {
  std::string outlets, holes;
  for (int p = 1; p <= pits; ++p) {
    outlets += fmt::format("    - {{name: o{0}, to: p{0}}}\n", p);
    holes +=
        fmt::format("  - {{name: p{}, diameter: 6 ft, depth: 8 ft, in_service: 5 years}}\n", p);
  }
  Scenario s = scenario_of(fmt::format(
      "name: Bench (invented)\nstart: 2026-05-01\nyears: {}\nhousehold: {{occupants: 4}}\n"
      "tank: {{volume: 1000 gal, pumped: 2026-05-01}}\nbox:\n  outlets:\n{}pits:\n{}"
      "soil: {{perc: 15 min/inch}}\nlimits: {{ring_height: {}}}\n",
      years, outlets, holes, ring_height));
  s.mode = Mode::random;
  return s;
}

double run_seconds(const Scenario& s, std::size_t cases) {
  std::vector<ClogCase> all = clogging_cases(s.biomat);
  all.resize(cases);
  for (ClogCase& one : all) one.follow = Follow::to_the_end;
  return seconds([&] { (void)run(s, all, {}, {1, nullptr, {}}); });
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
               one.follow == Follow::until_overflow ? ", stops at the overflow" : "");
  }
  const double whole = seconds([&] { (void)run(scenario, cases); });
  fmt::print("  whole run, {} cases      {:7.3f} s\n", cases.size(), whole);
  fmt::print("  peak memory               {:7.1f} MB\n", peak_megabytes());

  fmt::print(
      "How the cost grows (two pits, 20 years, rings of 4 in, one case, but for what is "
      "varied):\n");
  const auto row = [](const char* what, const auto& values, const auto& seconds_of) {
    fmt::print("  {:12}", what);
    for (const auto& value : values) fmt::print("  {}: {:.3f} s", value, seconds_of(value));
    fmt::print("\n");
  };
  row("years", std::vector{5, 10, 20, 40, 80},
      [](int y) { return run_seconds(site_of(2, y, "4 in"), 1); });
  row("pits", std::vector{1, 2, 4, 8},
      [](int n) { return run_seconds(site_of(n, 20, "4 in"), 1); });
  row("ring height", std::vector{"8 in", "4 in", "2 in", "1 in", "0.5 in"},
      [](const char* h) { return run_seconds(site_of(2, 20, h), 1); });
  row("cases", std::vector<std::size_t>{1, 2, 4, 7},
      [](std::size_t n) { return run_seconds(site_of(2, 20, "4 in"), n); });
}
