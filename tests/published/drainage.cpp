// The rule for how long a wall's soil drains before air enters, against the reference solver.
#include "models/drainage.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <string_view>
#include <vector>

#include "tests/reference/drainage.hpp"

using namespace restwell;

namespace {

namespace ref = restwell::reference;

// The rule was fitted at these.
struct Pond {
  double level_m = 2.1, resistance_day = 20.0;
};

// Behind the middle and the lower part of the wall and under the bottom, all clogged alike.
struct Drained {
  double middle_day, low_day, bottom_day;
};
Drained reference_days(const Texture& t, const Pond& pond, double end_day) {
  ref::DrainageQuestion q;
  q.pit.pond_m = pond.level_m;
  q.pit.depth_m = pond.level_m + 0.9;
  q.pit.layers = {
      {1e9, ref::Soil::van_genuchten(field_saturated_share * t.ks_m_per_day, t.vg_alpha_per_m,
                                     t.vg_n, t.theta_s, t.theta_r, t.vg_n < 2.0 ? 0.02 : 0.0)}};
  q.pit.wall_resistance_day = ref::uniform(pond.resistance_day);
  q.pit.bottom_resistance_day = pond.resistance_day;
  q.pit.far_m = q.pit.below_bottom_m = 6;
  q.pit.resolution = 0.5;
  q.pit.specific_storage_per_m = 1e-3;
  q.places = {{0.95, 1.15, false}, {0.4, 0.6, false}, {0, 0, true}};
  q.end_day = end_day;
  const std::vector<double> days = ref::drainage_days(q);
  return {days[0], days[1], days[2]};
}
double rule_day(const Texture& t, double below_water_m) {
  return drainage_day({.factor = 1.0, .longest_day = 1e9},
                      {.kfs_m_per_day = field_saturated_share * t.ks_m_per_day,
                       .alpha_per_m = t.gardner_alpha_per_m},
                      below_water_m);
}
void check_within(double rule, double reference, double factor) {
  constexpr double margin_day = 0.33;
  INFO("rule " << rule << " days, reference " << reference << " days");
  CHECK(rule <= factor * reference + margin_day);
  CHECK(rule >= reference / factor - margin_day);
}
void check_texture(std::string_view name, double end_day, double factor, const Pond& pond = {}) {
  const Texture& t = *find_texture(name);
  const Drained d = reference_days(t, pond, end_day);
  INFO(name << ", " << pond.level_m << " m, " << pond.resistance_day << " days");
  check_within(rule_day(t, pond.level_m - 1.05), d.middle_day, factor);
  check_within(rule_day(t, pond.level_m - 0.5), d.low_day, factor);
  check_within(rule_day(t, under_bottom_m), d.bottom_day, factor);
}

}  // namespace

TEST_CASE("the drainage rule is within the error it states, sand to clay loam") {
  check_texture("sand", 2.0, 2.5);
  check_texture("loamy sand", 3.0, 2.5);
  check_texture("sandy loam", 6.0, 2.5);
  check_texture("loam", 40.0, 2.5);
  check_texture("silt", 150.0, 2.5);
  check_texture("silt loam", 150.0, 2.5);
  check_texture("sandy clay loam", 60.0, 2.5);
  check_texture("clay loam", 400.0, 2.5);
}

TEST_CASE("the drainage rule is within its error under other ponds and behind other layers") {
  for (const Pond& pond : {Pond{1.3, 20.0}, Pond{3.5, 20.0}, Pond{2.1, 5.0}, Pond{2.1, 1.0}}) {
    check_texture("sand", 2.0, 2.5, pond);
    check_texture("sandy loam", 6.0, 2.5, pond);
    check_texture("loam", 40.0, 2.5, pond);
    check_texture("silt loam", 150.0, 2.5, pond);
  }
}

TEST_CASE("known miss: the same in clay loam", "[!shouldfail]") {  // under the bottom sooner by 2.9
  check_texture("clay loam", 400.0, 2.5, {2.1, 1.0});
}
TEST_CASE("known miss: clay loam below a deep pond drains before it does", "[!shouldfail]") {
  check_texture("clay loam", 400.0, 2.5, {3.5, 20.0});  // low on the wall not within 400 days
}

TEST_CASE("known miss: the rule within half as much again for silt and for clay loam",
          "[!shouldfail]") {  // they conduct alike; conductivity alone cannot tell them apart
  check_texture("silt", 150.0, 1.5);
  check_texture("clay loam", 400.0, 1.5);
}

TEST_CASE("fine clayey soil does not drain to the threshold within a year") {
  for (const char* name : {"silty clay loam", "sandy clay"}) {
    INFO(name);
    CHECK(std::isinf(reference_days(*find_texture(name), {}, 365.0).low_day));
  }
}

TEST_CASE("in clay gravity never lets enough air in") {
  // Suction at 10 % of air by van Genuchten's retention curve: far more than gravity makes.
  const auto suction_m = [](const Texture& t) {
    const double m = 1.0 - 1.0 / t.vg_n, full = 1.0 - 0.10 / (t.theta_s - t.theta_r);
    return std::pow(std::pow(full, -1.0 / m) - 1.0, 1.0 / t.vg_n) / t.vg_alpha_per_m;
  };
  CHECK(suction_m(*find_texture("sand")) < 0.1);
  CHECK(suction_m(*find_texture("silt loam")) < 1.0);
  CHECK(suction_m(*find_texture("clay")) > 50.0);
  CHECK(suction_m(*find_texture("silty clay")) > 50.0);
  const Soil slow{.kfs_m_per_day = 0.0024, .alpha_per_m = 1.0};
  CHECK(drainage_day({}, slow, 1.0) == Drainage{}.longest_day);
}

TEST_CASE("the rule by hand") {
  // derived: .25 (z + .04) at 1 m/day; deeper and tighter is slower; the factor scales.
  CHECK(drainage_day({}, {.kfs_m_per_day = 1.0}, 1.0) == Approx(0.25 * 1.04));
  CHECK(drainage_day({.factor = 2.0}, {.kfs_m_per_day = 1.0}, 1.0) == Approx(0.50 * 1.04));
  CHECK(drainage_day({.factor = 0.0}, {.kfs_m_per_day = 0.01}, 1.0) == 0.0);
  CHECK(drainage_day({}, {.kfs_m_per_day = 0.1}, 1.0) >
        drainage_day({}, {.kfs_m_per_day = 0.2}, 1.0));
  CHECK(drainage_day({}, {.kfs_m_per_day = 0.1}, 1.0) >
        drainage_day({}, {.kfs_m_per_day = 0.1}, 0.5));
}
