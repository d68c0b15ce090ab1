// One case by the law and by the reference solver.
#pragma once

#include <string>
#include <vector>

#include "tests/reference/comparison/cases.hpp"
#include "tests/reference/pit.hpp"

namespace restwell::comparison {

// As the product lays a pit out: rings of at most 4 in, soil of each by thickness.
[[nodiscard]] Pit law_pit(const Case& c);
// Resistances of its rings, bottom last.
[[nodiscard]] std::vector<double> law_resistances(const Case& c, const Pit& pit);
// Steady intake [m3/day] by the law at a level over the bottom.
[[nodiscard]] double law_intake_m3_per_day(const Case& c, double level_m);

[[nodiscard]] reference::PitProblem reference_problem(const Case& c, double resolution = 1.0);

// Transients: intake over a span by the reference, and by the law at the reference's levels.
enum class Course {
  falling,  // no more inflow: the level falls to about half
  pulses,   // three pulses a day for two days, the second counts
  filling,  // a steady inflow into an empty pit in dry soil
};
inline constexpr Course all_courses[] = {Course::falling, Course::pulses, Course::filling};
[[nodiscard]] std::string_view name_of(Course course);
struct Taken {
  double law_m3 = 0, reference_m3 = 0;
  double seconds = 0;
};
// steady_m3_per_day: the reference's at the case's pond.
[[nodiscard]] Taken taken_over(const Case& c, Course course, double steady_m3_per_day);

struct Spread {
  std::size_t count = 0;
  double median = 0, percentile_95 = 0, worst = 0;
};
// Of the magnitudes of relative errors.
[[nodiscard]] Spread spread_of(std::vector<double> errors);
// Share of the pairs more than `apart` from each other that both put in the same order.
[[nodiscard]] double same_order(const std::vector<double>& law,
                                const std::vector<double>& reference, double apart);

}  // namespace restwell::comparison
