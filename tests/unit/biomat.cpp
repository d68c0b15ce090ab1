// Clogging layer: exact steps, splitting, limits, temperature.
#include "models/biomat.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace restwell;

namespace {

const BiomatParameters defaults{};
constexpr double beta = 6.0;

BiomatState step(const BiomatState& s, double load, bool wet, double dt, double t = 12.0) {
  return advance_biomat(defaults, s, beta, {load, t, wet}, dt);
}
void check_same(const BiomatState& a, const BiomatState& b) {
  CHECK(a.labile_day == Approx(b.labile_day).epsilon(1e-13));
  CHECK(a.residual_day == Approx(b.residual_day).epsilon(1e-13));
  CHECK(a.exposed_day == Approx(b.exposed_day).epsilon(1e-13));
}

}  // namespace

TEST_CASE("clean layer") {
  const BiomatState s = clean_biomat(defaults);
  CHECK(s.resistance_day() == defaults.clean_resistance_day);
  CHECK(s.residual_day == 0.0);
  check_same(step(s, 0.0, true, 100.0), s);  // nothing to grow, nothing to decay
}

TEST_CASE("one step of two days equals two of one") {
  const BiomatState s{.labile_day = 20.0, .residual_day = 1.5, .exposed_day = 0.0};
  check_same(step(s, 0.0, true, 2.0), step(step(s, 0.0, true, 1.0), 0.0, true, 1.0));
  check_same(step(s, 0.01, true, 2.0), step(step(s, 0.01, true, 1.0), 0.01, true, 1.0));
  for (const double exposed : {0.0, 3.0, 9.0, 9.5, 40.0}) {  // before, across and after the lag
    BiomatState e = s;
    e.exposed_day = exposed;
    check_same(step(e, 0.0, false, 2.0), step(step(e, 0.0, false, 1.0), 0.0, false, 1.0));
  }
  BiomatState e = s;
  e.exposed_day = 50.0;  // past the lag g is constant, so a load splits too
  check_same(step(e, 0.01, false, 2.0), step(step(e, 0.01, false, 1.0), 0.01, false, 1.0));
}

TEST_CASE("a step follows the differential equation") {
  // Explicit midpoint rule in 20000 steps on equations (1) and (2).
  struct Case {
    bool wet;
    double load, dt;
  };
  for (const auto& [wet, load, dt] :
       {Case{true, 0.02, 60.0}, Case{true, 0.0, 30.0}, Case{false, 0.0, 25.0}}) {
    const double k = 0.02 * std::pow(1.07, 17.0 - 20.0);
    const int n = 20000;
    const double h = dt / n;
    double labile = 8.0, residual = 0.3;
    for (int i = 0; i < n; ++i) {
      const auto slope = [&](double t, double r) {
        const double g = decay_activity(defaults, wet ? 0.0 : t);
        return beta * 0.98 * load - k * g * (r - 0.2);
      };
      labile += h * slope((i + 0.5) * h, labile + 0.5 * h * slope(i * h, labile));
      residual += h * beta * 0.02 * load;
    }
    const BiomatState got =
        step({.labile_day = 8.0, .residual_day = 0.3, .exposed_day = 0.0}, load, wet, dt, 17.0);
    CHECK(got.labile_day == Approx(labile).epsilon(1e-8));
    CHECK(got.residual_day == Approx(residual).epsilon(1e-10));
    CHECK(got.exposed_day == (wet ? 0.0 : dt));
  }
}

TEST_CASE("a loaded step on the ramp converges") {
  const BiomatState s{.labile_day = 8.0};
  const auto after_ten_days = [&](int n) {
    BiomatState e = s;
    for (int i = 0; i < n; ++i) e = step(e, 0.02, false, 10.0 / n);
    return e.labile_day;
  };
  const double fine = after_ten_days(4096);
  const double one = std::abs(after_ten_days(8) - fine), half = std::abs(after_ten_days(16) - fine);
  CHECK(half < 0.3 * one);  // second order
  CHECK(one < 1e-4 * fine);
}

TEST_CASE("water resets the exposure") {
  BiomatState s{.labile_day = 20.0, .residual_day = 0.0, .exposed_day = 0.0};
  s = step(s, 0.0, false, 7.0);
  CHECK(s.exposed_day == 7.0);
  s = step(s, 0.0, true, 0.01);
  CHECK(s.exposed_day == 0.0);
}

TEST_CASE("activity of decay") {
  CHECK(decay_activity(defaults, 0.0) == defaults.submerged_factor);
  CHECK(decay_activity(defaults, 5.0) == Approx(0.5 * (1 + defaults.submerged_factor)));
  CHECK(decay_activity(defaults, 10.0) == 1.0);
  CHECK(decay_activity(defaults, 1e4) == 1.0);
  BiomatParameters sudden = defaults;
  sudden.aeration_lag_day = 0.0;
  CHECK(decay_activity(sudden, 0.0) == defaults.submerged_factor);
  CHECK(decay_activity(sudden, 1e-9) == 1.0);
  const BiomatState s{.labile_day = 5.0};
  const BiomatState rested = advance_biomat(sudden, s, beta, {0.0, 20.0, false}, 30.0);
  CHECK(rested.labile_day == Approx(0.2 + 4.8 * std::exp(-0.02 * 30)).epsilon(1e-13));
}

