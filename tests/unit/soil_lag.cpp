// The soil's lag behind a pit's water: its limits, its two-resistance form, its steps.
#include "models/soil_lag.hpp"

#include <algorithm>
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

// Derived: a part of the size b in soil of alpha spreads its water over this.
double spread_m(double alpha_per_m, double size_m) {
  return 1.0 / (alpha_per_m + 1.0 / (alpha_per_m * size_m * size_m));
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

TEST_CASE("where all rings take alike the lag's time is that of water down the wet wall") {
  Pit pit = layered_pit();
  const SoilLag one{.time_factor = 1.0};
  const double bottom_m = spread_m(4.0, 0.9);
  const std::vector<double> clean{2.0, 3.0, 0.5, 1.0};
  for (const double share :
       {1.0, 0.3, 1e-9, 4.0}) {  // a ring takes no more than if clean, for this
    std::vector<double> flow = clean;
    for (double& f : flow) f *= share;
    const auto time_day = [&](double level_m) {
      return lag_time_day(one, pit, level_m, flow, clean);
    };
    CHECK(time_day(0.0) == Approx(bottom_m / 0.1));
    CHECK(time_day(0.25) == Approx((0.25 + bottom_m) / 0.1));
    // 1/4 m and 1/2 m of .1, 1 m of .5 m/day: a mean of .575/1.75.
    CHECK(time_day(1.5) == Approx((1.5 + bottom_m) / (0.575 / 1.75)));
    CHECK(time_day(9.0) == time_day(2.0));  // the rings end there
    CHECK(lag_time_day({.time_factor = 0.3}, pit, 1.5, flow, clean) == Approx(0.3 * time_day(1.5)));
  }
  pit.geometry.trench = TrenchPlan{.width_m = 0.6};
  CHECK(lag_time_day(one, pit, 0.0, clean, clean) == Approx(spread_m(4.0, 0.3) / 0.1));
}

TEST_CASE("small parts spread their water by suction, large ones a capillary length") {
  Pit pit;
  pit.bottom_soil = {.kfs_m_per_day = 0.1, .alpha_per_m = 1.0};
  const auto time_day = [&](double radius_m) {
    pit.geometry.radius_m = radius_m;
    return lag_time_day({.time_factor = 1.0}, pit, 0.0, std::vector{1.0}, std::vector{1.0});
  };
  // alpha b^2/K = 1/m (1 cm)^2/(.1 m/day); 1/(alpha K) = 1 m/(.1 m/day); half of it at alpha b = 1.
  CHECK(time_day(0.01) == Approx(0.001).epsilon(2e-4));
  CHECK(time_day(100.0) == Approx(10.0).epsilon(2e-4));
  CHECK(time_day(1.0) == Approx(5.0));
}

TEST_CASE("of a wall that takes unlike, what takes makes the lag's time") {
  const Pit pit = layered_pit();
  const SoilLag one{.time_factor = 1.0};
  const double bottom_m = spread_m(4.0, 0.9), bottom_day = bottom_m / 0.1;
  const std::vector<double> clean{2.0, 3.0, 1.0, 1.0};
  const auto time_day = [&](double level_m, const std::vector<double>& flow) {
    return lag_time_day(one, pit, level_m, flow, clean);
  };
  // v .1 of .5 m, 1 of .5 m, .5 of .2 m: sums .65 and .555, of v K dz .305, of v alpha dz 7.4. The
  // bottom's .4 is less than the wall's .555/.65.
  const double both = 0.4 / (0.555 / 0.65), height_m = 0.65 * 0.65 / 0.555;
  const double alpha = std::lerp(7.4 / 0.65, 4.0, both), k = std::lerp(0.305 / 0.65, 0.1, both);
  CHECK(time_day(1.2, {0.2, 3.0, 0.5, 0.4}) ==
        Approx((height_m + spread_m(alpha, std::lerp(std::sqrt(0.9 * height_m), 0.9, both))) *
               (height_m + 1.0 / alpha) / (0.305 * 0.65 / 0.555 + k / alpha)));
  // A clean bottom takes more readily than the wall, of which sum v dz is left.
  CHECK(time_day(1.2, {0.2, 3.0, 0.5, 1.0}) ==
        Approx((0.65 + bottom_m) * (0.65 + 0.25) / (0.305 + 0.25 * 0.1)));
  // A band over a clogged wall beside a sealed bottom: half a meter in its own soil, .5 m/day, as
  // if there were nothing below; its size no more than the radius.
  CHECK(time_day(1.0, {1e-12, 3.0, 0.0, 0.0}) ==
        Approx((0.5 + spread_m(12.0, std::sqrt(0.9 * 0.5))) / 0.5));
  CHECK(time_day(2.0, {0.0, 3.0, 1.0, 0.0}) == Approx((1.5 + spread_m(12.0, 0.9)) / 0.5));
  // Nothing through the wall, or groundwater in.
  CHECK(time_day(1.5, {0.0, 0.0, 0.0, 1.0}) == Approx(bottom_day));
  CHECK(time_day(1.5, {-1.0, 0.0, -2.0, 1.0}) == Approx(bottom_day));
  CHECK(time_day(1.5, {0.0, 0.0, 0.0, 0.0}) == Approx(bottom_day));
  CHECK(time_day(1.5, {-1.0, 3.0, -2.0, 0.5}) == Approx(time_day(1.5, {0.0, 3.0, 0.0, 0.5})));
  // No jump where wall and bottom take as readily.
  CHECK(time_day(1.5, {2.0, 3.0, 1.0, 1.0 - 1e-9}) ==
        Approx(time_day(1.5, {2.0, 3.0, 1.0, 1.0})).epsilon(1e-7));
  CHECK(time_day(1.5, {2.0 - 2e-9, 3.0 - 3e-9, 1.0 - 1e-9, 1.0}) ==
        Approx(time_day(1.5, {2.0, 3.0, 1.0, 1.0})).epsilon(1e-7));
  // No flow is too small to be counted safely.
  for (const double flow : {1e-150, 1e-165, 1e-200, 5e-324}) {
    const double day = time_day(1.5, {flow, flow, flow, 0.0});
    CHECK(day > 0.0);
    CHECK(day < 100.0);
  }
}

TEST_CASE("the lag's time does not jump as the first wall over a clogged bottom gets wet") {
  Pit pit;
  pit.geometry.radius_m = 0.9;
  pit.bottom_soil = {.kfs_m_per_day = 0.3, .alpha_per_m = 3.0};
  pit.rings = {{0.0, 0.1, pit.bottom_soil}};
  const std::vector<double> layer{0.2, 10.0}, none{0.0, 0.0};
  std::vector<double> flow(2), clean(2);
  const auto time_day = [&](double level_m) {
    pit_intake_m3_per_day(pit, none, level_m, {}, clean);
    pit_intake_m3_per_day(pit, layer, level_m, {}, flow);
    return lag_time_day({}, pit, level_m, flow, clean);
  };
  CHECK(time_day(1e-9) == Approx(time_day(0.0)).epsilon(1e-5));
  CHECK(time_day(1e-6) == Approx(time_day(0.0)).epsilon(0.01));
}

TEST_CASE("by the law's flows the lag's time is of what takes, and at most the whole wall's") {
  Pit pit;
  pit.geometry.radius_m = 0.9;
  pit.bottom_soil = {.kfs_m_per_day = 0.3, .alpha_per_m = 6.0};
  for (int i = 0; i < 20; ++i) pit.rings.push_back({0.1 * i, 0.1 * (i + 1), pit.bottom_soil});
  if (GENERATE(false, true)) pit.geometry.trench = TrenchPlan{.width_m = 0.6};
  const SoilLag one{.time_factor = 1.0};
  std::vector<double> flow(21), clean(21);
  const std::vector<double> none(21, 0.0);
  const auto time_day = [&](const std::vector<double>& resistance, double level_m) {
    pit_intake_m3_per_day(pit, none, level_m, {}, clean);
    pit_intake_m3_per_day(pit, resistance, level_m, {}, flow);
    return lag_time_day(one, pit, level_m, flow, clean);
  };
  for (const double layer_day : {0.0, 0.3, 10.0, 1e3, 1e9}) {
    double before = 0.0;
    for (int k = 0; k <= 40; ++k) {
      const double level_m = 0.05 * k;
      CAPTURE(layer_day, level_m);
      const double whole = time_day(none, level_m), bottom = time_day(none, 0.0);
      const double day = time_day(std::vector<double>(21, layer_day), level_m);
      // One resistance holds back the wall, which takes more from its soil, more than the bottom.
      if (layer_day == 0.0) CHECK(day == whole);
      CHECK(day <= whole * (1.0 + 1e-12));
      CHECK(day >= bottom * (1.0 - 1e-12));
      if (layer_day < 1e9) CHECK(day > before);
      if (layer_day == 1e9)  // hardly a lag is left
        CHECK(soil_activity(pit, std::vector<double>(21, layer_day), level_m, flow, clean) < 0.1);
      before = day;
      // Clogged up to a meter, clean above.
      std::vector<double> front(21, layer_day);
      for (std::size_t i = 10; i < 20; ++i) front[i] = 0.0;
      const double banded = time_day(front, level_m);
      CHECK(banded <= whole * (1.0 + 1e-12));
      const double clean_m = level_m - 1.0;
      if (clean_m <= 0.0) {
        CHECK(banded == day);
        continue;
      }
      const double radius_m = pit.geometry.trench ? 0.3 : 0.9;
      const double band_m = spread_m(6.0, std::sqrt(radius_m * std::min(clean_m, radius_m)));
      CHECK(banded >= band_m / 0.3);
      if (layer_day == 1e9)  // the band alone
        CHECK(banded == Approx((clean_m + band_m) / 0.3).epsilon(1e-3));
    }
  }
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
