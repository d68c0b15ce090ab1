// Outlet rating against exact values, independently computed tables and culvert inlet control.
// Tolerances are half of the last printed digit unless a row says otherwise.
#include "models/rating.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "models/constants.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;

namespace {

constexpr double m3_per_day_per_l_per_min = 1.44;

}  // namespace

TEST_CASE("J has its exact end values") {
  const std::string source = "derived: closed integrals of J and J' at e = 1 and for e -> 0";
  check_row("J(1)", opening_shape(1.0), 8.0 / 15.0, 1e-12, source);
  for (const double e : {1e-4, 1e-6, 1e-9}) {
    // The next term of the series is of relative size e/4.
    check_row(fmt::format("J({})/e^2", e), opening_shape(e) / (e * e), std::numbers::pi / 4.0,
              0.3 * e + 1e-9, source);
  }
  const CircularOpening unit{1.0, 1.0};
  const double scale = std::sqrt(2.0 * gravity_m_per_day2);
  for (const double e : {1.0 - 1e-9, 1.0, 1.0 + 1e-9}) {
    check_row(fmt::format("J'({})", e), free_flow_and_slope(unit, e).slope_m2_per_day / scale,
              2.0 / 3.0, 1e-7, source);
  }
  // Far above the crown the opening is an orifice: J -> pi/4 sqrt(e - 1/2).
  check_row("J(1000)", opening_shape(1000.0), std::numbers::pi / 4.0 * std::sqrt(999.5), 1e-7,
            "derived: orifice under its centre head");
}

TEST_CASE("J agrees with its table") {
  struct Row {
    double e, j;
  };
  for (const auto& [e, j] :
       {Row{.05, .001939}, Row{.1, .007654}, Row{.2, .029792}, Row{.3, .065105}, Row{.5, .169443},
        Row{.7, .307319}, Row{.9, .460560}, Row{1, .533333}, Row{1.25, .669951}, Row{1.5, .779000},
        Row{2, .958512}, Row{3, 1.240261}}) {
    check_row(fmt::format("e = {}", e), opening_shape(e), j, 0.0,
              "derived: 12-point Gauss-Legendre quadrature of equation (2), done apart", 0.5e-6);
  }
}

TEST_CASE("free flow of plain stubs and leveler inserts") {
  struct Row {
    double head_mm, stub, insert, small_insert;  // L/min
    double digit;                                // last printed digit
  };
  const CircularOpening stub{0.1016, 0.58};
  const CircularOpening insert{0.1016, 0.60};
  const CircularOpening small_insert{0.070, 0.60};
  const std::string source = "derived: equation (1) by Gauss-Legendre quadrature, done apart";
  for (const Row& row :
       {Row{1, .0385, .0398, .0330, 1e-4}, Row{5, .9526, .9855, .8133, 1e-4},
        Row{10, 3.762, 3.892, 3.192, 1e-3}, Row{20, 14.648, 15.154, 12.258, 1e-3},
        Row{50.8, 85.92, 88.89, 67.51, 1e-2}, Row{101.6, 270.45, 279.78, 156.91, 1e-2},
        Row{203.2, 486.06, 502.82, 251.30, 1e-2}}) {
    const auto check = [&](const CircularOpening& opening, double expected) {
      const std::string inputs = fmt::format("D {} m, Cd {}, head {} mm", opening.diameter_m,
                                             opening.discharge_coefficient, row.head_mm);
      const double head_m = row.head_mm / 1000.0;
      check_row(inputs, free_flow_m3_per_day(opening, head_m) / m3_per_day_per_l_per_min, expected,
                0.0, source, 0.5 * row.digit);
      // The same row read backwards. The flow's rounding sets the tolerance: flow rises with head
      // to the power 2 (trickle) to 1/2 (orifice), so the head errs by at most twice as much.
      check_row(inputs + ", inverse", head_for_flow_m(opening, expected * m3_per_day_per_l_per_min),
                head_m, 2.0 * 0.5 * row.digit / expected, source);
    };
    check(stub, row.stub);
    check(insert, row.insert);
    check(small_insert, row.small_insert);
  }
}

TEST_CASE("low-head coefficient") {
  check_row("D .1016, Cd .58, SI", low_head_coefficient_m_per_day({0.1016, 0.58}) / seconds_per_day,
            0.643, 0.0, "derived: Cd sqrt(2 g) (pi/4) sqrt(D)", 0.5e-3);
}

TEST_CASE("heads agree with culvert inlet control within 10 %") {
  struct Row {
    double flow_number, head_ratio;
  };
  const CircularOpening opening{0.1016, 0.58};
  for (const auto& [flow_number, head_ratio] :
       {Row{.02, .185}, Row{.1, .431}, Row{.2, .641}, Row{.3, .826}, Row{.5, 1.189}, Row{.6, 1.417},
        Row{.7, 1.687}}) {
    const double d = opening.diameter_m;
    const double flow = flow_number * std::sqrt(gravity_m_per_day2) * std::pow(d, 2.5);
    check_row(fmt::format("Q/(sqrt(g) D^2.5) = {}", flow_number),
              head_for_flow_m(opening, flow) / d, head_ratio, 0.10,
              "FHWA HDS-5, inlet control, concrete pipe with square edge: K .0098, M 2, c .0398, "
              "Y .67");
  }
}

TEST_CASE("submerged weir and orifice keep Villemonte's form at their ends") {
  const CircularOpening opening{0.1016, 0.58};
  const std::string source = "Villemonte 1947, Eng. News-Record 139:866: (1 - r)^.385";
  const double low = submerged_flow_m3_per_day(opening, 0.02, 0.01);
  const double low_free = free_flow_m3_per_day(opening, 0.02);
  const double ratio = free_flow_m3_per_day(opening, 0.01) / low_free;
  check_row("20 over 10 mm", low / low_free, std::pow(1.0 - ratio, 0.385), 1e-12, source);
  // Both sides far above the crown: an orifice under the difference of levels.
  const double high = submerged_flow_m3_per_day(opening, 2.0, 1.5);
  const double area_m2 = std::numbers::pi / 4.0 * 0.1016 * 0.1016;
  check_row("2.0 over 1.5 m", high, 0.58 * area_m2 * std::sqrt(2.0 * gravity_m_per_day2 * 0.5),
            1e-3, "submerged orifice, Q = Cd A sqrt(2 g dh)");
}
