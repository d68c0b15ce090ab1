// Pits over time: the volume taken in by the reference, and by the law with its lag at the
// reference's levels.
#pragma once

#include <algorithm>
#include <string_view>
#include <vector>

#include "tests/reference/comparison/cases.hpp"

namespace restwell::comparison {

enum class Course {
  falling,  // from the full pit's steady state, no more inflow: the level falls to about half
  pulses,   // from the steady state of the mean load: a day with three pulses
  filling,  // a steady inflow into an empty pit in dry soil
};
inline constexpr Course all_courses[] = {Course::falling, Course::pulses, Course::filling};
[[nodiscard]] std::string_view name_of(Course course);

struct CourseOptions {
  double resolution = 0.5;  // filling: twice as fine, for the wetting front
  double gap_cells = 20;    // see PitProblem; with the resolution: cells of a tenth of the gap
  double tolerance = 0.1, level_tolerance_m = 0.01;  // of a time step, see TransientOptions
  int most_iterations = 3000;
};

// What the reference does over a course.
struct CourseRun {
  struct Row {
    double day, level_m, inflow_m3, taken_in_m3;  // m3 since the start
  };
  struct Steady {
    double level_m, intake_m3_per_day;
  };
  std::vector<Row> rows;              // the first at the start
  std::vector<Steady> steady;         // at levels all over the course's, rising
  double start_m = 0;                 // level
  double empty_m = 0;                 // lower than this the pit counts as empty
  double mean_intake_m3_per_day = 0;  // that raised the mound at the start
  double days = 0, seconds = 0;
  int iterations = 0;
  // Straight between some of them.
  [[nodiscard]] double steady_m3_per_day(double level_m) const;
};

struct Taken {
  double law_m3 = 0, reference_m3 = 0;
  // By the law with the level 2 mm lower and higher all through: over that height the reference
  // fades its bottom's intake, so its level says no more.
  double lower_m3 = 0, higher_m3 = 0;
  // What the reference would take in if the soil followed at once, its steady intakes at the
  // levels; and these with the model's lag on them.
  double followed_m3 = 0, lagged_m3 = 0;
  // By the law with levels of its own, run from the same start with the same inflow as the product
  // runs; and how far its level comes away from the reference's, over the pit's depth.
  double alone_m3 = 0, level_off = 0;
  double days = 0, seconds = 0;
  int iterations = 0;
  [[nodiscard]] double error() const { return law_m3 / reference_m3 - 1; }
  [[nodiscard]] double alone_error() const { return alone_m3 / reference_m3 - 1; }
  // The least at a level within those 2 mm.
  [[nodiscard]] double error_within() const {
    return std::clamp(reference_m3, lower_m3, std::max(lower_m3, higher_m3)) / reference_m3 - 1;
  }
  [[nodiscard]] double lag() const { return followed_m3 / reference_m3 - 1; }
  [[nodiscard]] double lag_error() const { return lagged_m3 / reference_m3 - 1; }
};

// Filling no finer, or without gap_cells, where the reference does not get to the end with that.
// Throws std::runtime_error where it does not at all.
[[nodiscard]] CourseRun run_course(const Case& c, Course course, const CourseOptions& options = {});
// Near a water table the law feels, as the product does, the mound of its own mean intake all
// through: that of the start's steady state by the law, of the load, none in soil that has got no
// water yet. So it does with perched water.
[[nodiscard]] Taken taken_over(const Case& c, Course course, const CourseRun& run);
[[nodiscard]] Taken taken_over(const Case& c, Course course, const CourseOptions& options = {});

}  // namespace restwell::comparison
