// The day's intake curve against the law itself, integrated with error control.
#include "sim/intake_curve.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>
#include <vector>

#include "sim/integrate.hpp"

using namespace restwell;

namespace {

constexpr double ring_m = 0.15;
constexpr std::size_t rings = 24;
constexpr SoilLag no_lag{.lagging_share = 0.0};

Pit some_pit() {
  Pit pit;
  pit.geometry.radius_m = 0.9;
  pit.geometry.depth_m = 3.0;
  pit.bottom_soil = {.kfs_m_per_day = 0.25, .alpha_per_m = 12.0};
  for (std::size_t i = 0; i < rings; ++i) {
    const double low = ring_m * static_cast<double>(i);
    pit.rings.push_back({low, low + ring_m, pit.bottom_soil});
  }
  return pit;
}

// Clogged at the bottom, clean above.
std::vector<double> some_resistances() {
  std::vector<double> all;
  for (std::size_t i = 0; i < rings; ++i) all.push_back(30.0 / (1.0 + static_cast<double>(i * i)));
  all.push_back(50.0);
  return all;
}

// Water [m3] and what the parts took, by the law at every moment; no limit is met.
StateVector by_the_law(const Pit& pit, const std::vector<double>& resistance, double table_m,
                       double water_m3, double inflow, double days) {
  const double area = storage_area_m2(pit.geometry);
  std::vector<double> flow(rings + 1);
  Integrator integrator(1e-9, 1e-9);
  StateVector x(rings + 2, 0.0);
  x[0] = water_m3;
  integrator.advance(
      [&](const StateVector& s, StateVector& rate) {
        rate[0] = inflow - pit_intake_m3_per_day(pit, resistance, std::max(0.0, s[0] / area),
                                                 {.table_m = table_m}, flow);
        for (std::size_t j = 0; j <= rings; ++j) rate[j + 1] = flow[j];
      },
      x, days);
  return x;
}

}  // namespace

TEST_CASE("the curve moves the water as the law does, part by part") {
  const Pit pit = some_pit();
  const double area = storage_area_m2(pit.geometry);
  const std::vector<double> resistance = some_resistances();
  const double table_m = GENERATE(far_below_m, 0.97);
  const double inflow = GENERATE(0.0, 0.3, 4.0);
  const double level_m = GENERATE(1.2, 2.0);
  const double days = 0.5;
  CAPTURE(table_m, inflow, level_m);
  const StateVector law = by_the_law(pit, resistance, table_m, level_m * area, inflow, days);

  IntakeCurve curve(pit, 3.5, no_lag);
  curve.renew(pit, resistance, {.table_m = table_m});
  double water = level_m * area;
  IntakeCurve::Passed passed;
  for (int bin = 0; bin < 6; ++bin) {
    const auto p = curve.advance(water, area, inflow, days / 6);
    passed.intake += p.intake;
    passed.ground += p.ground;
    passed.overflow += p.overflow;
  }
  CHECK(water / area == Approx(law[0] / area).margin(1e-4));
  std::vector<double> taken(rings + 1, 0.0);
  curve.add_taken(taken);
  const double all = std::accumulate(taken.begin(), taken.end(), 0.0);
  for (std::size_t j = 0; j <= rings; ++j) CHECK(taken[j] == Approx(law[j + 1]).margin(5e-4 * all));
  CHECK(passed.overflow == 0.0);
  CHECK(passed.intake - passed.ground == Approx(all).epsilon(1e-10));
  CHECK(water - level_m * area ==
        Approx(inflow * days - passed.intake + passed.ground).margin(1e-12));
}

TEST_CASE("with the soil's lag the curve moves the water as the two equations do") {
  const Pit pit = some_pit();
  const double area = storage_area_m2(pit.geometry);
  const std::vector<double> resistance = some_resistances();
  const SoilLag lag;
  const double inflow = GENERATE(0.0, 0.3, 4.0);
  const double carried = GENERATE(0.0, 1.0, 6.0);
  const double level_m = 1.7, days = 0.5;
  CAPTURE(inflow, carried);
  std::vector<double> flow(rings + 1), clean(rings + 1);
  const std::vector<double> clean_day(rings + 1, 0.0);
  // Water [m3], what the soil carries [m3/day], what was taken in [m3].
  StateVector exact{level_m * area, carried, 0.0};
  Integrator(1e-9, 1e-9)
      .advance(
          [&](const StateVector& s, StateVector& rate) {
            const double level = std::max(0.0, s[0] / area);
            const double by_law = pit_intake_m3_per_day(pit, resistance, level, {}, flow);
            pit_intake_m3_per_day(pit, clean_day, level, {}, clean);
            const double lagging =
                lagging_part(lag, soil_activity(pit, resistance, level, flow, clean));
            const double intake = by_law * lagged_share(lagging, s[1] / by_law, 0.0);
            rate[0] = inflow - intake;
            rate[1] = (intake - s[1]) / lag_time_day(lag, pit, level, flow, clean);
            rate[2] = intake;
          },
          exact, days);

  IntakeCurve curve(pit, 3.5, lag);
  curve.renew(pit, resistance, {});
  double water = level_m * area, soil_flow = carried, taken_in = 0.0;
  constexpr int bins = 6;
  for (int bin = 0; bin < bins; ++bin) {
    curve.start_bin(soil_flow, days / bins);
    const auto p = curve.advance(water, area, inflow, days / bins);
    soil_flow = soil_flow_after_m3_per_day(soil_flow, p.intake / (days / bins), p.soil_keeps);
    taken_in += p.intake;
  }
  CHECK(water / area == Approx(exact[0] / area).margin(2e-3));
  CHECK(taken_in == Approx(exact[2]).margin(5e-3));
  CHECK(soil_flow == Approx(exact[1]).epsilon(0.01));
  std::vector<double> taken(rings + 1, 0.0);
  curve.add_taken(taken);
  CHECK(std::accumulate(taken.begin(), taken.end(), 0.0) == Approx(taken_in).epsilon(1e-10));
}

