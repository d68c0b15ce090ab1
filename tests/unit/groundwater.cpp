// Mound and season: symmetry, limits, directions.
#include "models/groundwater.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace restwell;

TEST_CASE("S* is symmetric, rises, and lies between 0 and 1") {
  for (const double a : {0.0, 1e-3, 0.05, 0.4, 1.0, 4.0, 50.0}) {
    for (const double b : {0.0, 1e-3, 0.05, 0.4, 1.0, 4.0, 50.0}) {
      const double s = hantush_s(a, b);
      CHECK(s == Approx(hantush_s(b, a)).epsilon(1e-12));
      CHECK(s >= 0.0);
      CHECK(s <= 1.0 + 1e-12);
      CHECK(hantush_s(a * 1.1, b) >= s - 1e-12);
    }
  }
  CHECK(hantush_s(0.0, 3.0) == 0.0);
  CHECK(hantush_s(8.0, 9.0) == Approx(1.0).epsilon(1e-12));
}

TEST_CASE("the mound solves its own equation, rises with the rate, falls with conductivity") {
  const GroundwaterParameters p;
  double before = 0.0;
  for (const double q : {0.01, 0.1, 0.5, 2.0}) {
    const double m = mound_height_m(p, q, 4.0, 0.25);
    const double h0 = p.aquifer_thickness_m;
    const double vt = 0.25 * (h0 + m / 2) / p.specific_yield * p.mound_time_day;
    const double a = 2.0 / (4 * std::sqrt(vt));
    CHECK((h0 + m) * (h0 + m) - h0 * h0 ==
          Approx(2 * q / 4.0 / 0.25 * vt * hantush_s(a, a)).epsilon(1e-5));
    CHECK(m > before);
    CHECK(mound_height_m(p, q, 4.0, 0.5) < m);
    before = m;
  }
  CHECK(mound_height_m(p, 0.0, 4.0, 0.25) == 0.0);
  CHECK(mound_height_m(p, -1.0, 4.0, 0.25) == 0.0);
}

TEST_CASE("the season is highest on its day and lowest half a year later") {
  CHECK(seasonal_depth_m(3.0, 1.0, 80.0, 80.0) == Approx(2.0));
  CHECK(seasonal_depth_m(3.0, 1.0, 80.0, 80.0 + 182.5) == Approx(4.0));
  CHECK(seasonal_depth_m(3.0, 1.0, 80.0, 80.0 + 91.25) == Approx(3.0));
  CHECK(seasonal_depth_m(3.0, 1.0, 80.0, 1.0) == Approx(seasonal_depth_m(3.0, 1.0, 80.0, 366.0)));
}