TEST_CASE("air enters only once the soil behind has drained") {
  const BiomatState start{.labile_day = 20.0};
  const auto rested = [&](double drainage_day, double days, int steps) {
    BiomatState s = start;
    for (int i = 0; i < steps; ++i)
      s = advance_biomat(defaults, s, beta, {0.0, 20.0, false, drainage_day}, days / steps);
    return s.labile_day;
  };
  const double fsub = defaults.submerged_factor;
  // Before: as under water. After: the same as a wall drained at once, that much later.
  CHECK(rested(15.0, 15.0, 1) == Approx(0.2 + 19.8 * std::exp(-0.02 * fsub * 15)).epsilon(1e-13));
  CHECK(rested(15.0, 75.0, 1) - 0.2 ==
        Approx((rested(0.0, 60.0, 1) - 0.2) * std::exp(-0.02 * fsub * 15)).epsilon(1e-13));
  CHECK(rested(15.0, 75.0, 1) == Approx(rested(15.0, 75.0, 100)).epsilon(1e-13));
  CHECK(rested(1e9, 75.0, 5) == Approx(0.2 + 19.8 * std::exp(-0.02 * fsub * 75)).epsilon(1e-13));
  CHECK(decay_activity(defaults, 15.0, 15.0) == fsub);
  CHECK(decay_activity(defaults, 20.0, 15.0) == Approx(0.5 * (1 + fsub)));
  CHECK(decay_activity(defaults, 25.0, 15.0) == 1.0);
}

TEST_CASE("rest never takes the labile pool below the clean layer, nor touches the residual") {
  BiomatState s{.labile_day = 30.0, .residual_day = 2.0, .exposed_day = 0.0};
  double before = s.labile_day;
  for (int i = 0; i < 200; ++i) {
    s = step(s, 0.0, i % 3 == 0, 30.0, 25.0);
    REQUIRE(s.labile_day >= defaults.clean_resistance_day * (1 - 1e-15));
    REQUIRE(s.labile_day <= before);
    REQUIRE(s.residual_day == 2.0);
    before = s.labile_day;
  }
  CHECK(s.labile_day == Approx(defaults.clean_resistance_day).epsilon(1e-9));
  const BiomatState long_rest = step(s, 0.0, false, 1e6);
  CHECK(long_rest.labile_day == Approx(defaults.clean_resistance_day).epsilon(1e-14));
}

TEST_CASE("without decay both pools share the growth") {
  BiomatParameters p = defaults;
  p.decay_20c_per_day = 0.0;
  const BiomatState s = advance_biomat(p, clean_biomat(p), beta, {0.01, 12.0, true}, 100.0);
  CHECK(s.labile_day == Approx(0.2 + 0.98 * beta * 0.01 * 100).epsilon(1e-14));
  CHECK(s.residual_day == Approx(0.02 * beta * 0.01 * 100).epsilon(1e-14));
}

TEST_CASE("warmth speeds decay") {
  CHECK(decay_rate_per_day(defaults, 20.0) == defaults.decay_20c_per_day);
  // derived: 1.07^10 = 1.967, near the rule of doubling over 10 degC
  CHECK(decay_rate_per_day(defaults, 22.0) / decay_rate_per_day(defaults, 12.0) ==
        Approx(1.967).epsilon(1e-3));
  const BiomatState s{.labile_day = 20.0};
  CHECK(step(s, 0.0, false, 30.0, 18.0).labile_day < step(s, 0.0, false, 30.0, 6.0).labile_day);
}

TEST_CASE("clogging scales with the soil's conductivity") {
  const double k10 = defaults.reference_kfs_m_per_day;
  CHECK(clogging_coefficient(defaults, k10) == defaults.beta_day_m2_per_kg);
  CHECK(clogging_coefficient(defaults, k10 / 4) == Approx(4 * defaults.beta_day_m2_per_kg));
  BiomatParameters half = defaults;
  half.soil_exponent = 0.5;
  CHECK(clogging_coefficient(half, k10 / 4) == Approx(2 * defaults.beta_day_m2_per_kg));
}

TEST_CASE("clogging laws are dimensionally homogeneous") {
  const double s = 2.3, t = 0.4, m = 7.0;  // units of length, time and mass
  BiomatParameters p = defaults;
  p.beta_day_m2_per_kg *= t * s * s / m;
  p.reference_kfs_m_per_day *= s / t;
  p.decay_20c_per_day /= t;
  p.clean_resistance_day *= t;
  p.aeration_lag_day *= t;
  const double kfs = 0.07, load = 0.01, dt = 4.0;
  const BiomatState start{.labile_day = 3.0, .residual_day = 0.4, .exposed_day = 8.0};
  const BiomatState scaled{.labile_day = 3.0 * t, .residual_day = 0.4 * t, .exposed_day = 8.0 * t};
  for (const bool wet : {true, false}) {
    const BiomatState a = advance_biomat(defaults, start, clogging_coefficient(defaults, kfs),
                                         {load, 9.0, wet, 2.0}, dt);
    const BiomatState b = advance_biomat(p, scaled, clogging_coefficient(p, kfs * s / t),
                                         {load * m / (s * s * t), 9.0, wet, 2.0 * t}, dt * t);
    CHECK(b.labile_day == Approx(a.labile_day * t).epsilon(1e-13));
    CHECK(b.residual_day == Approx(a.residual_day * t).epsilon(1e-13));
    CHECK(b.exposed_day == Approx(a.exposed_day * t).epsilon(1e-13));
  }
  CHECK(equilibrium_flux_m_per_day(p, clogging_coefficient(p, kfs * s / t), 0.6 * s,
                                   0.21 * m / (s * s * s), 9.0) ==
        Approx(equilibrium_flux_m_per_day(defaults, clogging_coefficient(defaults, kfs), 0.6, 0.21,
                                          9.0) *
               s / t)
            .epsilon(1e-13));
}
