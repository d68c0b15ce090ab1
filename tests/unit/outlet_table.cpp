// Tables that stand for a rating or a mound lie where they say beside the function itself.
#include "sim/outlet_table.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "models/groundwater.hpp"
#include "models/tank.hpp"
#include "sim/mound_curve.hpp"

using namespace restwell;

TEST_CASE("The outlet's table lies within 1e-6 of the rating") {
  for (const double diameter_m : {0.05, 0.1016, 0.15}) {
    const CircularOpening outlet{.diameter_m = diameter_m};
    const OutletTable table(outlet);
    double worst = 0.0;
    for (double head_m = 0.0; head_m < 3.0 * diameter_m; head_m += diameter_m / 7777) {
      const double exact = free_flow_coefficient_m_per_day(outlet, head_m);
      worst = std::max(worst, std::abs(table.k_m_per_day(head_m) / exact - 1.0));
    }
    CAPTURE(diameter_m);
    CHECK(worst < 1e-6);
  }
}

TEST_CASE("The table's slope is the rating's, to a percent, within the table and above it") {
  const CircularOpening outlet;
  const OutletTable table(outlet);
  for (const double share : {0.05, 0.2, 0.5, 0.8, 1.3, 1.9, 2.5}) {
    const double head_m = share * outlet.diameter_m, step_m = 1e-5 * outlet.diameter_m;
    const double slope = (free_flow_coefficient_m_per_day(outlet, head_m + step_m) -
                          free_flow_coefficient_m_per_day(outlet, head_m - step_m)) /
                         (2.0 * step_m);
    CAPTURE(share);
    CHECK(table.at(head_m).slope_per_day == Approx(slope).epsilon(0.01));
  }
}

TEST_CASE("The outlet's coefficient is its flow over the square of the head") {
  const CircularOpening outlet;
  for (const double head_m : {1e-4, 0.01, 0.05, 0.1016, 0.12, 0.5}) {
    CHECK(free_flow_coefficient_m_per_day(outlet, head_m) * head_m * head_m ==
          Approx(free_flow_m3_per_day(outlet, head_m)).epsilon(1e-12));
  }
  CHECK(free_flow_coefficient_m_per_day(outlet, 0.0) ==
        Approx(low_head_coefficient_m_per_day(outlet)).epsilon(1e-9));
}

TEST_CASE("A surge step through the table is the one through the rating") {
  const CircularOpening outlet;
  const OutletTable table(outlet);
  const double area_m2 = 3.0;
  for (const double head_m : {0.0, 0.003, 0.02, 0.09}) {
    for (const double inflow : {0.0, 1.0, 20.0}) {
      const SurgeStep slow = surge_step(area_m2, outlet, head_m, inflow, 2e-3);
      const auto k = [&table](double h) { return table.k_m_per_day(h); };
      const double fast_m = surge_head_m(k, k(head_m), head_m, inflow, 2e-3 / area_m2);
      CHECK(fast_m == Approx(slow.head_m).epsilon(1e-6));
      CHECK(inflow * 2e-3 - area_m2 * (fast_m - head_m) ==
            Approx(slow.outflow_m3).epsilon(1e-5).margin(1e-12));
    }
  }
}

TEST_CASE("No layer is torn at up to the calm outflow, and some beyond it") {
  const Tank tank;
  const TankParameters p;
  for (const double sludge_m : {0.3, 0.5, 0.7}) {
    const Layers layers{.sludge_first_m = sludge_m,
                        .scum_first_m = 0.1,
                        .sludge_outlet_m = sludge_m,
                        .scum_outlet_m = 0.1};
    const double calm = calm_outflow_m3_per_day(tank, p, layers);
    const CarryOver at = carry_over(tank, p, layers, calm * (1.0 - 1e-9));
    const CarryOver over = carry_over(tank, p, layers, calm * 1.01 + 1e-3);
    CHECK(at.sludge_kg_per_m3 + at.scum_kg_per_m3 == 0.0);
    CHECK(over.sludge_kg_per_m3 + over.scum_kg_per_m3 > 0.0);
  }
}

TEST_CASE("The mound's curve lies close to the mound, whatever was asked before") {
  const GroundwaterParameters groundwater;
  const double area_m2 = 2.6, conductivity = 0.3;
  MoundCurve curve(groundwater, area_m2, conductivity);
  CHECK(curve.height_m(0.0) == 0.0);
  for (double rate = 1e-3; rate < 5.0; rate *= 1.013) {
    const double exact = mound_height_m(groundwater, rate, area_m2, conductivity);
    CAPTURE(rate);
    CHECK(std::abs(curve.height_m(rate) - exact) <= 2e-4 * exact);
    MoundCurve fresh(groundwater, area_m2, conductivity);
    CHECK(fresh.height_m(rate) == curve.height_m(rate));
  }
}
