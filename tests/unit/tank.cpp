// Septic tank: balances, limits and hand-computable points.
#include "models/tank.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>

#include "models/constants.hpp"
#include "tests/support/fill_tank.hpp"

namespace restwell::test {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double area_m2 = 3.1;

double head_after(double head_m, double inflow, double seconds, int steps) {
  const double dt_day = seconds / seconds_per_day / steps;
  for (int i = 0; i < steps; ++i) {
    head_m = surge_step(area_m2, CircularOpening{}, head_m, inflow, dt_day).head_m;
  }
  return head_m;
}

Tank faulty(bool inlet_baffle, bool outlet_baffle) {
  Tank tank;
  tank.inlet_baffle = inlet_baffle;
  tank.outlet_baffle = outlet_baffle;
  return tank;
}

Tank of_compartments(int compartments, bool long_and_narrow = false) {
  Tank tank;
  tank.compartments = compartments;
  tank.long_and_narrow = long_and_narrow;
  return tank;
}

// Sludge and scum of stated volumes: no age, so that c_I is that of fresh matter.
SolidsState solids(const TankParameters& p, double sludge_m3, double scum_m3) {
  SolidsState s;
  s.inert_kg = sludge_m3 * p.inert_fresh_kg_per_m3;
  s.scum_kg = scum_m3 * p.scum_kg_per_m3;
  return s;
}

Layers at_outlet(double sludge_m, double scum_m = 0.0) {
  Layers l;
  l.sludge_outlet_m = sludge_m;
  l.scum_outlet_m = scum_m;
  return l;
}

}  // namespace

TEST_CASE("Surge step converges with second order under the full rating") {
  struct Case {
    double head_m, inflow_l_per_s, seconds;
  };
  // A bath, a long drain from a third of the pipe, and a pipe that runs under water.
  for (const Case& c : {Case{0.0, 0.5, 300}, Case{0.035, 0.0, 600}, Case{0.15, 1.0, 120}}) {
    const double inflow = c.inflow_l_per_s * 86.4;
    const double reference = head_after(c.head_m, inflow, c.seconds, 8192);
    const double coarse = std::abs(head_after(c.head_m, inflow, c.seconds, 8) - reference);
    const double fine = std::abs(head_after(c.head_m, inflow, c.seconds, 16) - reference);
    CAPTURE(c.head_m, c.seconds, reference, coarse, fine);
    CHECK(std::log2(coarse / fine) > 1.8);
    CHECK(coarse < 0.01 * std::abs(reference - c.head_m));
  }
}

TEST_CASE("Surge step keeps its balance and never goes negative") {
  for (const double head : {0.0, 1e-12, 1e-6, 1e-3, 0.05, 0.1016, 0.5}) {
    for (const double inflow : {0.0, 1e-300, 1e-9, 0.6, 40.0, 500.0}) {
      for (const double seconds : {0.0, 1e-3, 1.0, 300.0, 86400.0}) {
        const double dt = seconds / seconds_per_day;
        const SurgeStep s = surge_step(area_m2, CircularOpening{}, head, inflow, dt);
        CAPTURE(head, inflow, seconds, s.head_m, s.outflow_m3);
        REQUIRE(std::isfinite(s.head_m));
        CHECK(s.head_m >= 0.0);
        CHECK(s.outflow_m3 >= 0.0);
        const double error = inflow * dt - area_m2 * (s.head_m - head) - s.outflow_m3;
        CHECK(std::abs(error) <= 1e-15 * (1.0 + inflow * dt + area_m2 * head));
        if (inflow == 0.0) CHECK(s.head_m <= head);
      }
    }
  }
  const SurgeStep dry = surge_step(area_m2, CircularOpening{}, 0.0, 0.0, 1.0);
  CHECK(dry.head_m == 0.0);
  CHECK(dry.outflow_m3 == 0.0);
  const SurgeStep negative = surge_step(area_m2, CircularOpening{}, -0.1, -5.0, 1.0);
  CHECK(negative.head_m == 0.0);
  CHECK(negative.outflow_m3 == 0.0);
}

