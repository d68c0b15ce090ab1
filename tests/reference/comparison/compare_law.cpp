// The law against the reference solver over a whole designed set: tables for tests/reference/
// README.md on stdout, one line a case in a file on request.
//
//     build/compare_law [--steady] [--levels] [--courses] [--mound] [--seed N] [--every N]
//                       [--resolution X] [cases.csv]
// Without a choice, all four; --levels: steady, the pit partly full. --every 4: every fourth pit of
// each regime only. --resolution: of the courses and the mound (.5 if not said). Results are the
// same on any number of threads.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <atomic>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <optional>
#include <string>
#include <thread>

#include "tests/reference/comparison/compare.hpp"
#include "tests/reference/comparison/courses.hpp"
#include "tests/reference/comparison/mound.hpp"
#include "tests/reference/thread_time.hpp"

using namespace restwell;
using namespace restwell::comparison;

namespace {

constexpr int per_regime = 40;
constexpr std::size_t regimes = std::size(all_regimes), courses = std::size(all_courses);
constexpr double shares_of_depth[] = {0.05, 0.10, 0.20, 0.35, 0.50, 0.75, 1.0};
constexpr std::size_t levels = std::size(shares_of_depth);
constexpr double gap_cells = 10;  // as the courses' grid

struct Request {
  bool steady = false, by_level = false, over_time = false, mound = false;
  unsigned long long seed = first_seed;
  int every = 1;
  double resolution = 0.5;
  std::string csv;
};

void add_to(CLI::App& app, Request& r) {
  app.add_flag("--steady", r.steady, "steady intake of full pits");
  app.add_flag("--levels", r.by_level, "steady intake of pits partly full");
  app.add_flag("--courses", r.over_time, "falling level, pulses, filling");
  app.add_flag("--mound", r.mound, "the product's mound near a water table");
  app.add_option("--seed", r.seed, "of the set");
  app.add_option("--every", r.every, "only every so many-th pit of each regime")
      ->check(CLI::Range(1, per_regime));
  app.add_option("--resolution", r.resolution, "of the courses and the mound")
      ->check(CLI::Range(0.1, 10.0));
  app.add_option("cases", r.csv, "file for one line a case");
}

// A result, or why there is none.
template <class Result>
struct Try {
  std::optional<Result> result;
  std::string failed;
};
template <class Make>
auto attempt(Make make) {
  Try<decltype(make())> t;
  try {
    t.result = make();
  } catch (const std::exception& e) {
    t.failed = e.what();
  }
  return t;
}

struct Steady {
  double law, reference, seconds;
  [[nodiscard]] double error() const { return law / reference - 1; }
};

struct Outcome {
  Case c;
  Try<Steady> steady;
  Try<double> error_at[levels];
  Try<Taken> taken[courses];
  Try<Mound> mound;
  Try<double> year;
};

Outcome outcome_of(const Case& c, const Request& request) {
  Outcome o;
  o.c = c;
  if (request.steady) {
    o.steady = attempt([&] {
      const reference::SteadyIntake q = reference::steady_intake(reference_problem(c));
      return Steady{law_intake_m3_per_day(c, c.pond_m), q.total_m3_per_day, q.seconds};
    });
  }
  for (std::size_t k = 0; request.by_level && k < levels; ++k) {
    o.error_at[k] = attempt([&] {
      const double level_m = shares_of_depth[k] * c.pond_m;
      reference::PitProblem problem = reference_problem(c);
      problem.pond_m = level_m;
      problem.gap_cells = gap_cells;
      return law_intake_m3_per_day(c, level_m) /
                 reference::steady_intake(problem).total_m3_per_day -
             1;
    });
  }
  for (std::size_t k = 0; request.over_time && k < courses; ++k) {
    CourseOptions how;
    how.resolution = request.resolution;
    o.taken[k] = attempt([&] { return taken_over(c, all_courses[k], how); });
  }
  if (request.mound && c.table_below_bottom_m) {
    o.mound = attempt([&] { return mound_of(c); });
    o.year = attempt([&] { return intake_after_a_year_m3_per_day(c, request.resolution); });
  }
  return o;
}

std::vector<Outcome> outcomes_of(const std::vector<Case>& cases, const Request& request) {
  std::vector<Outcome> outcomes(cases.size());
  std::atomic<std::size_t> next = 0;
  const auto work = [&] {
    for (std::size_t i = next++; i < cases.size(); i = next++) {
      outcomes[i] = outcome_of(cases[i], request);
      std::fprintf(stderr, "case %d of %zu\n", cases[i].number, cases.size());
    }
  };
  std::vector<std::jthread> threads;
  for (unsigned t = 0; t < std::max(1U, std::thread::hardware_concurrency()); ++t)
    threads.emplace_back(work);
  threads.clear();  // joins
  return outcomes;
}

// Of the first set: what was fitted was so on the other rounds of the regimes.
bool in_second_half(const Case& c) { return ((c.number - 1) / static_cast<int>(regimes)) % 2 == 1; }

void print_head(std::string_view what) {
  fmt::print(
      "\n| {} | cases | median | 95th percentile | worst | mean |\n|---|---|---|---|---|---|\n",
      what);
}
void print_row(std::string_view name, const std::vector<double>& errors) {
  const Spread s = spread_of(errors);
  fmt::print("| {} | {} | {:.1f} % | {:.1f} % | {:.1f} % | {:+.1f} % |\n", name, s.count,
             100 * s.median, 100 * s.percentile_95, 100 * s.worst, 100 * s.mean);
}
// A row a regime and one of all; error_of gives nullopt for what was not run.
template <class ErrorOf>
void print_by_regime(const std::vector<Outcome>& outcomes, std::string_view name,
                     ErrorOf error_of) {
  std::vector<double> all;
  for (const Regime regime : all_regimes) {
    std::vector<double> errors;
    for (const Outcome& o : outcomes)
      if (const std::optional<double> e = error_of(o); e && o.c.regime == regime)
        errors.push_back(*e);
    all.insert(all.end(), errors.begin(), errors.end());
    print_row(fmt::format("{}{}", name, name_of(regime)), errors);
  }
  print_row(fmt::format("{}all", name), all);
}

int print_steady(const std::vector<Outcome>& outcomes) {
  std::vector<double> law, reference;
  double slowest = 0, sum = 0;
  int failed = 0;
  for (const Outcome& o : outcomes) {
    if (!o.steady.result) {
      ++failed;
      continue;
    }
    law.push_back(o.steady.result->law);
    reference.push_back(o.steady.result->reference);
    slowest = std::max(slowest, o.steady.result->seconds);
    sum += o.steady.result->seconds;
  }
  print_head("steady intake");
  print_by_regime(outcomes, "", [](const Outcome& o) {
    return o.steady.result ? std::optional(o.steady.result->error()) : std::nullopt;
  });
  // Cost of one evaluation of the law: as in a run, where what hangs on the level alone is known;
  // and without.
  double kept = 0;
  const auto seconds_each = [&](bool known) {
    constexpr int times = 400;
    const double start = reference::thread_seconds();
    for (const Outcome& o : outcomes) {
      const Law l = law_of(o.c);
      const PitAtLevel at = pit_at_level(l.pit, o.c.pond_m);
      std::vector<double> flow(l.resistance_day.size());
      for (int i = 0; i < times; ++i) {
        kept += known ? pit_intake_m3_per_day(l.pit, at, l.resistance_day, o.c.pond_m, {}, flow)
                      : pit_intake_m3_per_day(l.pit, l.resistance_day, o.c.pond_m, {}, flow);
      }
    }
    return (reference::thread_seconds() - start) / (times * static_cast<double>(outcomes.size()));
  };
  const double law_s = seconds_each(true);
  const double alone_s = seconds_each(false);
  const double reference_s = sum / static_cast<double>(law.size());
  fmt::print(
      "\nPairs more than 10 % apart in the same order: {:.2f} %. Cases the reference did not "
      "solve: {}.\nOne evaluation of the law {:.2f} us ({:.2f} us at a level never met before), "
      "one "
      "steady case of the reference {:.3f} s on average and {:.2f} s at most: {:.2g} ({:.2g}) "
      "times. [{:.3g}]\n",
      100 * same_order(law, reference, 0.1), failed, 1e6 * law_s, 1e6 * alone_s, reference_s,
      slowest, reference_s / law_s, reference_s / alone_s, kept);
  return failed;
}

void print_levels(const std::vector<Outcome>& outcomes) {
  print_head("share of the depth");
  for (const bool second_half : {false, true}) {
    for (std::size_t k = 0; k < levels; ++k) {
      std::vector<double> errors;
      for (const Outcome& o : outcomes)
        if (o.error_at[k].result && (!second_half || in_second_half(o.c)))
          errors.push_back(*o.error_at[k].result);
      print_row(fmt::format("{:.2f}{}", shares_of_depth[k], second_half ? ", second half" : ""),
                errors);
    }
  }
}

void print_courses(const std::vector<Outcome>& outcomes) {
  for (std::size_t k = 0; k < courses; ++k) {
    print_head(name_of(all_courses[k]));
    const auto error = [k](const Outcome& o) {
      return o.taken[k].result ? std::optional(o.taken[k].result->error()) : std::nullopt;
    };
    print_by_regime(outcomes, "", error);
    std::vector<double> within, alone, off, lags, lag_errors;
    double seconds = 0, slowest = 0;
    std::map<std::string, int> left_out;
    for (const Outcome& o : outcomes) {
      if (!o.taken[k].result) {
        ++left_out[o.taken[k].failed];
        continue;
      }
      const Taken& t = *o.taken[k].result;
      within.push_back(t.error_within());
      alone.push_back(t.alone_error());
      off.push_back(t.level_off);
      lags.push_back(t.lag());
      if (in_second_half(o.c)) lag_errors.push_back(t.lag_error());
      seconds += t.seconds;
      slowest = std::max(slowest, t.seconds);
    }
    print_row("all, at a level within 2 mm", within);
    print_row("all, with levels of its own", alone);
    print_row("these levels, most off, of the depth", off);
    print_row("reference's steady intakes", lags);
    print_row("the same with the lag, half not fitted on", lag_errors);
    fmt::print("\n{:.0f} s in all, {:.1f} s at most.", seconds, slowest);
    for (const auto& [why, count] : left_out) fmt::print(" Left out: {} ({}).", count, why);
    fmt::print("\n");
  }
}

void print_mound(const std::vector<Outcome>& outcomes) {
  print_head("mound, a year of standing water");
  const auto row = [&](std::string_view name, auto ratio) {
    std::vector<double> errors;
    for (const Outcome& o : outcomes)
      if (o.mound.result) errors.push_back(ratio(*o.mound.result) - 1);
    print_row(name, errors);
  };
  row("law's intake with the product's mound",
      [](const Mound& m) { return m.law_m3_per_day / m.reference_m3_per_day; });
  row("with Dupuit's mound at the pit's edge",
      [](const Mound& m) { return m.law_edge_m3_per_day / m.reference_m3_per_day; });
  row("without a mound",
      [](const Mound& m) { return m.law_no_mound_m3_per_day / m.reference_m3_per_day; });
  row("product's mound / head at the aquifer's base",
      [](const Mound& m) { return m.product_rise_m / m.base_rise_m; });
  row("product's mound / head at the table's height",
      [](const Mound& m) { return m.product_rise_m / m.table_rise_m; });
  row("theory / head at the aquifer's base",
      [](const Mound& m) { return m.theory_rise_m / m.base_rise_m; });
  std::vector<double> by_time;
  std::map<std::string, int> left_out;
  for (const Outcome& o : outcomes) {
    if (!o.c.table_below_bottom_m) continue;
    if (!o.mound.result) ++left_out[o.mound.failed];
    if (o.mound.result && o.year.result)
      by_time.push_back(o.mound.result->reference_m3_per_day / *o.year.result - 1);
    if (!o.year.result) ++left_out["the year itself: " + o.year.failed];
  }
  print_row("reference's steady intake / that after the year itself", by_time);
  fmt::print("\n");
  for (const auto& [why, count] : left_out) fmt::print("Left out: {} ({}). ", count, why);
  fmt::print("\n");
}

void write_csv(const std::string& path, const std::vector<Outcome>& outcomes) {
  std::ofstream csv(path);
  csv << "case,regime,radius_m,pond_m,kfs_m_per_day,alpha_per_m,kfs_above_m_per_day,"
         "alpha_above_per_m,boundary_m,lower_day,upper_day,front_m,bottom_day,"
         "table_below_bottom_m,law_m3_per_day,reference_m3_per_day,seconds";
  for (const std::string course : {"falling", "pulses", "filling"}) {
    csv << fmt::format(
        ",{0}_error,{0}_lag,{0}_lag_error,{0}_m3,{0}_days,{0}_seconds,{0}_iterations", course);
  }
  csv << ",mound_law_m3_per_day,mound_reference_m3_per_day,mound_law_edge_m3_per_day,"
         "law_no_mound_m3_per_day,product_rise_m,base_rise_m,table_rise_m,theory_rise_m,year_m3_"
         "per_"
         "day\n";
  for (const Outcome& o : outcomes) {
    const Soil above = o.c.soil_above.value_or(o.c.soil);
    csv << fmt::format(
        "{},\"{}\",{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},{:.4g},"
        "{:.4g}",
        o.c.number, name_of(o.c.regime), o.c.radius_m, o.c.pond_m, o.c.soil.kfs_m_per_day,
        o.c.soil.alpha_per_m, above.kfs_m_per_day, above.alpha_per_m, o.c.boundary_m, o.c.lower_day,
        o.c.upper_day, o.c.front_m, o.c.bottom_day, o.c.table_below_bottom_m.value_or(1e9));
    if (const auto& s = o.steady.result) {
      csv << fmt::format(",{:.5g},{:.5g},{:.2f}", s->law, s->reference, s->seconds);
    } else {
      csv << "," << o.steady.failed << ",,";
    }
    for (const Try<Taken>& t : o.taken) {
      if (t.result) {
        csv << fmt::format(",{:.4f},{:.4f},{:.4f},{:.4g},{:.4g},{:.2f},{}", t.result->error(),
                           t.result->lag(), t.result->lag_error(), t.result->reference_m3,
                           t.result->days, t.result->seconds, t.result->iterations);
      } else {
        csv << "," << t.failed << ",,,,,,";
      }
    }
    if (const auto& m = o.mound.result) {
      csv << fmt::format(",{:.5g},{:.5g},{:.5g},{:.5g},{:.4g},{:.4g},{:.4g},{:.4g}",
                         m->law_m3_per_day, m->reference_m3_per_day, m->law_edge_m3_per_day,
                         m->law_no_mound_m3_per_day, m->product_rise_m, m->base_rise_m,
                         m->table_rise_m, m->theory_rise_m);
    } else {
      csv << ',' << o.mound.failed << ",,,,,,,";
    }
    csv << ',' << (o.year.result ? fmt::format("{:.5g}", *o.year.result) : o.year.failed);
    csv << '\n';
  }
}

}  // namespace

int main(int argc, char** argv) {
  Request request;
  CLI::App app("The intake law against the reference solver");
  add_to(app, request);
  CLI11_PARSE(app, argc, argv);
  if (!request.steady && !request.by_level && !request.over_time && !request.mound)
    request.steady = request.by_level = request.over_time = request.mound = true;
  std::vector<Case> cases = designed_cases(per_regime, request.seed);
  std::erase_if(cases, [&](const Case& c) {
    const int round = (c.number - 1) / static_cast<int>(regimes);
    return round % request.every != 0;
  });
  const bool only_mound =
      request.mound && !request.steady && !request.by_level && !request.over_time;
  if (only_mound) std::erase_if(cases, [](const Case& c) { return !c.table_below_bottom_m; });
  const std::vector<Outcome> outcomes = outcomes_of(cases, request);
  if (!request.csv.empty()) write_csv(request.csv, outcomes);
  int failed = 0;
  if (request.steady) failed = print_steady(outcomes);
  if (request.by_level) print_levels(outcomes);
  if (request.over_time) print_courses(outcomes);
  if (request.mound) print_mound(outcomes);
  return failed == 0 ? 0 : 1;
}
