// The law against the reference solver over the whole designed set: a table for tests/reference/
// README.md on stdout, one line a case on request.
//
//     build/compare_law [--steady] [cases.csv]
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdio>
#include <fstream>
#include <numeric>
#include <string>
#include <thread>

#include "tests/reference/comparison/compare.hpp"

using namespace restwell;
using namespace restwell::comparison;

namespace {

constexpr int per_regime = 40;
constexpr int with_courses = 4;  // of each regime but the water table's

struct Outcome {
  Case c;
  double law = 0, reference = 0, seconds = 0;
  int cells = 0;
  std::string failed;
  std::vector<Taken> taken;  // by course, or none
  [[nodiscard]] double error() const { return law / reference - 1; }
};

Outcome outcome_of(const Case& c, bool courses) {
  Outcome o;
  o.c = c;
  o.law = law_intake_m3_per_day(c, c.pond_m);
  try {
    const reference::SteadyIntake q = reference::steady_intake(reference_problem(c));
    o.reference = q.total_m3_per_day;
    o.seconds = q.seconds;
    o.cells = q.cells;
    if (courses) {
      for (const Course course : all_courses) o.taken.push_back(taken_over(c, course, o.reference));
    }
  } catch (const std::exception& e) {
    o.failed = e.what();
  }
  return o;
}

void print_row(std::string_view name, const std::vector<double>& errors) {
  const Spread s = spread_of(errors);
  const double mean = errors.empty() ? 0
                                     : std::accumulate(errors.begin(), errors.end(), 0.0) /
                                           static_cast<double>(errors.size());
  fmt::print("| {} | {} | {:.1f} % | {:.1f} % | {:.1f} % | {:+.1f} % |\n", name, s.count,
             100 * s.median, 100 * s.percentile_95, 100 * s.worst, 100 * mean);
}

}  // namespace

int main(int argc, char** argv) {
  const std::vector<std::string> words(argv + 1, argv + argc);
  const bool over_time = std::find(words.begin(), words.end(), "--steady") == words.end();
  const std::vector<Case> cases = designed_cases(per_regime);
  std::vector<Outcome> outcomes(cases.size());
  std::atomic<std::size_t> next = 0;
  const auto work = [&] {
    for (std::size_t i = next++; i < cases.size(); i = next++) {
      const bool courses =
          over_time && cases[i].number <= with_courses * static_cast<int>(std::size(all_regimes)) &&
          cases[i].regime != Regime::water_table;
      outcomes[i] = outcome_of(cases[i], courses);
      std::fprintf(stderr, "case %d: %.1f s\n", cases[i].number, outcomes[i].seconds);
    }
  };
  {
    std::vector<std::jthread> threads;
    for (unsigned t = 0; t < std::max(1U, std::thread::hardware_concurrency()); ++t)
      threads.emplace_back(work);
  }
  if (!words.empty() && words.back() != "--steady") {
    std::ofstream csv(words.back());
    csv << "case,regime,radius_m,pond_m,kfs_m_per_day,alpha_per_m,kfs_above_m_per_day,"
           "alpha_above_per_m,boundary_m,lower_day,upper_day,front_m,bottom_day,table_below_bottom_"
           "m,"
           "law_m3_per_day,reference_m3_per_day,seconds,falling,pulses,filling,failed\n";
    for (const Outcome& o : outcomes) {
      const Soil above = o.c.soil_above.value_or(o.c.soil);
      csv << fmt::format(
          "{},{},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},"
          "{:.4g},{:.4g},{:.5g},{:.5g},{:.2f}",
          o.c.number, name_of(o.c.regime), o.c.radius_m, o.c.pond_m, o.c.soil.kfs_m_per_day,
          o.c.soil.alpha_per_m, above.kfs_m_per_day, above.alpha_per_m, o.c.boundary_m,
          o.c.lower_day, o.c.upper_day, o.c.front_m, o.c.bottom_day,
          o.c.table_below_bottom_m.value_or(1e9), o.law, o.reference, o.seconds);
      for (std::size_t k = 0; k < std::size(all_courses); ++k) {
        csv << ',';
        if (!o.taken.empty())
          csv << fmt::format("{:.4f}", o.taken[k].law_m3 / o.taken[k].reference_m3 - 1);
      }
      csv << ',' << o.failed << '\n';
    }
  }

  fmt::print(
      "| steady intake | cases | median | 95th percentile | worst | mean "
      "|\n|---|---|---|---|---|---|\n");
  std::vector<double> all, judged, law, reference;
  double slowest = 0;
  int failed = 0;
  for (const Regime regime : all_regimes) {
    std::vector<double> errors;
    for (const Outcome& o : outcomes) {
      if (o.c.regime != regime) continue;
      if (!o.failed.empty()) {
        ++failed;
        continue;
      }
      errors.push_back(o.error());
      all.push_back(o.error());
      law.push_back(o.law);
      reference.push_back(o.reference);
      slowest = std::max(slowest, o.seconds);
    }
    print_row(name_of(regime), errors);
  }
  print_row("all", all);
  fmt::print(
      "\n| over time | cases | median | 95th percentile | worst | mean "
      "|\n|---|---|---|---|---|---|\n");
  for (std::size_t k = 0; k < std::size(all_courses); ++k) {
    std::vector<double> errors;
    for (const Outcome& o : outcomes) {
      if (!o.taken.empty()) errors.push_back(o.taken[k].law_m3 / o.taken[k].reference_m3 - 1);
    }
    print_row(name_of(all_courses[k]), errors);
  }

  // Cost of one evaluation of the law.
  const auto start = std::chrono::steady_clock::now();
  double sum = 0;
  int evaluations = 0;
  std::vector<double> flow;
  for (const Case& c : cases) {
    const Pit pit = law_pit(c);
    const std::vector<double> resistance = law_resistances(c, pit);
    flow.resize(resistance.size());
    for (int i = 0; i < 200; ++i, ++evaluations)
      sum += pit_intake_m3_per_day(pit, resistance, c.pond_m, far_below_m, flow);
  }
  const double law_s =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count() / evaluations;
  double reference_s = 0;
  for (const Outcome& o : outcomes) reference_s += o.seconds / static_cast<double>(outcomes.size());
  fmt::print(
      "\nPairs more than 10 % apart in the same order: {:.2f} %. Cases the reference did not "
      "solve: {}.\n",
      100 * same_order(law, reference, 0.1), failed);
  fmt::print(
      "One evaluation of the law {:.2f} us, one steady case of the reference {:.2f} s on average "
      "and "
      "{:.2f} s at most: {:.2g} times. [{:.3g}]\n",
      1e6 * law_s, reference_s, slowest, reference_s / law_s, sum);
  return failed == 0 ? 0 : 1;
}
