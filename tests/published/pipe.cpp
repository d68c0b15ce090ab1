// Circular sections against the tables of hydraulics handbooks.
#include "models/pipe.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "models/constants.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;

TEST_CASE("critical and partly full flow by depth") {
  struct Row {
    double depth_ratio, critical, normal;
  };
  const std::string source =
      "handbook tables of circular sections (e.g. Chow 1959, app. A), four decimals; the fifth of "
      "the critical column derived";
  for (const Row& row : {Row{.1, .01067, .0209}, Row{.2, .04181, .0876}, Row{.3, .09215, .1958},
                         Row{.4, .16053, .3370}, Row{.5, .24609, .5000}, Row{.6, .34867, .6718},
                         Row{.7, .47005, .8372}, Row{.8, .61806, .9775}, Row{.9, .82936, 1.0658}}) {
    const std::string inputs = fmt::format("y/D = {}", row.depth_ratio);
    check_row(inputs + " critical", critical_flow_number(row.depth_ratio), row.critical, 0.0,
              source, 0.5e-5);
    check_row(inputs + " normal", normal_flow_ratio(row.depth_ratio), row.normal, 0.0, source,
              0.5e-4);
    if (row.normal <= 1.0) {
      // Read backwards: the slope of Q/Qfull by y/D is above 0.4 at .1 and above 0.8 from .2 to .8.
      const double least_slope = row.depth_ratio < 0.15 ? 0.4 : 0.8;
      check_row(inputs + " inverse", normal_depth_ratio(row.normal), row.depth_ratio, 0.0, source,
                0.5e-4 / least_slope);
    }
  }
}

TEST_CASE("maxima of flow and velocity in a partly full pipe") {
  const std::string source = "standard handbook result: 1.0757 at .938, 1.1400 at .813";
  double best_flow = 0.0, flow_depth = 0.0, best_velocity = 0.0, velocity_depth = 0.0;
  for (int i = 0; i <= 100000; ++i) {
    const double y = i / 100000.0;
    if (normal_flow_ratio(y) > best_flow) {
      best_flow = normal_flow_ratio(y);
      flow_depth = y;
    }
    if (normal_velocity_ratio(y) > best_velocity) {
      best_velocity = normal_velocity_ratio(y);
      velocity_depth = y;
    }
  }
  check_row("largest Q/Qfull", best_flow, 1.0757, 0.0, source, 0.5e-4);
  check_row("its y/D", flow_depth, 0.938, 0.0, source, 0.5e-3);
  check_row("largest V/Vfull", best_velocity, 1.1400, 0.0, source, 0.5e-4);
  check_row("its y/D", velocity_depth, 0.813, 0.0, source, 0.5e-3);
}

TEST_CASE("critical-depth control of a 0.1016 m outlet") {
  struct Row {
    double head_mm, flow;  // L/min
    double digit;
  };
  const double d = 0.1016;
  for (const Row& row : {Row{1, .0366, 1e-4}, Row{5, .9067, 1e-4}, Row{10, 3.585, 1e-3},
                         Row{20, 14.005, 1e-3}, Row{50.8, 83.32, 1e-2}, Row{101.6, 281.38, 1e-2}}) {
    // Specific energy at critical depth: y + A/(2 T).
    double low = 0.0, high = 0.999999;
    for (int i = 0; i < 200; ++i) {
      const double y = 0.5 * (low + high);
      const double surface = 2.0 * std::sqrt(y * (1.0 - y));
      const double energy = y + std::numbers::pi / 4.0 * flow_area_ratio(y) / (2.0 * surface);
      (energy * d < row.head_mm / 1000.0 ? low : high) = y;
    }
    const double flow =
        critical_flow_number(low) * std::sqrt(gravity_m_per_day2) * std::pow(d, 2.5) / 1.44;
    check_row(fmt::format("head {} mm", row.head_mm), flow, row.flow, 0.0,
              "derived: Froude number 1 and head = y + A/(2 T), solved apart", 0.5 * row.digit);
  }
}

TEST_CASE("full flow by Manning and the ends of the functions") {
  // Written out: (1/.01) pi .1^2/4 (.1/4)^(2/3) sqrt(.01) m3/s.
  check_row("D .1 m, 1 %, n .01", full_pipe_flow_m3_per_day(0.1, 0.01, 0.01) / seconds_per_day,
            0.0067151, 0.0, "derived: Manning's equation by hand", 0.5e-7);
  CHECK(full_pipe_flow_m3_per_day(0.1, 0.0, 0.01) == 0.0);
  CHECK(full_pipe_flow_m3_per_day(0.1, -0.01, 0.01) == 0.0);
  CHECK(critical_flow_number(0.0) == 0.0);
  CHECK(normal_flow_ratio(0.0) == 0.0);
  CHECK(normal_flow_ratio(1.0) == Approx(1.0).epsilon(1e-14));
  CHECK(normal_depth_ratio(0.0) == 0.0);
  CHECK(normal_depth_ratio(-1.0) == 0.0);
  CHECK(normal_flow_ratio(normal_depth_ratio(1.0)) == Approx(1.0).epsilon(1e-10));
  CHECK(normal_depth_ratio(1.0) < 0.83);
  for (const double ratio : {1e-9, 1e-6, 1e-3, 0.2, 0.7}) {
    CHECK(normal_flow_ratio(normal_depth_ratio(ratio)) == Approx(ratio).epsilon(1e-9));
  }
}
