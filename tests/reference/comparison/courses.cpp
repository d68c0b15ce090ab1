#include "tests/reference/comparison/courses.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <functional>
#include <numbers>
#include <stdexcept>
#include <vector>

#include "models/soil_lag.hpp"
#include "tests/reference/comparison/compare.hpp"
#include "tests/reference/transient.hpp"

namespace restwell::comparison {

namespace {

constexpr double pulse_starts_day[] = {7.0 / 24, 12.0 / 24, 19.0 / 24};
constexpr double pulse_day = 2.0 / 24;
constexpr int fine_iterations = 1000;  // three times what most need
constexpr double share_of_day = std::size(pulse_starts_day) * pulse_day;

double steady_m3_per_day(const reference::FlowProblem& flow, reference::State& state) {
  reference::solve_steady(flow, state);
  return reference::intake(flow, state).total_m3_per_day;
}

// Finds the level at which the pit takes in `wanted` at length, starting from a full pit's steady
// state; leaves state there. Within 2 %: it is only a start. guess_m: tried first, if > 0.
void settle(const reference::FlowProblem& flow, reference::State& state, double full_m3_per_day,
            double wanted_m3_per_day, double guess_m = 0) {
  double low = 0, low_intake = 0, high = state.level_m, high_intake = full_m3_per_day;
  for (int i = 0; i < 12; ++i) {
    const double share = (wanted_m3_per_day - low_intake) / (high_intake - low_intake);
    // Straight between the ends, but never so close to one that the other stays for good.
    state.level_m =
        i == 0 && guess_m > 0 ? guess_m : std::lerp(low, high, std::clamp(share, 0.1, 0.9));
    const double intake = steady_m3_per_day(flow, state);
    if (std::abs(intake / wanted_m3_per_day - 1) < 0.02) return;
    (intake < wanted_m3_per_day ? low : high) = state.level_m;
    (intake < wanted_m3_per_day ? low_intake : high_intake) = intake;
  }
}

// The reference's steady intake at some of the levels of a course, from the lowest up; jump_m where
// the wall's resistance jumps.
std::vector<CourseRun::Steady> steady_by_level(const reference::FlowProblem& flow,
                                               reference::State from, const CourseRun& run,
                                               double jump_m) {
  double low = 1e9;
  double high = 0;
  for (const auto& row : run.rows) {
    low = std::min(low, std::max(row.level_m, flow.empty_pond_m));
    high = std::max(high, row.level_m);
  }
  high = std::max(high, low + 1e-3);
  constexpr int points = 8;
  std::vector<double> levels;
  for (int i = 0; i <= points; ++i)
    levels.push_back(std::lerp(low, high, static_cast<double>(i) / points));
  if (jump_m > low && jump_m < high) levels.push_back(jump_m);
  std::sort(levels.begin(), levels.end());
  std::vector<CourseRun::Steady> steady;
  for (auto level = levels.rbegin(); level != levels.rend(); ++level) {
    from.level_m = *level;
    steady.insert(steady.begin(), {from.level_m, steady_m3_per_day(flow, from)});
  }
  return steady;
}

// Nowhere wetter than a thousandth of the full soil's conductivity, what a dry summer leaves, but
// for what stands over a water table.
void dry_out(const reference::FlowProblem& flow, reference::State& state, bool over_table) {
  for (Eigen::Index i = 0; i < state.pressure_m.size(); ++i) {
    const auto& cell = flow.network.cells[static_cast<std::size_t>(i)];
    const double dry =
        -6.9 * flow.network.soils[static_cast<std::size_t>(cell.soil)].capillary_length_m();
    state.pressure_m[i] = over_table ? std::max(state.pressure_m[i], dry) : dry;
  }
  state.level_m = 0;
}

// Between two rows; the level runs straight. An empty pit takes what comes.
struct Stretch {
  double from_m, to_m, dt_day, inflow_m3_per_day;
  bool empty;
};
template <class IntakeAt>
double mean_over(const Stretch& s, IntakeAt intake_at) {
  return (intake_at(s.from_m) + 4 * intake_at(0.5 * (s.from_m + s.to_m)) + intake_at(s.to_m)) / 6;
}

double storage_m2(const Case& c) {  // stone and an open lining
  return 0.6 * std::numbers::pi * c.radius_m * c.radius_m;
}

// The soil's lag as the product steps it, on steady intakes.
struct SoilStore {
  SoilLag lag;
  double soil_flow_m3_per_day;

