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

// Between two rows; the level runs straight. An empty pit takes what comes.
struct Stretch {
  double from_m, to_m, dt_day, inflow_m3_per_day;
  bool empty;
};
template <class IntakeAt>
double mean_over(const Stretch& s, IntakeAt intake_at) {
  return (intake_at(s.from_m) + 4 * intake_at(0.5 * (s.from_m + s.to_m)) + intake_at(s.to_m)) / 6;
}

// The soil's lag as the product steps it, on steady intakes.
struct SoilStore {
  const Law& law;
  SoilLag lag;
  double soil_flow_m3_per_day;

  template <class IntakeAt>
  double takes_m3(const Stretch& s, IntakeAt intake_at) {
    const double level = 0.5 * (s.from_m + s.to_m);
    const double steady = mean_over(s, intake_at);
    const double clean = uniform_intake_m3_per_day(law.pit, 0, level);
    const double time = lag_time_day(lag, law.pit, level);
    const double gain =
        gain_over_step(lag_gain(lag, clean > 0 ? steady / clean : 0), time, s.dt_day);
    double intake = std::max(0.0, steady + gain * (steady - soil_flow_m3_per_day));
    if (s.empty) intake = std::min(intake, s.inflow_m3_per_day);
    soil_flow_m3_per_day =
        soil_flow_after_m3_per_day(soil_flow_m3_per_day, intake, soil_keeps(time, s.dt_day));
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
  const auto by_law = [&](double level) { return law.intake_m3_per_day(level, mound); };
  const auto by_reference = [&](double level) { return steady.intake_m3_per_day(level); };
  // Of pulses, which last a day: m3 are m3/day. A steady state takes in no more.
  const double load = result.rows.back().inflow_m3;
  const auto start_of = [&](auto intake_at) {
    const double at_level = intake_at(std::max(start.level_m, 0.0));
    return course == Course::falling  ? at_level
           : course == Course::pulses ? std::min(at_level, load)
                                      : 0.0;
  };
  SoilStore law_store{law, {}, start_of(by_law)};
  SoilStore reference_store{law, {}, start_of(by_reference)};
  Taken taken;
  for (std::size_t i = 1; i < result.rows.size(); ++i) {
    const auto& from = result.rows[i - 1];
    const auto& to = result.rows[i];
    const Stretch stretch{std::max(from.level_m, 0.0), std::max(to.level_m, 0.0), to.day - from.day,
                          (to.inflow_m3 - from.inflow_m3) / (to.day - from.day),
                          to.level_m < flow.empty_pond_m && from.level_m < 2 * flow.empty_pond_m};
    taken.law_m3 += law_store.takes_m3(stretch, by_law);
    taken.lagged_m3 += reference_store.takes_m3(stretch, by_reference);
    const double follows = mean_over(stretch, by_reference);
    taken.followed_m3 +=
        stretch.dt_day * (stretch.empty ? std::min(follows, stretch.inflow_m3_per_day) : follows);
  }
  taken.reference_m3 = result.rows.back().taken_in_m3;
  taken.days = options.end_day;
  taken.iterations = result.iterations;
  taken.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return taken;
}

}  // namespace restwell::comparison
