#include "tests/reference/comparison/courses.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <functional>
#include <numbers>
#include <stdexcept>
#include <vector>

#include "tests/reference/comparison/compare.hpp"
#include "tests/reference/transient.hpp"

namespace restwell::comparison {

namespace {

constexpr double pulse_starts_day[] = {7.0 / 24, 12.0 / 24, 19.0 / 24};
constexpr double pulse_day = 2.0 / 24;

double steady_m3_per_day(const reference::FlowProblem& flow, reference::State& state) {
  reference::solve_steady(flow, state);
  return reference::intake(flow, state).total_m3_per_day;
}

// Finds the level at which the pit takes in `wanted` at length, starting from a full pit's steady
// state; leaves state there. Within 2 %: it is only a start.
void settle(const reference::FlowProblem& flow, reference::State& state, double full_m3_per_day,
            double wanted_m3_per_day) {
  double low = 0, low_intake = 0, high = state.level_m, high_intake = full_m3_per_day;
  for (int i = 0; i < 12; ++i) {
    const double share = (wanted_m3_per_day - low_intake) / (high_intake - low_intake);
    // Straight between the ends, but never so close to one that the other stays for good.
    state.level_m = std::lerp(low, high, std::clamp(share, 0.1, 0.9));
    const double intake = steady_m3_per_day(flow, state);
    if (std::abs(intake / wanted_m3_per_day - 1) < 0.02) return;
    (intake < wanted_m3_per_day ? low : high) = state.level_m;
    (intake < wanted_m3_per_day ? low_intake : high_intake) = intake;
  }
}

// The reference's steady intake at the levels of a course, straight between some of them.
class SteadyByLevel {
 public:
  SteadyByLevel(const reference::FlowProblem& flow, reference::State from,
                const reference::TransientResult& course) {
    double low = 1e9;
    double high = 0;
    for (const auto& row : course.rows) {
      low = std::min(low, std::max(row.level_m, flow.empty_pond_m));
      high = std::max(high, row.level_m);
    }
    high = std::max(high, low + 1e-3);
    for (int i = points; i >= 0; --i) {
      from.level_m = std::lerp(low, high, static_cast<double>(i) / points);
      level_m_.insert(level_m_.begin(), from.level_m);
      intake_.insert(intake_.begin(), steady_m3_per_day(flow, from));
    }
  }
  [[nodiscard]] double intake_m3_per_day(double level_m) const {
    const double place =
        std::clamp((level_m - level_m_.front()) / (level_m_.back() - level_m_.front()) * points,
                   0.0, points - 1e-9);
    const auto i = static_cast<std::size_t>(place);
    return std::lerp(intake_[i], intake_[i + 1], place - static_cast<double>(i));
  }

 private:
  static constexpr int points = 8;
  std::vector<double> level_m_, intake_;
};

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

Taken taken_over(const Case& c, Course course, const CourseOptions& how) {
  const auto begin = std::chrono::steady_clock::now();
  const reference::PitProblem problem = reference_problem(c, how.resolution);
  const reference::FlowProblem flow = reference::build(problem);
  const reference::State guess = reference::first_guess(problem, flow);
  reference::State full = guess;
  const double full_m3_per_day = steady_m3_per_day(flow, full);
  reference::State start = full;
  const double area = 0.6 * std::numbers::pi * c.radius_m * c.radius_m;  // stone and an open lining
  const double half_empty_day = 0.5 * area * c.pond_m / full_m3_per_day;

  reference::TransientOptions options;
  options.every_step = true;
  options.first_step_day = 1e-4;
  options.tolerance = how.tolerance;
  options.level_tolerance_m = how.level_tolerance_m;
  options.most_iterations = how.most_iterations;
  std::function<double(double)> inflow = [](double) { return 0.0; };
  double mean_intake = full_m3_per_day;
  switch (course) {
    case Course::falling:
      options.end_day = std::min(1.3 * half_empty_day, 20.0);
      break;
    case Course::pulses: {
      // Seven tenths of what it can; less where one pulse would fill more than .15 of the pit.
      options.end_day = 1;
      mean_intake = std::min(0.7 * full_m3_per_day, 3 * 0.15 * area * c.pond_m);
      settle(flow, start, full_m3_per_day, mean_intake);
      const double rate = mean_intake / (std::size(pulse_starts_day) * pulse_day);
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
      mean_intake = 0;
      inflow = [full_m3_per_day](double) { return 0.8 * full_m3_per_day; };
      start = guess;
      dry_out(flow, start, c.table_below_bottom_m.has_value());
      break;
  }
  const reference::TransientResult result =
      reference::run_transient(flow, start, reference::inflow(area, inflow), options);

  const Law law = law_of(c);
  const double mound = c.table_below_bottom_m ? edge_mound_m(c, mean_intake) : 0.0;
  const SteadyByLevel steady(flow, full, result);
  Taken taken;
  for (std::size_t i = 1; i < result.rows.size(); ++i) {
    const auto& from = result.rows[i - 1];
    const auto& to = result.rows[i];
    const double dt = to.day - from.day;
    const double inflow_now = (to.inflow_m3 - from.inflow_m3) / dt;
    // Over the step, the level straight between; an empty pit takes what comes.
    const auto volume = [&](auto intake_at) {
      const auto at = [&](double level) {
        const double takes = intake_at(std::max(level, 0.0));
        return level < flow.empty_pond_m ? std::min(takes, inflow_now) : takes;
      };
      return dt / 6 *
             (at(from.level_m) + 4 * at(0.5 * (from.level_m + to.level_m)) + at(to.level_m));
    };
    taken.law_m3 += volume([&](double level) { return law.intake_m3_per_day(level, mound); });
    taken.followed_m3 += volume([&](double level) { return steady.intake_m3_per_day(level); });
  }
  taken.reference_m3 = result.rows.back().taken_in_m3;
  taken.days = options.end_day;
  taken.iterations = result.iterations;
  taken.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return taken;
}

}  // namespace restwell::comparison
