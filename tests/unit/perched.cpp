// Water on a tight layer: the closed form against its own flow equation, its limits, and the pit.
#include "models/perched.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "sim/layout.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
using std::numbers::pi;

namespace {

Pit pit_of(std::size_t rings, double depth_m, const Soil& soil) {
  Pit pit;
  pit.geometry.radius_m = 0.9;
  pit.geometry.depth_m = depth_m;
  pit.bottom_soil = soil;
  for (std::size_t i = 0; i < rings; ++i) {
    const double step = depth_m / static_cast<double>(rings);
    pit.rings.push_back({step * static_cast<double>(i), step * static_cast<double>(i + 1), soil});
  }
  return pit;
}

}  // namespace

TEST_CASE("the perched head solves steady flow outwards over a leaking layer") {
  for (const double a : {0.9, 2.5}) {  // narrower and wider than the seepage comes down
    for (const double alpha_per_m : {0.0, 2.0}) {
      const double rate = 1.2;
      const TightLayer layer{-1.0, 0.3, 0.01, alpha_per_m};
      const double fringe = alpha_per_m > 0.0 ? 1.0 / alpha_per_m : 0.0;
      // Inwards from where all has leaked away: (s + fringe) ds/dr = -Q(r)/(2 pi r K_1), midpoint.
      const double edge = std::sqrt(rate / (pi * layer.in_m_per_day));
      const double from = std::max(a, std::sqrt(rate / (pi * layer.above_m_per_day)));
      double s2 = fringe * fringe;  // of s + fringe
      constexpr int steps = 20000;
      for (int i = 0; i < steps; ++i) {
        const double dr = (edge - from) / steps;
        const double r = edge - (i + 0.5) * dr;
        s2 += dr * (rate - pi * r * r * layer.in_m_per_day) / (pi * r * layer.above_m_per_day);
      }
      CHECK(perched_head_m(rate, a, layer) == Approx(std::sqrt(s2) - fringe).epsilon(1e-6));
    }
  }
}

TEST_CASE("nothing perches where the layer takes all, or is no tighter, or nothing comes down") {
  const double a = 0.9;
  const TightLayer layer{-1.0, 0.3, 0.05};
  const double taken_below = pi * a * a * layer.in_m_per_day;
  CHECK(perched_head_m(taken_below, a, layer) == 0.0);
  CHECK(perched_head_m(taken_below * 1.0001, a, layer) < 0.01);
  CHECK(perched_head_m(0.0, a, layer) == 0.0);
  CHECK(perched_head_m(2.0, a, {-1.0, 0.3, 0.3}) == 0.0);
  CHECK(perched_head_m(2.0, a, {-1.0, 0.3, 0.29}) < 0.1);
  CHECK(perched_head_m(2.0, a, {-1.0, 0.3, 0.05, 12.0}) < perched_head_m(2.0, a, layer));
  double last = 0.0;
  for (const double rate : {0.2, 0.5, 1.0, 3.0, 10.0}) {
    CHECK(perched_head_m(rate, a, layer) > last);
    last = perched_head_m(rate, a, layer);
  }
}

TEST_CASE("only what lies above the tight layer feels the water on it") {
  const Soil loam{0.3, 12.0};
  const Pit pit = pit_of(20, 2.0, loam);
  const std::vector<double> r(21, 5.0);
  std::vector<double> far(21), near(21);
  pit_intake_m3_per_day(pit, r, 1.8, {}, far);
  const std::vector<HeldWater> held = {{1.2, 0.5}};
  pit_intake_m3_per_day(pit, r, 1.8, {.held = held}, near);
  for (std::size_t i = 0; i < 18; ++i) {
    if (pit.rings[i].top_m <= 0.5) CHECK(near[i] == far[i]);
    if (pit.rings[i].bottom_m >= 0.5 && pit.rings[i].top_m <= 1.2) CHECK(near[i] < far[i]);
  }
  CHECK(near.back() == far.back());
  const TightLayer layer{0.5, 0.3, 0.01};
  double above = 0.0;
  for (std::size_t i = 5; i < 20; ++i) above += far[i];
  CHECK(flow_onto_m3_per_day(pit, layer, far) == Approx(above));
  CHECK(flow_onto_m3_per_day(pit, {-0.5, 0.3, 0.01}, far) > above);
}