TEST_CASE(
    "a soil that carries far more than the pit gives it takes next to nothing, gives nothing") {
  const Pit pit = some_pit();
  const double area = storage_area_m2(pit.geometry);
  IntakeCurve curve(pit, 3.5, {});
  curve.renew(pit, std::vector<double>(rings + 1, 0.2), {});
  curve.start_bin(1e3, 1.0 / 12);
  double water = 0.5 * area;
  const auto passed = curve.advance(water, area, 0.1, 1.0 / 12);
  // By (1) of soil_lag.hpp no more than Q^2/(s A u), s A over .1 here; u falls as exp(-t/T).
  const double by_law = uniform_intake_m3_per_day(pit, 0.2, 0.6);
  // All of the wall takes nearly alike.
  const std::vector<double> alike(rings + 1, 1.0);
  const double carried = 1e3 * std::exp(-1.0 / 12 / lag_time_day({}, pit, 0.5, alike, alike));
  CHECK(passed.intake < by_law * by_law / (0.1 * carried) / 12);
  CHECK(passed.intake >= 0.0);
  CHECK(passed.ground == Approx(0.0).margin(1e-12));
  CHECK(water == Approx(0.5 * area + 0.1 / 12 - passed.intake));
}

TEST_CASE("at the brim the curve spills what is left, empty it lets through what comes") {
  const Pit pit = some_pit();
  const double area = storage_area_m2(pit.geometry);
  const std::vector<double> resistance = some_resistances();
  const double brim_m = 3.5;
  IntakeCurve curve(pit, brim_m, no_lag);
  std::vector<double> flow(rings + 1);
  const double at_brim = pit_intake_m3_per_day(pit, resistance, brim_m, {}, flow);

  curve.renew(pit, resistance, {});
  double water = (brim_m - 0.01) * area;
  const auto spilled = curve.advance(water, area, at_brim + 5.0, 1.0);
  CHECK(water == brim_m * area);
  CHECK(spilled.highest_m == brim_m);
  CHECK(spilled.overflow == Approx(5.0 - 0.01 * area).epsilon(1e-3));
  CHECK(spilled.intake + spilled.overflow + 0.01 * area == Approx(at_brim + 5.0).epsilon(1e-12));

  curve.renew(pit, resistance, {});
  water = (brim_m + 0.2) * area;
  CHECK(curve.advance(water, area, at_brim, 0.1).overflow == Approx(0.2 * area).epsilon(1e-9));
  CHECK(water == brim_m * area);

  curve.renew(pit, resistance, {});
  water = 0.001 * area;
  const auto dry = curve.advance(water, area, 0.0, 30.0);
  CHECK(water == 0.0);
  CHECK(dry.intake == Approx(0.001 * area));
  const auto through = curve.advance(water, area, 1e-4, 1.0);
  CHECK(water == 0.0);
  CHECK(through.intake == Approx(1e-4));
  std::vector<double> taken(rings + 1, 0.0);
  curve.add_taken(taken);
  CHECK(std::accumulate(taken.begin(), taken.end(), 0.0) ==
        Approx(0.001 * area + 1e-4).epsilon(1e-9));
}

TEST_CASE("a water table over the water fills the pit up to it and no further") {
  const Pit pit = some_pit();
  const double area = storage_area_m2(pit.geometry);
  const std::vector<double> clean(rings + 1, 0.2);
  IntakeCurve curve(pit, 3.5, no_lag);
  curve.renew(pit, clean, {.table_m = 1.0});
  double water = 0.0;
  const auto passed = curve.advance(water, area, 0.0, 60.0);
  CHECK(water / area == Approx(1.0).margin(1e-3));
  CHECK(passed.ground == Approx(water));
  CHECK(passed.intake == 0.0);
}

TEST_CASE("nothing goes into soil under the mound's top, wherever table and mound stand") {
  const Pit pit = some_pit();
  const std::vector<double> clean(rings + 1, 0.2);
  const double brim_m = 3.5;
  IntakeCurve curve(pit, brim_m, no_lag);
  for (const double table_m : {0.0004, 0.004, 0.01, 1.0, 2.02, 3.3, 3.4, 3.44, 3.46, 3.49, 3.4995})
    for (const double mound_m : {1e-9, 0.0003, 0.002, 0.03, 0.2, 5.0}) {
      curve.renew(pit, clean, {.table_m = table_m, .mound_m = mound_m});
      const double top_m = std::min(table_m + mound_m, brim_m);
      for (const double share : {0.0, 0.3, 0.6, 1.0}) {
        INFO(table_m << " m, mound " << mound_m << " m, at " << share << " of it");
        const double at_m = table_m + share * (top_m - table_m);
        CHECK(curve.at(at_m).intake_m3_per_day == Approx(0.0).margin(1e-9));
      }
      CHECK(curve.at(0.5 * table_m).intake_m3_per_day < 0.0);
      if (top_m < brim_m) CHECK(curve.at(0.5 * (top_m + brim_m)).intake_m3_per_day > 0.0);
    }
}

TEST_CASE("an intake that is not finite is an error, not a result") {
  Pit pit = some_pit();
  std::vector<double> resistance = some_resistances();
  resistance[0] = std::nan("");
  IntakeCurve curve(pit, 3.5, no_lag);
  curve.renew(pit, resistance, {});
  double water = 2.0;
  CHECK_THROWS_AS(curve.advance(water, storage_area_m2(pit.geometry), 0.1, 0.1),
                  std::runtime_error);
}