TEST_CASE("A steady inflow ends at the head that passes it") {
  const double inflow = 0.2 * 86.4;
  const double head = head_after(0.0, inflow, 86400.0, 200);
  CHECK(free_flow_m3_per_day(CircularOpening{}, head) == Approx(inflow).epsilon(1e-9));
}

TEST_CASE("Settling cells") {
  CHECK(settling_cells(faulty(false, true)) == 1);
  CHECK(settling_cells(faulty(true, false)) == 1);
  CHECK(settling_cells({}) == 2);
  CHECK(settling_cells(of_compartments(2)) == 3);
  CHECK(settling_cells(of_compartments(2, true)) == 4);
}

TEST_CASE("Settled share: limits and faults") {
  TankParameters p;
  // No flow: all that can settle does, .75 of the mass, less the sound tank's bypass of .02.
  CHECK(settled_share({}, p, 0.0) == Approx(0.98 * 0.75));
  CHECK(settled_share({}, p, 1e-9) == Approx(0.98 * 0.75));
  double before = 1.0;
  for (const double flow : {0.1, 1.0, 10.0, 1000.0}) {
    const double share = settled_share({}, p, flow);
    CHECK(share > 0.0);
    CHECK(share < before);
    before = share;
  }
  // Without flow only bypass and lost scum differ: .5 of the floating .22 is lost.
  CHECK(settled_share(faulty(false, true), p, 0.0) == Approx(0.85 * 0.75));
  CHECK(settled_share(faulty(true, false), p, 0.0) == Approx(0.90 * 0.75 * 0.89));
  CHECK(settled_share(faulty(false, false), p, 0.0) == Approx(0.75 * 0.75 * 0.89));
  p.bypass_no_inlet_baffle = p.bypass_no_outlet_baffle = 0.8;
  CHECK(settled_share(faulty(false, false), p, 0.0) == Approx((1.0 - max_bypass) * 0.75 * 0.89));
}

TEST_CASE("Solids: what is deposited is held or digested") {
  const TankParameters p;
  SolidsState s;
  s.biodegradable_kg = 3.0;
  s.inert_kg = 40.0;
  s.inert_age_kg_day = 9000.0;
  s.activity = 0.7;
  s.scum_kg = 5.0;
  for (const double retained : {0.0, 0.5, 1.0}) {
    const SolidsRates r = solids_rates(p, s, 0.15, 14.0, retained);
    const double sum = r.biodegradable_kg + r.inert_kg + r.scum_kg + r.digested_kg;
    CHECK(std::abs(sum - 0.15) < 1e-15);
    CHECK(r.digested_kg > 0.0);
    CHECK(r.inert_age_kg_day == s.inert_kg);
  }
  // Nothing alive: all is held, .22 of it floats; with half the scum lost, .11 of the .89 left.
  SolidsState dead;
  dead.activity = 0.0;
  CHECK(solids_rates(p, dead, 1.0, 12.0).digested_kg == 0.0);
  CHECK(solids_rates(p, dead, 1.0, 12.0).scum_kg == Approx(0.22));
  CHECK(solids_rates(p, dead, 1.0, 12.0).biodegradable_kg == Approx(0.6 * 0.78));
  CHECK(solids_rates(p, dead, 0.89, 12.0, 0.5).scum_kg == Approx(0.11));
  // 1.06^10 times faster ten degrees up.
  CHECK(solids_rates(p, s, 0.0, 20.0).digested_kg / solids_rates(p, s, 0.0, 10.0).digested_kg ==
        Approx(std::pow(1.06, 10)));
}

TEST_CASE("Solids: never negative over ten years, even when the deposit stops") {
  const TankParameters p;
  SolidsState s = after_days(p, brand_new(p), 0.15, 3650);
  CHECK(s.activity == Approx(1.0).margin(1e-6));
  s = after_days(p, s, 0.0, 3650);
  CHECK(s.biodegradable_kg >= 0.0);
  CHECK(s.scum_kg >= 0.0);
  CHECK(s.inert_kg > 0.0);
}

