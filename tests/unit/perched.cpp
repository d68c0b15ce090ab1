// Water on a tight layer: the closed form against its own flow equation, its limits, and the pit.
#include "models/perched.hpp"

#include <boost/math/special_functions/bessel.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <utility>
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

namespace {

const SoilBoundary tight_below{.top_m = -1.0, .above = {0.3, 12.0}, .below = {0.01, 12.0}};

}  // namespace

// With t = ln r, w = ln(c r^2 P^(n-1)/m^2), v = dlnP/dt + m the equation of the header is
//     dw/dt = 2 v/m,   dv/dt = m^2 e^w - (v - m)^2;
// P ~ r^-m is w = v = 0, and all that dies away outwards comes into it along one direction. From
// there inwards f = -1/(dlnP/dt) at x = m e^(w/2).
TEST_CASE("the outflow factor solves steady flow outwards over freely draining soil") {
  for (const double n : {1.5, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0}) {
    const double m = 2.0 / (n - 1.0);
    for (const double start : {-1e-4, 1e-4}) {
      double w = start, v = 0.5 * m * start * (m - std::sqrt(m * m + 2.0 * m));
      constexpr double dt = -1e-4;
      int compared = 0;
      for (int i = 0; i < 400000; ++i) {
        const auto rate = [&](double at_w, double at_v) {
          return std::pair{2.0 * at_v / m, m * m * std::exp(at_w) - (at_v - m) * (at_v - m)};
        };
        const auto [w1, v1] = rate(w, v);
        const auto [w2, v2] = rate(w + 0.5 * dt * w1, v + 0.5 * dt * v1);
        w += dt * w2;
        v += dt * v2;
        const double x = m * std::exp(0.5 * w);
        if (x < 0.01 || x > 30.0) break;
        if (i % 1000 == 0 && v < m) {
          INFO("n " << n << ", x " << x);
          CHECK(outflow_factor(x, n) == Approx(1.0 / (m - v)).epsilon(0.07));
          ++compared;
        }
      }
      CHECK(compared > 10);
    }
  }
  // n = 1: K_0(x)/(x K_1(x)).
  for (const double x : {0.1, 0.4, 1.0, 2.0, 5.0}) {
    const double exact = boost::math::cyl_bessel_k(0, x) / (x * boost::math::cyl_bessel_k(1, x));
    CHECK(outflow_factor(x, 1.0) == Approx(exact).epsilon(0.03));
  }
}

TEST_CASE("standing water solves Dupuit's flow with its fringe, out to where water hangs") {
  for (const double a : {0.9, 2.5}) {  // narrower and wider than the seepage comes down
    for (const double alpha_per_m : {2.0, 12.0}) {
      const double rate = 1.2, k_1 = 0.3, k_2 = 0.01;
      const SoilBoundary layer{
          .top_m = -1.0, .above = {k_1, alpha_per_m}, .below = {k_2, alpha_per_m}, .reach_m = 1e3};
      const double from = std::max(a, std::sqrt(rate / (pi * k_1)));
      const double under_m3_per_day =
          pi * from * from * k_2 * (1.0 + 4.0 / (pi * alpha_per_m * from));
      // Inwards from where P = 1: with what flows past r (1 + alpha s) d(alpha s)/dr = -alpha^2
      // Q(r)/(2 pi r K_1), midpoint.
      const auto past = [&](double r) {
        return rate - under_m3_per_day - pi * k_2 * (r * r - from * from);
      };
      const auto p_at = [&](double r) {
        const double x = r * alpha_per_m * std::sqrt(k_2 / k_1);
        return alpha_per_m * alpha_per_m * past(r) / (2.0 * pi * k_1) * outflow_factor(x, 1.0);
      };
      double edge = from;
      while (p_at(edge) > 1.0) edge += 1e-5;
      double e2 = 1.0;  // (1 + alpha s)^2
      constexpr int steps = 20000;
      for (int i = 0; i < steps; ++i) {
        const double dr = (edge - from) / steps;
        const double r = edge - (i + 0.5) * dr;
        e2 += dr * alpha_per_m * alpha_per_m * past(r) / (pi * r * k_1);
      }
      // Less what the upper soil would hold by itself.
      const double q = alpha_per_m * alpha_per_m / (2.0 * pi * k_1);
      const double f = outflow_factor(from * alpha_per_m, 1.0);
      const double disc = pi * from * from * k_1 * (1.0 + 4.0 / (pi * alpha_per_m * from));
      const double own = q * rate * f / (1.0 + q * disc * f);
      const double held = std::sqrt(e2) - own / std::sqrt(e2);
      REQUIRE(held > 1.0);
      CHECK(water_over_m(rate, a, layer) ==
            Approx((held - 1.0) / alpha_per_m).epsilon(2e-3).margin(1e-4));
    }
  }
}

TEST_CASE("nothing is held where the soils are alike, the lower takes readily, or nothing comes") {
  const double a = 0.9;
  CHECK(water_over_m(0.0, a, tight_below) == far_below_m);
  CHECK(water_over_m(2.0, a, {-1.0, {0.3, 12.0}, {0.3, 12.0}}) == far_below_m);
  CHECK(water_over_m(0.5, a, {-1.0, {0.3, 12.0}, {0.6, 4.0}}) == far_below_m);
  CHECK(water_over_m(2.0, a, {-1.0, {0.3, 12.0}, {0.299, 12.0}}) < -0.2);
  double last = far_below_m;
  for (const double rate : {0.001, 0.01, 0.1, 0.5, 1.0, 3.0, 10.0}) {
    CHECK(water_over_m(rate, a, tight_below) > last);
    last = water_over_m(rate, a, tight_below);
  }
  CHECK(last > 0.5);
}

