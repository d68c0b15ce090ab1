// Trench: areas, and the series law in plane geometry.
#include "models/trench.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "models/pit.hpp"

using namespace restwell;

namespace {

Pit field_of(int rings, const TrenchPlan& plan, const Soil& soil = {}, double gravel_m = 0.3,
             double height_m = 0.9) {
  Pit field{.geometry = {.depth_m = gravel_m, .gravel_porosity = 0.35, .trench = plan},
            .rings = {},
            .bottom_soil = soil};
  for (int i = 0; i < rings; ++i) {
    field.rings.push_back({height_m * i / rings, height_m * (i + 1) / rings, soil});
  }
  return field;
}

}  // namespace

TEST_CASE("areas of a drain field") {
  // derived: two trenches of 10 m by 0.5 m, gravel 0.3 m: bottom 2 5 m2, perimeter 2 21 m
  const Pit field = field_of(9, {.length_m = 10.0, .width_m = 0.5, .count = 2});
  CHECK(bottom_area_m2(field.geometry) == Approx(10.0));
  CHECK(perimeter_m(field.geometry) == Approx(42.0));
  CHECK(wall_area_m2(field.geometry) == Approx(42.0 * 0.3));
  CHECK(storage_area_m2(field.geometry) == Approx(0.35 * 10.0));
  double wall = 0.0;
  for (const Ring& ring : field.rings) wall += ring_area_m2(field.geometry, ring);
  CHECK(wall == Approx(42.0 * 0.9));
}

TEST_CASE("what is round does not count in a drain field") {
  Pit field = field_of(9, {});
  const double before = uniform_intake_m3_per_day(field, 3.0, 0.3);
  field.geometry.radius_m = 5.0;
  field.geometry.lining_inner_radius_m = field.geometry.lining_outer_radius_m = 4.0;
  field.geometry.inside_open_share = 0.1;
  CHECK(uniform_intake_m3_per_day(field, 3.0, 0.3) == before);
  CHECK(storage_area_m2(field.geometry) == Approx(0.35 * trench_area_m2(*field.geometry.trench)));
}

TEST_CASE("clean drain field: width and spread add up to the plane solution") {
  const Soil soil{.kfs_m_per_day = 0.25, .alpha_per_m = 12.0};
  const TrenchPlan plan{.length_m = 1e6, .width_m = 0.6, .count = 1};  // ends do not count
  const Pit field = field_of(9, plan, soil);
  for (const double pond : {0.05, 0.3, 0.75}) {
    // derived: equation (4) with the wall's and the bottom's part of E put together again
    const double spread = 1.33 * pond + 0.75 / 12.0 + 0.47 * std::sqrt(pond * 0.6);
    const double expected = soil.kfs_m_per_day * 1e6 * (0.6 + 2.0 * spread);
    CHECK(uniform_intake_m3_per_day(field, 0.0, pond) == Approx(expected).epsilon(1e-5));
    CHECK(spread > pond);  // wider than Kozeny's canal, whose banks are no walls
  }
}

TEST_CASE("far more clogged than the soil, the layer alone decides") {
  // derived: alpha H large and R Kfs larger still: q -> (h + |psi|)/R with |psi| << h
  const Soil soil{.kfs_m_per_day = 3.0, .alpha_per_m = 3000.0};
  const TrenchPlan plan{.length_m = 20.0, .width_m = 0.6, .count = 1};
  const Pit field = field_of(18, plan, soil);
  const double r = 3000.0, pond = 0.3;
  const double layer_alone =
      trench_area_m2(plan) * (pond + 0.02) / r + trench_perimeter_m(plan) * pond * pond / 2 / r;
  CHECK(uniform_intake_m3_per_day(field, r, pond) == Approx(layer_alone).epsilon(0.03));
}

TEST_CASE("a drain field takes in more with water, length and count, less with clogging") {
  const Soil soil{.kfs_m_per_day = 0.1, .alpha_per_m = 4.0};
  const auto takes = [&](const TrenchPlan& plan, double r, double pond) {
    return uniform_intake_m3_per_day(field_of(18, plan, soil), r, pond);
  };
  const TrenchPlan plan{.length_m = 12.0, .width_m = 0.6, .count = 2};
  for (const double r : {0.2, 5.0, 50.0, 300.0}) {
    double last = 0.0;
    for (double pond = 0.01; pond < 0.9; pond += 0.01) {
      const double now = takes(plan, r, pond);
      CHECK(now > last);
      last = now;
    }
    CHECK(takes({.length_m = 13.0, .width_m = 0.6, .count = 2}, r, 0.3) > takes(plan, r, 0.3));
    CHECK(takes({.length_m = 12.0, .width_m = 0.6, .count = 3}, r, 0.3) ==
          Approx(1.5 * takes(plan, r, 0.3)));
    CHECK(takes(plan, 2.0 * r, 0.3) < takes(plan, r, 0.3));
  }
}

TEST_CASE("a higher water table never lets a field take more, and presses in over the pond") {
  const Pit field = field_of(9, {.length_m = 12.0, .width_m = 0.6, .count = 2});
  for (const double r : {0.0, 5.0, 100.0}) {
    double last = 1e9;
    for (double table = -3.0; table <= 0.9; table += 0.1) {
      const double now = uniform_intake_m3_per_day(field, r, 0.3, {.table_m = table});
      CHECK(now <= last * (1 + 1e-12));
      if (std::abs(table - 0.3) > 1e-6) CHECK((now < 0.0) == (table > 0.3));
      last = now;
    }
  }
}