TEST_CASE("Volumes: hand points") {
  const TankParameters p;
  SolidsState s;
  CHECK(sludge_volume_m3(p, s) == 0.0);
  s.biodegradable_kg = 40.0;
  CHECK(sludge_volume_m3(p, s) == Approx(1.0));
  s.inert_kg = 70.0;
  CHECK(sludge_volume_m3(p, s) == Approx(2.0));
  s.inert_kg = 90.0;  // as old as can be
  s.inert_age_kg_day = 90.0 * 60.0 * p.compaction_day;
  CHECK(sludge_volume_m3(p, s) == Approx(2.0));
  s.scum_kg = 35.0;
  CHECK(scum_volume_m3(p, s) == Approx(0.5));
}

TEST_CASE("A pump-out leaves 5 % of the masses and their mean age") {
  const TankParameters p;
  const SolidsState s = after_days(p, brand_new(p), 0.15, 1500);
  const SolidsState left = pumped(p, s);
  CHECK(left.biodegradable_kg == Approx(0.05 * s.biodegradable_kg));
  CHECK(left.inert_kg == Approx(0.05 * s.inert_kg));
  CHECK(left.scum_kg == Approx(0.05 * s.scum_kg));
  CHECK(left.inert_age_kg_day / left.inert_kg == Approx(s.inert_age_kg_day / s.inert_kg));
  CHECK(left.activity == 0.5);
  CHECK(left.activity_growth_per_day == 0.010);
  CHECK(brand_new(p).activity == 0.03);
  CHECK(brand_new(p).activity_growth_per_day == 0.006);
  CHECK(brand_new(p).inert_kg == 0.0);
}

TEST_CASE("Layers of one and two compartments") {
  const TankParameters p;
  const SolidsState s = solids(p, 0.62, 0.31);
  const Layers one = layers({}, p, s);
  CHECK(one.sludge_first_m == Approx(0.20));
  CHECK(one.sludge_outlet_m == Approx(0.20));
  CHECK(one.scum_outlet_m == Approx(0.10));
  // Three quarters over two thirds of the area, one quarter over one third.
  const Layers two = layers(of_compartments(2), p, s);
  CHECK(two.sludge_first_m == Approx(0.20 * 1.125));
  CHECK(two.sludge_outlet_m == Approx(0.20 * 0.75));
  CHECK(two.scum_first_m == Approx(0.10 * 1.125));
  CHECK(two.scum_outlet_m == Approx(0.10 * 0.75));
}

TEST_CASE("The default outlet mouth lies at 0.40 of the liquid depth") {
  const Tank tank;
  CHECK(tank.outlet_mouth_depth_m == Approx(default_mouth_share * tank.liquid_depth_m));
}

TEST_CASE("Carry-over grows as the clear zone thins and with the flow") {
  const TankParameters p;
  const Tank tank;
  const double reach_m = tank.liquid_depth_m - tank.outlet_mouth_depth_m;
  const double flow = 28.8;  // 20 L/min
  double sludge_before = -1.0, scum_before = -1.0;
  for (int i = 0; i <= 40; ++i) {
    const double share = i / 40.0 * 1.0001;  // the last one just past the mouth
    const Layers l = at_outlet(share * reach_m, share * tank.outlet_mouth_depth_m);
    const CarryOver c = carry_over(tank, p, l, flow);
    const CarryOver slow = carry_over(tank, p, l, 0.5 * flow);
    CHECK(c.sludge_kg_per_m3 >= sludge_before);
    CHECK(c.scum_kg_per_m3 >= scum_before);
    CHECK(c.sludge_kg_per_m3 >= slow.sludge_kg_per_m3);
    CHECK(c.scum_kg_per_m3 >= slow.scum_kg_per_m3);
    sludge_before = c.sludge_kg_per_m3;
    scum_before = c.scum_kg_per_m3;
  }
  CHECK(sludge_before == p.carry_max_kg_per_m3);  // at the mouth: phi = 1
  CHECK(scum_before == p.carry_max_kg_per_m3);
  // Half a cone's radius away: phi = 1/4.
  const double cone_m = std::sqrt(flow / (2.0 * std::numbers::pi * 48.0));
  const Layers half = at_outlet(reach_m - 0.5 * cone_m);
  CHECK(carry_over(tank, p, half, flow).sludge_kg_per_m3 == Approx(0.25 * 3.0));
  CHECK(carry_over(tank, p, half, 0.0).sludge_kg_per_m3 == 0.0);
  // Without a baffle scum is not held back, so it is not carried over either.
  const Layers thick = at_outlet(0.1, 0.4);
  CHECK(carry_over(faulty(true, false), p, thick, flow).scum_kg_per_m3 == 0.0);
  CHECK(carry_over(tank, p, thick, flow).scum_kg_per_m3 > 0.0);
}