  template <class IntakeAt>
  double takes_m3(const Stretch& s, const Law::SoilState& soil, IntakeAt intake_at) {
    const double steady = mean_over(s, intake_at);
    double intake = steady;
    if (steady > 0) {
      intake = steady * lagged_share(lagging_part(lag, soil.activity),
                                     soil_flow_m3_per_day / steady, s.dt_day / soil.lag_time_day);
    }
    if (s.empty) intake = std::min(intake, s.inflow_m3_per_day);
    soil_flow_m3_per_day = soil_flow_after_m3_per_day(soil_flow_m3_per_day, intake,
                                                      soil_keeps(soil.lag_time_day, s.dt_day));
    return intake * s.dt_day;
  }
};

}  // namespace

std::string_view name_of(Course course) {
  switch (course) {
    case Course::falling:
      return "falling level";
    case Course::pulses:
      return "daily pulses";
    case Course::filling:
      return "first filling of dry soil";
  }
  return "";
}

namespace {

CourseRun run_course_once(const Case& c, Course course, const CourseOptions& how) {
  const auto begin = std::chrono::steady_clock::now();
  reference::PitProblem problem = reference_problem(c, how.resolution);
  problem.gap_cells = how.gap_cells;
  const auto full_of = [&](const reference::FlowProblem& flow) {
    reference::State full = reference::first_guess(problem, flow);
    steady_m3_per_day(flow, full);
    return full;
  };
  reference::FlowProblem flow = reference::build(problem);
  reference::State full = full_of(flow);
  const double area = storage_m2(c);
  // Of pulses: seven tenths of what it can; less where one would fill more than .15 of the pit.
  const auto pulsed_m3_per_day = [&](double full_m3_per_day) {
    return std::min(0.7 * full_m3_per_day, 3 * 0.15 * area * c.pond_m);
  };
  double full_m3_per_day = reference::intake(flow, full).total_m3_per_day;
  reference::State start = full;
  double wets_m = c.pond_m;  // water in pulses
  if (course == Course::pulses) {
    const double mean = pulsed_m3_per_day(full_m3_per_day), pulse = mean / share_of_day;
    settle(flow, start, full_m3_per_day, mean);
    if (how.gap_cells > 0) {  // where the water stands is known now: a grid for it
      const double settled_m = start.level_m;
      if (pulse < full_m3_per_day) {
        reference::State high = full;
        settle(flow, high, full_m3_per_day, pulse);
        wets_m = high.level_m;
      }
      for (const double level : {settled_m, wets_m})
        if (level > flow.empty_pond_m) problem.more_waters_m.push_back(level);
      flow = reference::build(problem);
      full = full_of(flow);
      full_m3_per_day = reference::intake(flow, full).total_m3_per_day;
      start = full;
      settle(flow, start, full_m3_per_day, pulsed_m3_per_day(full_m3_per_day), settled_m);
    }
  }
  const double half_empty_day = 0.5 * area * c.pond_m / full_m3_per_day;

  reference::TransientOptions options;
  options.every_step = true;
  options.first_step_day = 1e-4;
  options.tolerance = how.tolerance;
  options.level_tolerance_m = how.level_tolerance_m;
  if (how.gap_cells > 0 && course == Course::pulses) {
    const double wall_m = wets_m - (c.front_m < wets_m ? c.front_m : 0.0);
    options.level_tolerance_m =
        std::min(how.level_tolerance_m, std::max(0.1 * wall_m, 0.5 * flow.empty_pond_m));
  }
  options.most_iterations = how.most_iterations;
  std::function<double(double)> inflow = [](double) { return 0.0; };
  CourseRun run;
  run.mean_intake_m3_per_day = full_m3_per_day;
  switch (course) {
    case Course::falling:
      options.end_day = std::min(1.3 * half_empty_day, 20.0);
      break;
    case Course::pulses: {
      options.end_day = 1;
      run.mean_intake_m3_per_day = pulsed_m3_per_day(full_m3_per_day);
      const double rate = run.mean_intake_m3_per_day / share_of_day;
      inflow = [rate](double day) {
        for (const double s : pulse_starts_day)
          if (day >= s && day < s + pulse_day) return rate;
        return 0.0;
      };
      for (const double s : pulse_starts_day) {
        options.stops_day.push_back(s);
        options.stops_day.push_back(s + pulse_day);
      }
      break;
    }
    case Course::filling:
      options.end_day = std::min(2 * half_empty_day, 10.0);
      run.mean_intake_m3_per_day = 0;
      inflow = [full_m3_per_day](double) { return 0.8 * full_m3_per_day; };
      start = reference::first_guess(problem, flow);
      dry_out(flow, start, c.table_below_bottom_m.has_value());
      break;
  }
  reference::TransientResult result =
      reference::run_transient(flow, start, reference::inflow(area, inflow), options);
  run.empty_m = flow.empty_pond_m;
  run.start_m = start.level_m;
  run.days = options.end_day;
  run.iterations = result.iterations;
  for (const auto& row : result.rows)
    run.rows.push_back({row.day, row.level_m, row.inflow_m3, row.taken_in_m3});
  run.steady = steady_by_level(flow, full, run, c.front_m);
  run.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return run;
}

}  // namespace

CourseRun run_course(const Case& c, Course course, const CourseOptions& how) {
  std::vector<CourseOptions> tries;
  if (course == Course::filling) {
    tries.push_back(how);
    tries.back().resolution *= 2;
    tries.back().most_iterations = std::min(how.most_iterations, fine_iterations);
  }
  tries.push_back(how);
  if (how.gap_cells > 0) {
    tries.push_back(how);
    tries.back().gap_cells = 0;
  }
  for (std::size_t i = 0;; ++i) {
    try {
      return run_course_once(c, course, tries[i]);
    } catch (const std::runtime_error&) {
      if (i + 1 == tries.size()) throw;
    }
  }
}

double CourseRun::steady_m3_per_day(double level_m) const {
  std::size_t i = 0;
  while (i + 2 < steady.size() && level_m > steady[i + 1].level_m) ++i;
  const Steady &low = steady[i], &high = steady[i + 1];
  const double share = std::clamp((level_m - low.level_m) / (high.level_m - low.level_m), 0.0, 1.0);
  return std::lerp(low.intake_m3_per_day, high.intake_m3_per_day, share);
}

Taken taken_over(const Case& c, Course course, const CourseRun& run) {
  Law law = law_of(c);
  law.held = course == Course::filling
                 ? std::vector<HeldWater>{}
                 : steady_perched_water(law.pit, law.boundaries, law.resistance_day, run.start_m);
  double mound = 0;
  if (c.table_below_bottom_m) {
    const auto raised_m = [&](double intake) { return edge_mound_m(c, intake); };
    mound = raised_m(course == Course::falling
                         ? intake_with_mound_m3_per_day(law, run.start_m, raised_m)
                         : run.mean_intake_m3_per_day);
  }
  const auto by_law = [&](double level) { return law.intake_m3_per_day(level, mound); };
  const auto by_reference = [&](double level) { return run.steady_m3_per_day(level); };
  // Of pulses, which last a day: m3 are m3/day. A steady state takes in no more.
  const double load = run.rows.back().inflow_m3;
  const auto start_of = [&](auto intake_at) {
    const double at_level = intake_at(std::max(run.start_m, 0.0));
    return course == Course::falling  ? at_level
           : course == Course::pulses ? std::min(at_level, load)
                                      : 0.0;
  };
  const SoilLag lag;
  SoilStore reference_store{lag, start_of(by_reference)};
  SoilStore law_store{lag, start_of(by_law)};
  SoilStore lower_store = law_store, higher_store = law_store;
  const auto by_law_off = [&](double off_m) {
    return [&by_law, off_m](double level) { return by_law(std::max(level + off_m, 0.0)); };
  };
  SoilStore alone = law_store;
  double alone_level_m = std::max(run.start_m, 0.0);
  // The level at the stretch's end closes the pit's balance.
  const auto run_alone = [&](double dt_day, double inflow_m3_per_day) {
    const double from_m = alone_level_m;
    const auto takes_m3 = [&](double to_m, SoilStore& store) {
      const bool empty = to_m < run.empty_m && from_m < 2 * run.empty_m;
      const Stretch stretch{from_m, to_m, dt_day, inflow_m3_per_day, empty};
      return store.takes_m3(stretch, law.soil(lag, 0.5 * (from_m + to_m), mound), by_law);
    };
    const auto left_m3 = [&](double to_m) {
      SoilStore store = alone;
      return storage_m2(c) * (to_m - from_m) - inflow_m3_per_day * dt_day + takes_m3(to_m, store);
    };
    double low_m = 0, high_m = law.pit.rings.back().top_m;
    for (int i = 0; i < 30; ++i) {
      const double middle_m = 0.5 * (low_m + high_m);
      (left_m3(middle_m) > 0 ? high_m : low_m) = middle_m;
    }
    takes_m3(high_m, alone);
    alone_level_m = high_m;
  };
  Taken taken;
  for (std::size_t i = 1; i < run.rows.size(); ++i) {
    const auto& from = run.rows[i - 1];
    const auto& to = run.rows[i];
    const Stretch stretch{std::max(from.level_m, 0.0), std::max(to.level_m, 0.0), to.day - from.day,
                          (to.inflow_m3 - from.inflow_m3) / (to.day - from.day),
                          to.level_m < run.empty_m && from.level_m < 2 * run.empty_m};
    const Law::SoilState soil = law.soil(lag, 0.5 * (stretch.from_m + stretch.to_m), mound);
    taken.law_m3 += law_store.takes_m3(stretch, soil, by_law);
    taken.lower_m3 += lower_store.takes_m3(stretch, soil, by_law_off(-run.empty_m));
    taken.higher_m3 += higher_store.takes_m3(stretch, soil, by_law_off(run.empty_m));
    taken.lagged_m3 += reference_store.takes_m3(stretch, soil, by_reference);
    run_alone(stretch.dt_day, stretch.inflow_m3_per_day);
    taken.level_off = std::max(taken.level_off, std::abs(alone_level_m - stretch.to_m) / c.pond_m);
    const double follows = mean_over(stretch, by_reference);
    taken.followed_m3 +=
        stretch.dt_day * (stretch.empty ? std::min(follows, stretch.inflow_m3_per_day) : follows);
  }
  taken.alone_m3 =
      run.rows.back().inflow_m3 - storage_m2(c) * (alone_level_m - std::max(run.start_m, 0.0));
  taken.reference_m3 = run.rows.back().taken_in_m3;
  taken.days = run.days;
  taken.seconds = run.seconds;
  taken.iterations = run.iterations;
  return taken;
}

Taken taken_over(const Case& c, Course course, const CourseOptions& how) {
  return taken_over(c, course, run_course(c, course, how));
}

}  // namespace restwell::comparison
