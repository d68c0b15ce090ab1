// Hantush's mound function and the mound under a pit against published values and closed forms.
#include "models/groundwater.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;
using std::numbers::pi;

TEST_CASE("S* at published points") {
  struct Row {
    double a, b, s;
  };
  for (const auto& [a, b, s] : {Row{.1, .1, .06074}, Row{.5, .5, .54197}, Row{1, 1, .89232}}) {
    check_row(fmt::format("S*({}, {})", a, b), hantush_s(a, b), s, 1e-4,
              "Hantush 1967, values of the physics brief");
  }
}

TEST_CASE("S* under a strip is a closed form") {
  // derived: b without end leaves int_0^1 erf(a/sqrt u) du = (1 + 2 a^2) erf a
  // + 2 a exp(-a^2)/sqrt(pi) - 2 a^2
  for (const double a : {1e-4, 1e-2, 0.3, 1.0, 2.5}) {
    const double strip =
        (1 + 2 * a * a) * std::erf(a) + 2 * a / std::sqrt(pi) * std::exp(-a * a) - 2 * a * a;
    check_row(fmt::format("S*({}, 1000)", a), hantush_s(a, 1000.0), strip, 1e-9,
              "derived: closed form");
  }
}

TEST_CASE("far along, the mound under a small pit grows as a well's does") {
  // derived: Theis s = Q/(4 pi T) W(u), W = ln(1/u) - .577 for small u, with 2 b s = h^2 - h0^2:
  // over a time grown e-fold h^2 - h0^2 grows by Q/(2 pi K), whatever the pit's size.
  GroundwaterParameters early, late;
  early.mound_time_day = 1000.0;
  late.mound_time_day = 1000.0 * std::exp(1.0);
  const double q = 1e-3, k = 0.5, h0 = early.aquifer_thickness_m;
  const auto square = [&](const GroundwaterParameters& p) {
    return std::pow(h0 + mound_height_m(p, q, 2.6, k), 2) - h0 * h0;
  };
  check_row("growth of h^2 per e-fold of time", square(late) - square(early), q / (2 * pi * k),
            2e-3, "derived: Theis with heads squared");
}
