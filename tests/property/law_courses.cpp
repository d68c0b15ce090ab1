// The intake law and the soil's lag over time against the reference solver, on a few pits of the
// designed set. The whole set: tests/reference/README.md.
//
// Three things are told apart: what the soil's lag does (the reference's steady intakes at the
// course's levels against what it took in), how much of it the model's lag mends, and the law with
// the lag.
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/reference/comparison/compare.hpp"
#include "tests/reference/comparison/courses.hpp"

using namespace restwell::comparison;
namespace reference = restwell::reference;

namespace {

constexpr double target = 0.30;  // at worst
// What the coarser grid and time step of the courses may add, on either side: doubling the
// resolution is held to move a steady intake by 2 %.
constexpr double slack = 0.02;

Case case_of(int number, unsigned long long seed = first_seed) {
  return designed_cases(40, seed)[static_cast<std::size_t>(number - 1)];
}

}  // namespace

TEST_CASE("over time the law with the soil's lag takes what the reference takes") {
  for (const Course course : all_courses) {
    double misses_without = 0, misses_with = 0;
    for (int number = 1; number <= static_cast<int>(std::size(all_regimes)); ++number) {
      const Case c = case_of(number);
      const Taken t = taken_over(c, course);
      INFO("case " << number << ", " << name_of(c.regime) << ", " << name_of(course) << ": law "
                   << t.law_m3 << ", reference " << t.reference_m3 << ", had it followed at once "
                   << t.followed_m3 << ", then with the lag " << t.lagged_m3 << " m3");
      CHECK(std::abs(t.error()) < target);
      CHECK(std::abs(t.lag_error()) < target);
      // Soil still wet from a fuller pit takes less, dry soil more.
      if (course == Course::falling) CHECK(t.lag() > -slack);
      if (course == Course::filling) CHECK(t.lag() < slack);
      misses_without += std::abs(t.lag());
      misses_with += std::abs(t.lag_error());
    }
    INFO(name_of(course));
    if (course != Course::pulses) CHECK(misses_with < misses_without);
  }
}

TEST_CASE("clean dry soil takes more at first: the lag knows it, to the target") {
  const Taken t = taken_over(case_of(38), Course::filling);
  CHECK(t.lag() < -target);
  CHECK(std::abs(t.error()) < target);
}

TEST_CASE("dry soil around a tall pit clogged to a front takes more at first") {
  CHECK(std::abs(taken_over(case_of(171), Course::filling).error()) < target);
}
TEST_CASE("dry soil in two layers takes more at first, and holds no water up yet") {
  CHECK(std::abs(taken_over(case_of(167), Course::filling).error()) < target);
}
TEST_CASE("a pit emptying close over a table, whose mound stays as it was") {
  CHECK(std::abs(taken_over(case_of(198), Course::falling).error()) < target);
}
TEST_CASE("a shallow pond close over a water table") {
  CHECK(std::abs(taken_over(case_of(54), Course::pulses).error()) < target);
}
TEST_CASE("pulses that wet a narrow clean strip above a clogged wall") {
  CHECK(std::abs(taken_over(case_of(183), Course::pulses).error()) < target);
}
TEST_CASE("pulses on a fine layer right above a faster one: its foot stays dry") {
  CHECK(std::abs(taken_over(case_of(155), Course::pulses).error()) < target);
}
// At the foot, and above a front.
TEST_CASE("pulses that wet millimeters of a clean wall") {
  for (const int number : {94, 118})
    CHECK(std::abs(taken_over(case_of(number), Course::pulses).error()) < target);
}
TEST_CASE("at a level within what the reference tells they take what it takes") {
  for (const int number : {94, 118})
    CHECK(std::abs(taken_over(case_of(number), Course::pulses).error_within()) < 0.02);
}

TEST_CASE("a pit that falls over perched water, in soil with a high fringe") {
  for (const int number : {11, 17})
    CHECK(std::abs(taken_over(case_of(number), Course::falling).error()) < 0.5 * target);
}

TEST_CASE("doubling the courses' resolution moves the reference's volumes by less than 2 percent") {
  for (const int number : {1, 3}) {  // even, clogged to a front
    for (const Course course : {Course::falling, Course::filling}) {
      CourseOptions fine;
      fine.resolution *= 2;
      fine.most_iterations *= 4;
      const Taken coarse = taken_over(case_of(number), course);
      INFO("case " << number << ", " << name_of(course));
      CHECK(taken_over(case_of(number), course, fine).reference_m3 / coarse.reference_m3 ==
            Approx(1.0).margin(0.02));
    }
  }
}
