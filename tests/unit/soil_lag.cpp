// The soil's lag behind a pit's water: its limits, its two-resistance form, its steps.
#include "models/soil_lag.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <vector>

using namespace restwell;

namespace {

Pit layered_pit() {
  Pit pit;
  pit.geometry.radius_m = 0.9;
  pit.bottom_soil = {.kfs_m_per_day = 0.1, .alpha_per_m = 4.0};
  const Soil upper{.kfs_m_per_day = 0.5, .alpha_per_m = 12.0};
  pit.rings = {{0.0, 0.5, pit.bottom_soil}, {0.5, 1.0, upper}, {1.0, 2.0, upper}};
  return pit;
}

}  // namespace

TEST_CASE("a clogged layer, near soil and far soil in series give the share") {
  // Derived: clean soil of resistance 1, of it s far; a layer of r. The far soil resists by as much
  // of its part as follows: (r + 1)/(r + 1 - s (1 - f)) of the steady conductance.
  const SoilLag lag;
  for (const double r : {0.0, 0.3, 2.0, 50.0}) {
    for (const double f : {0.0, 0.4, 1.0, 3.0}) {
      const double now = (r + 1.0) / (r + 1.0 - lag.lagging_share * (1.0 - f));
      CHECK(lagged_share(lagging_part(lag, 1.0 / (r + 1.0)), f, 0.0) == Approx(now).epsilon(1e-12));
    }
  }
  CHECK(lagging_part(lag, 0.0) == 0.0);
  CHECK(lagging_part(lag, -0.5) == 0.0);
  CHECK(lagging_part(lag, 1.3) == lagging_part(lag, 1.0));
  CHECK(lagging_part({.lagging_share = 0.0}, 1.0) == 0.0);
}

TEST_CASE("all of the resistance in the lagging soil: dry soil takes as its sorptivity lets it") {
  // Derived: u du/dt = Q^2/T at first, so sqrt(2 T t) Q is taken in up to t (Philip 1957: I goes
  // with the root of time).
  const SoilLag all{.lagging_share = 1.0};
  const double by_law = 2.0, time_day = 3.0, dt = 1e-7, from = 1e-5, days = 3e-3;
  double u = by_law * std::sqrt(2.0 * from / time_day), taken = 0.0;
  for (double t = from; t < days; t += dt) {
    const double intake = by_law * lagged_share(lagging_part(all, 1.0), u / by_law, dt / time_day);
    u = soil_flow_after_m3_per_day(u, intake, soil_keeps(time_day, dt));
    taken += intake * dt;
  }
  const double expected =
      by_law * (std::sqrt(2.0 * time_day * days) - std::sqrt(2.0 * time_day * from));
  CHECK(taken == Approx(expected).epsilon(0.02));
}

TEST_CASE("activity is the relative change of the intake with that of the soil's conductivity") {
  // By differences, one soil, R the same everywhere but at one end: full behind a thin layer,
  // sucked dry behind a thick one.
  Pit pit;
  pit.geometry.radius_m = 0.9;
  for (const double resistance : {0.0, 0.5, 20.0, 300.0}) {
    const double level_m = 1.0;
    const auto with = [&](double kfs) {
      pit.bottom_soil = {.kfs_m_per_day = kfs, .alpha_per_m = 6.0};
      pit.rings = {{0.0, 1.0, pit.bottom_soil}};
    };
    const std::vector<double> layer(2, resistance), none(2, 0.0);
    std::vector<double> flow(2), clean(2);
    with(0.2);
    const double now = pit_intake_m3_per_day(pit, layer, level_m, {}, flow);
    pit_intake_m3_per_day(pit, none, level_m, {}, clean);
    const double activity = soil_activity(pit, layer, level_m, flow, clean);
    with(0.2 * 1.001);
    const double more = pit_intake_m3_per_day(pit, layer, level_m, {}, flow);
    // How the parts hold each other back changes with K as well, and a ring is taken at its mean
    // head: a tenth (assumed).
    INFO("R " << resistance);
    CHECK(activity == Approx((more / now - 1.0) / 0.001).margin(0.1));
  }
  const std::vector<double> layer(2, 1.0);
  CHECK(soil_activity(pit, layer, 1.0, std::vector{0.0, 0.0}, std::vector{1.0, 1.0}) == 0.0);
  CHECK(soil_activity(pit, layer, 1.0, std::vector{-1.0, 2.0}, std::vector{1.0, 1.0}) == 1.0);
}

