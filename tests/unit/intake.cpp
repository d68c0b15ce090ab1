// Intake laws: Lambert function, limits, continuity, monotony, homogeneity.
#include "models/intake.hpp"

#include <boost/math/special_functions/lambert_w.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

using namespace restwell;

TEST_CASE("lambert_w_of_exp at known points") {
  CHECK(lambert_w_of_exp(0.0) == Approx(0.56714329040978387).epsilon(1e-15));  // omega constant
  CHECK(lambert_w_of_exp(1.0) == Approx(1.0).epsilon(1e-15));                  // W(e) = 1
  CHECK(lambert_w_of_exp(2.0 + std::log(2.0)) == Approx(2.0).epsilon(1e-15));  // W(2 e^2) = 2
}

TEST_CASE("lambert_w_of_exp against an independent Lambert function") {
  for (double l = -690; l < 690; l += 0.0317) {
    const double expected = boost::math::lambert_w0(std::exp(l));
    // exp(l) itself is off by |l| half ulps where l is rounded
    INFO("log argument " << l);
    REQUIRE(lambert_w_of_exp(l) == Approx(expected).epsilon(1e-13).margin(0.0));
  }
}

TEST_CASE("lambert_w_of_exp where the argument itself would overflow or vanish") {
  for (double l = 700; l < 1e17; l *= 1.7) {
    const double w = lambert_w_of_exp(l);
    INFO("log argument " << l);
    REQUIRE(w + std::log(w) == Approx(l).epsilon(1e-15).margin(0.0));
  }
  CHECK(lambert_w_of_exp(1e300) == 1e300);
  CHECK(lambert_w_of_exp(std::numeric_limits<double>::max()) == std::numeric_limits<double>::max());
  CHECK(lambert_w_of_exp(-1e300) == 0.0);
  CHECK(lambert_w_of_exp(-700.0) == Approx(std::exp(-700.0)).epsilon(1e-15).margin(0.0));
}

TEST_CASE("lambert_w_of is lambert_w_of_exp with the factor's logarithm taken") {
  for (const double factor : {1e-310, 1e-12, 1e-3, 0.4, 1.0, 1.5, 2.7, 60.0, 1e9, 1e305}) {
    for (double exponent = -50.0; exponent < 60.0; exponent += 0.0137) {
      const double l = std::log(factor) + exponent;
      // The logarithm's own rounding is what they may differ by.
      REQUIRE(lambert_w_of(factor, exponent) ==
              Approx(lambert_w_of_exp(l)).epsilon(2e-13 + 2e-16 * std::abs(l)).margin(0.0));
    }
  }
}

TEST_CASE("lambert_w_of_exp is continuous where its branches meet") {
  for (const double l : {-37.0, 1.0, 40.0, 1e18}) {
    const double below = lambert_w_of_exp(std::nextafter(l, -1e300));
    const double above = lambert_w_of_exp(std::nextafter(l, 1e300));
    CHECK(below == Approx(above).epsilon(2e-14).margin(0.0));
  }
}

TEST_CASE("side intake without a layer is the borehole's") {
  for (const double h : {0.0, 1e-6, 0.1, 2.0}) {
    const double clean = 0.3 * (2 * h + 1 / 12.0);
    CHECK(side_intake_m_per_day({0.3, 12.0}, 0.0, h) == Approx(clean).epsilon(1e-15));
    CHECK(side_intake_m_per_day({0.3, 12.0}, 1e-14, h) == Approx(clean).epsilon(1e-12));
  }
}

TEST_CASE("side intake is continuous where the soil behind turns unsaturated") {
  const SideConductance side{0.3, 12.0};
  for (const double r : {1e-6, 0.1, 3.0, 200.0}) {
    const double h = side.kappa_per_day * r / side.alpha_per_m;  // p = 0
    const double at = side.kappa_per_day / side.alpha_per_m;     // then q = kappa/alpha
    CHECK(side_intake_m_per_day(side, r, h * (1 - 1e-9)) == Approx(at).epsilon(1e-7));
    CHECK(side_intake_m_per_day(side, r, h * (1 + 1e-9)) == Approx(at).epsilon(1e-7));
  }
}

TEST_CASE("side intake rises with head and conductance and falls with resistance") {
  for (const double r : {0.0, 0.1, 1.0, 10.0, 100.0, 1e4}) {
    for (double h = 0.0; h < 3.0; h += 0.01) {
      const SideConductance side{0.3, 12.0};
      const double q = side_intake_m_per_day(side, r, h);
      REQUIRE(q > 0);
      REQUIRE(side_intake_m_per_day(side, r, h + 0.01) > q);
      REQUIRE(side_intake_m_per_day(side, r * 1.01 + 1e-3, h) < q);
      REQUIRE(side_intake_m_per_day({0.31, 12.0}, r, h) > q);
    }
  }
}

TEST_CASE("a layer far above the soil's resistance carries head and suction only") {
  // derived: q R = h - p with p = ln(q alpha/kappa)/alpha
  const SideConductance side{0.3, 12.0};
  const double r = 1e6, h = 0.7;
  const double q = side_intake_m_per_day(side, r, h);
  CHECK(q * r == Approx(h - std::log(q * 12.0 / 0.3) / 12.0).epsilon(1e-12));
  // with alpha large the suction goes: q = h/R
  CHECK(side_intake_m_per_day({0.3, 1e7}, r, h) == Approx(h / r).epsilon(1e-4));
}

TEST_CASE("bottom intake") {
  const BottomConductance bottom{.kfs_m_per_day = 0.25, .alpha_per_m = 12.0};
  CHECK(bottom_intake_m_per_day(bottom, 0.0, 0.0) == 0.25);
  CHECK(bottom_intake_m_per_day(bottom, 0.0, 3.0) == 0.25);
  // p = 0 at R = (H + z)/Kfs
  const double r = 0.52 / 0.25;
  CHECK(bottom_intake_m_per_day(bottom, r * (1 - 1e-9), 0.5) == 0.25);
  CHECK(bottom_intake_m_per_day(bottom, r * (1 + 1e-9), 0.5) == Approx(0.25).epsilon(1e-8));
  for (double h = 0.0; h < 3.0; h += 0.01) {
    const double q = bottom_intake_m_per_day(bottom, 20.0, h);
    REQUIRE(q <= 0.25);
    REQUIRE(bottom_intake_m_per_day(bottom, 20.0, h + 0.01) >= q);
    REQUIRE(bottom_intake_m_per_day(bottom, 20.5, h) <= q);
  }
}

TEST_CASE("intake laws are dimensionally homogeneous") {
  const double s = 3.7, t = 0.21;  // units of length and time
  for (const double r : {0.0, 1.0, 80.0}) {
    for (const double h : {0.0, 0.3, 2.0}) {
      CHECK(side_intake_m_per_day({0.3 / t, 12.0 / s}, r * t, h * s) ==
            Approx(side_intake_m_per_day({0.3, 12.0}, r, h) * s / t).epsilon(1e-13));
      const BottomConductance bottom{0.25, 12.0, 0.3, 0.3, 0.02};
      const BottomConductance scaled{0.25 * s / t, 12.0 / s, 0.3 / t, 0.3 / t, 0.02 * s};
      CHECK(bottom_intake_m_per_day(scaled, r * t, h * s, -0.1 * s) ==
            Approx(bottom_intake_m_per_day(bottom, r, h, -0.1) * s / t).epsilon(1e-13));
    }
  }
}
