// Splits of the distribution box against tables computed apart from this program.
#include "models/box.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;

namespace {

constexpr double m3_per_day_per_l_per_min = 1.44;
constexpr double inch_m = 0.0254;

std::vector<BoxOutlet> outlets_at(const std::vector<double>& lips_m) {
  std::vector<BoxOutlet> outlets;
  for (const double lip_m : lips_m) outlets.push_back({{0.1016, 0.58}, lip_m, false});
  return outlets;
}

struct Split {
  double level_m;
  std::vector<double> flows_l_per_min;
};

Split split(const std::vector<double>& lips_m, double inflow_l_per_min,
            const std::vector<Tailwater>& tailwater) {
  std::vector<double> flows(lips_m.size());
  const auto outlets = outlets_at(lips_m);
  const BoxFlow box = split_flow(outlets, BoxLid{}, inflow_l_per_min * m3_per_day_per_l_per_min,
                                 tailwater, 0.0, flows);
  for (double& flow : flows) flow /= m3_per_day_per_l_per_min;
  return {box.level_m, flows};
}

std::vector<double> free_shares_percent(const std::vector<double>& lips_m,
                                        double inflow_l_per_min) {
  Split result = split(lips_m, inflow_l_per_min, std::vector<Tailwater>(lips_m.size()));
  for (double& flow : result.flows_l_per_min) flow *= 100.0 / inflow_l_per_min;
  return result.flows_l_per_min;
}

}  // namespace

TEST_CASE("two equal outlets in the low-head limit") {
  struct Row {
    double s, share;
  };
  const double k = low_head_coefficient_m_per_day({});
  const double flow = 5.0;
  for (const auto& [s, share] :
       {Row{0, .5}, Row{.1, .5705}, Row{.25, .6740}, Row{.5, .8307}, Row{.75, .9496}, Row{1, 1}}) {
    const double level_error_m = s * std::sqrt(flow / k);
    check_row(fmt::format("s = {}", s), low_outlet_share(flow, level_error_m, k), share, 0.0,
              "derived: (s + sqrt(2 - s^2))^2/4 by hand", 0.5e-4);
  }
  CHECK(low_outlet_share(0.5 * flow, std::sqrt(flow / k), k) == 1.0);
}

TEST_CASE("the lower of two outlets takes its share") {
  struct Row {
    double inflow_l_per_min;
    double sixteenth, eighth, quarter, half;  // % to the low one
  };
  for (const Row& row :
       {Row{.5, 79.5, 98.7, 100, 100}, Row{1, 71.3, 89.3, 100, 100}, Row{2, 65.2, 79.3, 98.6, 100},
        Row{4, 60.8, 71.1, 89.1, 100}, Row{8, 57.6, 65.0, 79.0, 98.4},
        Row{15, 55.5, 60.9, 71.4, 89.5}, Row{30, 53.8, 57.6, 65.1, 79.1}}) {
    const auto check = [&row](double level_error_in, double expected) {
      check_row(fmt::format("{} L/min, {} in", row.inflow_l_per_min, level_error_in),
                free_shares_percent({0.0, level_error_in * inch_m}, row.inflow_l_per_min)[0],
                expected, 0.0, "derived: equation (1) of box.hpp with D .1016 m, Cd .58", 0.05);
    };
    check(1.0 / 16.0, row.sixteenth);
    check(1.0 / 8.0, row.eighth);
    check(1.0 / 4.0, row.quarter);
    check(1.0 / 2.0, row.half);
  }
}

