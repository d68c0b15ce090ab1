// Pits over time: the volume taken in by the reference, and by the law with its lag at the
// reference's levels.
#pragma once

#include <string_view>

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
  double resolution = 0.5;
  double tolerance = 0.1, level_tolerance_m = 0.01;  // of a time step, see TransientOptions
  int most_iterations = 3000;
};

struct Taken {
  double law_m3 = 0, reference_m3 = 0;
  // What the reference would take in if the soil followed at once, its steady intakes at the
  // levels; and these with the model's lag on them.
  double followed_m3 = 0, lagged_m3 = 0;
  double days = 0, seconds = 0;
  int iterations = 0;
  [[nodiscard]] double error() const { return law_m3 / reference_m3 - 1; }
  [[nodiscard]] double lag() const { return followed_m3 / reference_m3 - 1; }
  [[nodiscard]] double lag_error() const { return lagged_m3 / reference_m3 - 1; }
};

// Near a water table the law feels, as the product does, the mound of a mean intake all through:
// that of the start's steady state, none in soil that has got no water yet.
// Throws std::runtime_error where the reference does not get to the end.
[[nodiscard]] Taken taken_over(const Case& c, Course course, const CourseOptions& options = {});

}  // namespace restwell::comparison