TEST_CASE("Sludge at the mouth lets the settled solids pass") {
  const Tank tank;
  const double reach_m = tank.liquid_depth_m - tank.outlet_mouth_depth_m;
  CHECK(pass_through_share(tank, Layers{}) == 0.0);
  CHECK(pass_through_share(tank, at_outlet(reach_m - 1e-6)) == 0.0);
  CHECK(pass_through_share(tank, at_outlet(reach_m + 1e-6)) == 1.0);
}

TEST_CASE("Pump-out readings at hand-computable points") {
  // 60 in of liquid on 2 m2, mouth at 24 in.
  constexpr double inch_m = 0.0254;
  const TankParameters p;
  Tank tank;
  tank.plan_area_m2 = 2.0;
  tank.liquid_depth_m = 60 * inch_m;
  tank.outlet_mouth_depth_m = 24 * inch_m;
  const SolidsState at_mark = solids(p, 2.0 * 13 * inch_m, 2.0 * 5 * inch_m);
  const PumpOutReadings mark = pump_out_readings(tank, p, at_mark, 0.5);
  CHECK(mark.solids_share_of_depth == Approx(0.30));  // 18 in of 60 in: common practice
  CHECK(mark.sludge_clearance_m == Approx((60 - 24 - 13) * inch_m));
  CHECK(mark.scum_clearance_m == Approx((24 - 5) * inch_m));
  CHECK(mark.retention_day == Approx(2.0 * 42 * inch_m / 0.5));

  // 2 in of 60 in is fine: common practice.
  const PumpOutReadings fine = pump_out_readings(tank, p, solids(p, 2.0 * 2 * inch_m, 0.0), 0.0);
  CHECK(fine.solids_share_of_depth == Approx(2.0 / 60.0));
  CHECK(fine.solids_share_of_depth < PumpOutLimits{}.solids_share_of_depth);
  CHECK(fine.retention_day == infinity);

  Tank two = tank;  // the first compartment is the fuller one
  two.compartments = 2;
  CHECK(pump_out_readings(two, p, at_mark, 0.5).solids_share_of_depth == Approx(0.30 * 1.125));
  CHECK(pump_out_readings(two, p, at_mark, 0.5).sludge_clearance_m ==
        Approx((60 - 24 - 13 * 0.75) * inch_m));

  Tank bare = tank;
  bare.outlet_baffle = false;
  CHECK(pump_out_readings(bare, p, at_mark, 0.5).scum_clearance_m == infinity);
  CHECK(pump_out_readings(bare, p, at_mark, 0.5).sludge_clearance_m == Approx(47 * inch_m));

  const PumpOutReadings full = pump_out_readings(tank, p, solids(p, 10.0, 0.0), 0.5);
  CHECK(full.retention_day == 0.0);
  CHECK(full.sludge_clearance_m < 0.0);
}

TEST_CASE("Tank temperature over the year") {
  const TankParameters p;
  CHECK(tank_temperature_c(p, p.warmest_day_of_year) == Approx(16.0));
  CHECK(tank_temperature_c(p, p.warmest_day_of_year - days_per_year / 2) == Approx(8.0));
  CHECK(tank_temperature_c(p, p.warmest_day_of_year + days_per_year) == Approx(16.0));
}

}  // namespace restwell::test
