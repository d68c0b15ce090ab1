// The yearly temperature wave in the ground against textbooks and against the heat equation.
#include "models/soil_temperature.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "models/constants.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;
using std::numbers::pi;

namespace {

const SoilTemperature usual{};
constexpr const char* textbook = "Carslaw & Jaeger 1959; Hillel 1998 (textbook form)";

double swing_at(double depth_m) {
  const SeasonAtDepth s = season_at_depth(usual, depth_m);
  return std::hypot(s.cosine_c, s.sine_c);
}
double warmest_day_at(double depth_m) {
  const SeasonAtDepth s = season_at_depth(usual, depth_m);
  double day = std::atan2(s.sine_c, s.cosine_c) * days_per_year / (2 * pi);
  while (day < usual.surface_warmest_day_of_year - 1.0) day += days_per_year;
  return day;
}

}  // namespace

TEST_CASE("the wave is damped and late with depth as in the textbooks") {
  const double d = damping_depth_m(usual);
  // Hillel: the yearly damping depth is sqrt(365) = 19 times the daily one, which is .08-.15 m.
  CHECK(d > 19 * 0.08);
  CHECK(d < 19 * 0.15);
  test::check_row("surface", swing_at(0.0), usual.surface_swing_c, 1e-12, textbook);
  test::check_row("1/e at the damping depth", swing_at(d), usual.surface_swing_c / std::exp(1.0),
                  1e-12, textbook);
  // e^-pi = 4 %: at pi damping depths it is warmest when the surface is coldest.
  test::check_row("4 % at pi d", swing_at(pi * d), 0.0432139 * usual.surface_swing_c, 1e-6,
                  textbook);
  test::check_row("half a year late at pi d",
                  warmest_day_at(pi * d) - usual.surface_warmest_day_of_year, days_per_year / 2,
                  1e-9, textbook);
  test::check_row("58 days late at d", warmest_day_at(d) - usual.surface_warmest_day_of_year,
                  days_per_year / (2 * pi), 1e-9, textbook);
}

TEST_CASE("a time-stepped column of the heat equation gives the same wave") {
  // Explicit differences on 20 m in 5 cm steps, surface driven for eight years.
  constexpr double dz = 0.05, depth = 20.0;
  const double dt = 0.4 * dz * dz / usual.diffusivity_m2_per_day;
  const auto cells = static_cast<std::size_t>(std::lround(depth / dz));
  std::vector<double> t(cells + 1, usual.mean_c), next = t;
  const double end = 8.0 * days_per_year;
  const double measured[] = {0.5, 1.0, 2.0, 4.0};
  std::vector<double> worst(4, 0.0);
  for (double now = 0.0; now < end; now += dt) {
    t[0] = temperature_c(season_at_depth(usual, 0.0), now);
    for (std::size_t i = 1; i < cells; ++i) next[i] = t[i] + 0.4 * (t[i - 1] - 2 * t[i] + t[i + 1]);
    next[cells] = next[cells - 1];
    t.swap(next);
    if (now < end - days_per_year) continue;
    for (std::size_t k = 0; k < 4; ++k) {
      const double here = t[static_cast<std::size_t>(std::lround(measured[k] / dz))];
      const double closed = temperature_c(season_at_depth(usual, measured[k]), now + dt);
      worst[k] = std::max(worst[k], std::abs(here - closed));
    }
  }
  for (std::size_t k = 0; k < 4; ++k) {
    INFO(measured[k]);
    CHECK(worst[k] < 0.02 * usual.surface_swing_c);
  }
}

TEST_CASE("the default leaves six degrees at the middle of a usual pit") {
  // Assumed before depth counted: 12 +- 6 degC; the middle of 7 ft of water under an inlet at 3 ft.
  CHECK(swing_at(2.0) == Approx(6.0).epsilon(0.01));
}
