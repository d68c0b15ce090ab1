// The product's mound (models/groundwater) end to end against the reference solver: a year of water
// standing in pits over an aquifer. What is compared with what:
// tests/reference/comparison/mound.hpp.
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "tests/reference/comparison/mound.hpp"

using namespace restwell::comparison;

namespace {

// Every fourth pit near a water table.
std::vector<Case> some_cases() {
  std::vector<Case> cases;
  int n = 0;
  for (const Case& c : designed_cases(40))
    if (c.table_below_bottom_m && n++ % 4 == 0) cases.push_back(c);
  return cases;
}

}  // namespace

TEST_CASE("with the product's mound the law takes in what the reference does") {
  // The targets of the law near a water table, see published/reference_water_table.cpp.
  for (const Case& c : some_cases()) {
    const Mound m = mound_of(c, 0.5);
    INFO("case " << c.number << ": law " << m.law_m3_per_day << ", reference "
                 << m.reference_m3_per_day << ", without a mound " << m.law_no_mound_m3_per_day);
    CHECK(std::abs(m.law_m3_per_day / m.reference_m3_per_day - 1) <
          (c.lower_day > 1.0 ? 0.15 : 0.30));
  }
}

TEST_CASE("heads under a pit are those of theory, and so is what the product's mound adds") {
  int compared = 0;
  for (const Case& c : some_cases()) {
    const Mound m = mound_of(c, 0.5);
    INFO("case " << c.number << ": base " << m.base_rise_m << ", theory " << m.theory_rise_m
                 << ", product " << m.product_rise_m);
    // A square for a disc moves the logarithm by .01, the mound's part of the aquifer's thickness
    // by up to ln(1.5)/2 of about 5.
    CHECK(m.product_rise_m ==
          Approx(product_rise_by_theory_m(c, m.reference_m3_per_day)).epsilon(0.05));
    // The theory is for a point source. On its way down by D the water spreads, over the radius D
    // at most: evenly over that the images' sum of about 3 is less by D^2/(2 b^2), 10 % at D = .77
    // b. Millimetres are lost in the grid's cells about the table.
    if (*c.table_below_bottom_m > 3.9 || m.base_rise_m < 0.02) continue;
    ++compared;
    CHECK(m.base_rise_m == Approx(m.theory_rise_m).epsilon(0.10));
    CHECK(m.product_rise_m > m.base_rise_m);
  }
  CHECK(compared >= 6);
}

TEST_CASE("the steady state that stands for a year is the year's own") {
  // Cooper & Jacob's logarithm is within 1 % of the well function where u < .05, as it is all over
  // the pit; half a grid's resolution 2 %.
  for (const Case& c : some_cases()) {
    if (c.number != 54 && c.number != 150) continue;
    CHECK(mound_of(c, 0.5).reference_m3_per_day ==
          Approx(intake_after_a_year_m3_per_day(c)).epsilon(0.03));
  }
}