TEST_CASE("over coarse soil fine soil holds water by suction, the less the more comes through") {
  const SoilBoundary coarse{.top_m = -0.5, .above = {0.3, 1.5}, .below = {3.0, 30.0}};
  const double hangs_m = water_over_m(0.1, 0.9, coarse);
  CHECK(hangs_m < 0.0);
  // The sand takes 1e-4 of its conductivity at ln(1e4)/30 = .31 m of suction; the fine soil alone
  // would be at ln(.3/.02)/1.5 = 1.8 m with .02 m/day going down.
  CHECK(hangs_m > -0.6);
  CHECK(water_over_m(3.0, 0.9, coarse) < water_over_m(0.3, 0.9, coarse));
  // So a clogged wall in it draws less than in fine soil all the way down.
  Pit pit = pit_of(10, 1.0, coarse.above);
  const std::vector<double> r(11, 20.0);
  std::vector<double> flow(11);
  const double alone = pit_intake_m3_per_day(pit, r, 1.0, {}, flow);
  const std::vector<HeldWater> held = steady_perched_water(pit, {&coarse, 1}, r, 1.0);
  REQUIRE(held.size() == 1);
  CHECK(held[0].level_m < coarse.top_m);
  CHECK(pit_intake_m3_per_day(pit, r, 1.0, {.held = held}, flow) < 0.9 * alone);
}

TEST_CASE("water over a boundary is continuous from hanging to standing, and in both soils") {
  const double a = 0.9;
  double last = water_over_m(0.02, a, tight_below);
  for (double rate = 0.0202; rate < 0.3; rate *= 1.01) {
    const double now = water_over_m(rate, a, tight_below);
    CHECK(std::abs(now - last) < 0.03);
    last = now;
  }
  for (double alpha = 4.0; alpha < 60.0; alpha *= 1.02) {
    const auto over = [&](double at) {
      return water_over_m(0.2, a, {-1.0, {0.3, 4.0}, {0.3, at}});
    };
    const double from = over(alpha), to = over(alpha * 1.02);
    if (from > far_below_m && to > far_below_m)
      CHECK(std::exp(4.0 * to) - std::exp(4.0 * from) < 0.05);
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
  const SoilBoundary layer{0.5, {0.3, 12.0}, {0.01, 12.0}};
  double above = 0.0;
  for (std::size_t i = 5; i < 20; ++i) above += far[i];
  CHECK(flow_onto_m3_per_day(pit, layer, far) == Approx(above));
  CHECK(flow_onto_m3_per_day(pit, tight_below, far) > above);
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
  SoilBoundary under = tight_below, at = tight_below;
  under.top_m = -0.1;
  at.top_m = 0.0;
  CHECK(flow_onto_m3_per_day(pit, at, far) ==
        Approx(flow_onto_m3_per_day(pit, under, far) - far.back()));
  // Held over the pit's water it is felt up to that: nothing comes in.
  const std::vector<HeldWater> over = {{5.0, -0.3}};
  CHECK(pit_intake_m3_per_day(pit, r, 1.8, {.held = over}, high) >= 0.0);
}

TEST_CASE("a second tight layer never lets a pit take in more") {
  const Pit pit = pit_of(20, 2.0, {0.3, 12.0});
  const std::vector<double> r(21, 0.2);
  std::vector<double> flow(21);
  const auto long_intake = [&](const std::vector<SoilBoundary>& layers) {
    const std::vector<HeldWater> held = steady_perched_water(pit, layers, r, 2.0);
    return pit_intake_m3_per_day(pit, r, 2.0, {.held = held}, flow);
  };
  const SoilBoundary below{-0.3, {0.3, 12.0}, {0.004, 12.0}}, band{0.6, {0.3, 12.0}, {0.01, 12.0}};
  CHECK(long_intake({band, below}) <= long_intake({below}) * (1.0 + 1e-9));
  CHECK(long_intake({band, below}) <= long_intake({band}) * (1.0 + 1e-9));
}

TEST_CASE("in the long run water on a tight layer balances what comes down on it") {
  const Soil loam{0.3, 12.0};
  const Pit pit = pit_of(20, 2.0, loam);
  const std::vector<double> r(21, 0.2);
  const std::vector<SoilBoundary> layers = {{-0.5, loam, {0.003, 12.0}}};
  const std::vector<HeldWater> held = steady_perched_water(pit, layers, r, 2.0);
  REQUIRE(held.size() == 1);
  std::vector<double> flow(21);
  const double intake = pit_intake_m3_per_day(pit, r, 2.0, {.held = held}, flow);
  CHECK(held[0].level_m > 0.0);
  CHECK(held[0].level_m < 2.0);
  CHECK(held[0].boundary_m == -0.5);
  CHECK(held[0].level_m == Approx(-0.5 + water_over_m(intake, 0.9, layers[0])).epsilon(1e-3));
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
  CHECK(lay_out(even).pits[0].boundaries.empty());
  REQUIRE(lay_out(open_below).pits[0].boundaries.size() == 1);
  CHECK(!lay_out(open_below).pits[0].boundaries[0].is_tight());
  const SiteLayout site = lay_out(tight);
  REQUIRE(site.pits[0].boundaries.size() == 1);
  CHECK(site.pits[0].boundaries[0].top_m ==
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