TEST_CASE("the lag's time is that of water down the wet wall and a capillary length") {
  Pit pit = layered_pit();
  const SoilLag one{.time_factor = 1.0};
  const double capillary_m = 1.0 / (4.0 + 1.0 / 0.9);  // no longer than the radius lets it be
  CHECK(lag_time_day(one, pit, 0.0) == Approx(capillary_m / 0.1));
  CHECK(lag_time_day(one, pit, 0.25) == Approx((0.25 + capillary_m) / 0.1));
  // 1/4 m and 1/2 m of .1, 1 m of .5 m/day: a mean of .575/1.75.
  CHECK(lag_time_day(one, pit, 1.5) == Approx((1.5 + capillary_m) / (0.575 / 1.75)));
  CHECK(lag_time_day(one, pit, 9.0) == lag_time_day(one, pit, 2.0));  // the rings end there
  CHECK(lag_time_day({.time_factor = 0.3}, pit, 1.5) == Approx(0.3 * lag_time_day(one, pit, 1.5)));
  pit.geometry.trench = TrenchPlan{.width_m = 0.6};
  CHECK(lag_time_day(one, pit, 0.0) == Approx(1.0 / (4.0 + 1.0 / 0.3) / 0.1));
}

TEST_CASE("steps of the soil's store keep its water and come to what the law says") {
  const SoilLag lag;
  const double part = lagging_part(lag, 0.9), time_day = 3.0, by_law = 0.8;
  // Derived: short steps take what (1) says, long ones what the law says.
  for (const double followed : {0.0, 0.7, 1.0, 4.0, 300.0}) {
    const double now = 1.0 / (1.0 - part * (1.0 - followed));
    CHECK(lagged_share(part, followed, 1e-12) == Approx(now).epsilon(1e-9));
    CHECK(lagged_share(part, followed, 1e5) == Approx(1.0).epsilon(1e-3));
    CHECK(lagged_share(0.0, followed, 0.3) == 1.0);
    CHECK(lagged_share(part, followed, 0.3) > 0.0);
  }
  // Derived, where little lags: the mean of exp(-(1 + C) t/T) over the step, to its third order.
  const double little = 1e-6;
  for (const double steps : {0.1, 0.5, 1.0})
    CHECK((lagged_share(little, 0.0, steps) - 1.0) / little ==
          Approx(-std::expm1(-steps) / steps).epsilon(0.0015 * steps * steps));
  // Over many short steps the store T u holds what came in less what it passed on.
  const double start = 0.2, dt = 1e-3;
  double u = start, in = 0.0, out = 0.0;
  for (int i = 0; i < 5000; ++i) {
    const double intake = by_law * lagged_share(part, u / by_law, dt / time_day);
    const double before = u;
    u = soil_flow_after_m3_per_day(u, intake, soil_keeps(time_day, dt));
    in += intake * dt;
    out += 0.5 * (before + u) * dt;
  }
  CHECK(time_day * (u - start) == Approx(in - out).epsilon(1e-5));
  CHECK(soil_flow_after_m3_per_day(0.2, 0.7, soil_keeps(0.0, 1.0)) == 0.7);
}

TEST_CASE("a step at its mean lack is of second order") {
  const SoilLag lag;
  const double by_law = 0.8, time_day = 0.5, days = 0.4;
  const auto taken = [&](int steps, double u) {
    const double dt = days / steps;
    double sum = 0.0;
    for (int i = 0; i < steps; ++i) {
      const double intake =
          by_law * lagged_share(lagging_part(lag, 0.9), u / by_law, dt / time_day);
      u = soil_flow_after_m3_per_day(u, intake, soil_keeps(time_day, dt));
      sum += intake * dt;
    }
    return sum;
  };
  for (const double start : {0.0, 2.0}) {
    const double exact = taken(20000, start);
    const double four = taken(4, start) - exact, eight = taken(8, start) - exact;
    INFO("from " << start << ": " << four / exact << ", " << eight / exact);
    CHECK(std::abs(four / exact) < 0.01);
    CHECK(std::abs(four) > 3.0 * std::abs(eight));
  }
  CHECK(lagged_share(lagging_part(lag, 0.9), 0.5, std::numeric_limits<double>::infinity()) == 1.0);
}