TEST_CASE("flow up to which one outlet takes everything") {
  struct Row {
    double level_error_in, inflow_l_per_min, digit;
  };
  for (const auto& [level_error_in, limit, digit] :
       {Row{1.0 / 8.0, .389, 1e-3}, Row{1.0 / 4.0, 1.56, 1e-2}, Row{1.0 / 2.0, 6.2, 0.1}}) {
    const double d_m = level_error_in * inch_m;
    const double k = low_head_coefficient_m_per_day({});
    const std::string inputs = fmt::format("{} in", level_error_in);
    check_row(inputs, k * d_m * d_m / m3_per_day_per_l_per_min, limit, 0.0,
              "derived: Q = k d^2, low-head limit", 0.5 * digit);
    CHECK(low_outlet_share((limit - digit) * m3_per_day_per_l_per_min, d_m, k) == 1.0);
    CHECK(low_outlet_share((limit + digit) * m3_per_day_per_l_per_min, d_m, k) < 1.0);
    // The full law, J = pi/4 e^2 (1 - e/4) to first order, starts the second outlet a bit earlier.
    const double e = d_m / 0.1016;
    const double full_limit = k * d_m * d_m * (1.0 - 0.25 * e) / m3_per_day_per_l_per_min;
    const std::vector<Tailwater> free_fall(2);
    CHECK(split({0.0, d_m}, 0.999 * full_limit, free_fall).flows_l_per_min[1] == 0.0);
    CHECK(split({0.0, d_m}, 1.001 * full_limit, free_fall).flows_l_per_min[1] > 0.0);
  }
}

TEST_CASE("three outlets at 0, 1/8 and 1/4 in") {
  struct Row {
    double inflow_l_per_min;
    std::vector<double> shares;
  };
  for (const Row& row :
       {Row{1, {89.3, 10.7, 0}}, Row{4, {68.4, 27.1, 4.5}}, Row{15, {51.7, 31.8, 16.5}}}) {
    const auto shares =
        free_shares_percent({0.0, inch_m / 8.0, inch_m / 4.0}, row.inflow_l_per_min);
    for (std::size_t i = 0; i < 3; ++i) {
      check_row(fmt::format("{} L/min, outlet {}", row.inflow_l_per_min, i), shares[i],
                row.shares[i], 0.0, "derived: equation (1) of box.hpp", 0.05);
    }
  }
}

TEST_CASE("four outlets in a tilted box") {
  const double tilt_rad = 0.5 * std::numbers::pi / 180.0;
  std::vector<double> lips;
  for (const double x_m : {-0.2, 0.0, 0.0, 0.2}) {
    LipPlacement placement;
    placement.invert_m = 0.05;
    placement.x_m = x_m;
    lips.push_back(effective_lip_m(placement, tilt_rad, 0.0));
  }
  const auto shares = free_shares_percent(lips, 4.0);
  const std::vector<double> expected{42.8, 23.6, 23.6, 10.0};
  for (std::size_t i = 0; i < 4; ++i) {
    check_row(fmt::format("outlet {}", i), shares[i], expected[i], 0.0,
              "derived: equation (1) of box.hpp, tilt 0.5 degrees", 0.05);
  }
}

TEST_CASE("levelness that keeps two lines within 5 %") {
  // One line at 52.5 % means a twentieth more than half.
  check_row(
      "4 L/min, .36 mm",
      low_outlet_share(4.0 * m3_per_day_per_l_per_min, 0.36e-3, low_head_coefficient_m_per_day({})),
      0.525, 0.0, "derived: +-5 % between lines needs 0.36 mm at 4 L/min", 0.5e-3);
}

TEST_CASE("backwater of one of two outlets at 4 L/min") {
  struct Row {
    double tailwater_mm, level_mm, first, second;
  };
  for (const Row& row : {Row{-1, 7.266, 2.000, 2.000}, Row{5, 7.651, 1.784, 2.216},
                         Row{10, 10.004, .235, 3.765}, Row{20, 17.898, -7.799, 11.799}}) {
    std::vector<Tailwater> tailwater(2);
    tailwater[0].level_m = row.tailwater_mm / 1000.0;
    const Split result = split({0.0, 0.0}, 4.0, tailwater);
    const std::string inputs = fmt::format("tailwater {} mm", row.tailwater_mm);
    const std::string source =
        "derived: Villemonte 1947 in equation (1) of box.hpp, bisected apart";
    check_row(inputs + " level, mm", 1000.0 * result.level_m, row.level_mm, 0.0, source, 0.5e-3);
    check_row(inputs + " first", result.flows_l_per_min[0], row.first, 0.0, source, 0.5e-3);
    check_row(inputs + " second", result.flows_l_per_min[1], row.second, 0.0, source, 0.5e-3);
  }
}