TEST_CASE("a part feels the highest water of the layers below it, and never over the pit's own") {
  const Pit pit = pit_of(20, 2.0, {0.3, 12.0});
  const std::vector<double> r(21, 5.0);
  std::vector<double> far(21), lower(21), both(21), high(21);
  pit_intake_m3_per_day(pit, r, 1.8, {}, far);
  const std::vector<HeldWater> one = {{0.4, -0.3}}, two = {{1.6, 1.0}, {0.4, -0.3}};
  pit_intake_m3_per_day(pit, r, 1.8, {.held = one}, lower);
  pit_intake_m3_per_day(pit, r, 1.8, {.held = two}, both);
  for (std::size_t i = 0; i < 18; ++i) {
    if (pit.rings[i].top_m <= 1.0) CHECK(both[i] == lower[i]);
    if (pit.rings[i].bottom_m >= 1.0 && pit.rings[i].top_m <= 1.6) CHECK(both[i] < lower[i]);
  }
  CHECK(both.back() == lower.back());
  CHECK(both.back() < far.back());
  // The bottom stands on the layer: it lets water into it, and feels nothing that stands beside.
  const std::vector<HeldWater> beside = {{0.4, 0.0}};
  pit_intake_m3_per_day(pit, r, 1.8, {.held = beside}, high);
  CHECK(high.back() == far.back());
  CHECK(flow_onto_m3_per_day(pit, {0.0, 0.3, 0.01}, far) ==
        Approx(flow_onto_m3_per_day(pit, {-0.1, 0.3, 0.01}, far) - far.back()));
  // What the layer takes without pressing is not held back, however close the water stands.
  const double passes = 0.3;
  const std::vector<HeldWater> close = {{1.8, -0.01, passes}};
  const double bottom_m2 = bottom_area_m2(pit.geometry);
  pit_intake_m3_per_day(pit, r, 1.8, {.held = close}, high);
  CHECK(high.back() >= Approx(std::min(far.back(), passes * 0.3 * bottom_m2)));
  // Held over the pit's water it is felt up to that: nothing comes in.
  const std::vector<HeldWater> over = {{5.0, -0.3}};
  CHECK(pit_intake_m3_per_day(pit, r, 1.8, {.held = over}, high) >= 0.0);
}

TEST_CASE("a second tight layer never lets a pit take in more") {
  const Pit pit = pit_of(20, 2.0, {0.3, 12.0});
  const std::vector<double> r(21, 0.2);
  std::vector<double> flow(21);
  const auto long_intake = [&](const std::vector<TightLayer>& layers) {
    const std::vector<HeldWater> held = steady_perched_water(pit, layers, r, 2.0);
    return pit_intake_m3_per_day(pit, r, 2.0, {.held = held}, flow);
  };
  const TightLayer below{-0.3, 0.3, 0.004}, band{0.6, 0.3, 0.01};
  CHECK(long_intake({band, below}) <= long_intake({below}) * (1.0 + 1e-9));
  CHECK(long_intake({band, below}) <= long_intake({band}) * (1.0 + 1e-9));
}

TEST_CASE("in the long run water on a tight layer balances what comes down on it") {
  const Soil loam{0.3, 12.0};
  const Pit pit = pit_of(20, 2.0, loam);
  const std::vector<double> r(21, 0.2);
  const std::vector<TightLayer> layers = {{-0.5, 0.3, 0.003}};
  const std::vector<HeldWater> held = steady_perched_water(pit, layers, r, 2.0);
  REQUIRE(held.size() == 1);
  std::vector<double> flow(21);
  const double intake = pit_intake_m3_per_day(pit, r, 2.0, {.held = held}, flow);
  CHECK(held[0].level_m > 0.0);
  CHECK(held[0].level_m < 2.0);
  CHECK(held[0].tight_m == -0.5);
  CHECK(held[0].level_m == Approx(-0.5 + perched_head_m(intake, 0.9, layers[0])).epsilon(1e-3));
  CHECK(intake < 0.5 * pit_intake_m3_per_day(pit, r, 2.0, {}, flow));
}

TEST_CASE("the layout finds the tight layers, and a pit over one fills sooner") {
  const auto with_layer = [](const std::string& second) {
    SiteText text;
    text.start = "new: yes";
    text.soil = "{layers: [{to: 13 ft, perc: 10 min/inch}, " + second + "]}";
    return scenario_of(one_pit(text));
  };
  const Scenario even = with_layer("{perc: 10 min/inch}");
  const Scenario tight = with_layer("{conductivity: 0.2 cm/day}");
  const Scenario open_below = with_layer("{perc: 2 min/inch}");
  CHECK(lay_out(even).pits[0].tight.empty());
  CHECK(lay_out(open_below).pits[0].tight.empty());
  const SiteLayout site = lay_out(tight);
  REQUIRE(site.pits[0].tight.size() == 1);
  CHECK(site.pits[0].tight[0].top_m ==
        Approx(site.pits[0].bottom_below_ground_m - 13 * 0.3048).epsilon(1e-12));
  const CaseRun on_tight = run_expected(tight).cases.front();
  const CaseRun on_even = run_expected(even).cases.front();
  CHECK(on_tight.days[0].back().perched_m > -2.0);
  CHECK(on_even.days[0].back().perched_m == far_below_m);
  double higher = 0.0;
  for (std::size_t d = 300; d < on_even.days[0].size(); ++d) {
    higher += on_tight.days[0][d].level_m - on_even.days[0][d].level_m;
  }
  CHECK(higher > 0.0);
}
