#include "sim/downstream.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "sim/start_state.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

TankDay constant_day(double flow_m3_per_day) {
  TankDay day;
  day.steps = DaySteps({constant_step(1.0, flow_m3_per_day)});
  day.outflow_m3 = flow_m3_per_day;
  day.tss_out_kg = 0.06 * flow_m3_per_day;
  day.bod_out_kg = 0.15 * flow_m3_per_day;
  return day;
}

std::vector<PitState> clean_pits(const SiteLayout& site, const BiomatParameters& biomat) {
  std::vector<PitState> pits;
  for (const PitLayout& p : site.pits) {
    pits.push_back(clean_pit(p.pit, biomat));
  }
  return pits;
}

}  // namespace

TEST_CASE("bins cut a day's steps without losing water") {
  TankDay day;
  day.steps = DaySteps({constant_step(0.1, 3.0), constant_step(0.25, 0.0),
                        constant_step(0.003, 40.0), constant_step(0.647, 0.5)});
  for (const EffluentStep& s : day.steps) day.outflow_m3 += s.dt_day * s.flow_m3_per_day;
  BinnedEffluent binned;
  bin_effluent(day, 1.0 / 12.0, {1, nullptr, false}, binned);
  REQUIRE(binned.bins() == 12);
  CHECK(std::accumulate(binned.outlet_m3.begin(), binned.outlet_m3.end(), 0.0) ==
        Approx(day.outflow_m3).epsilon(1e-12));
  for (const bool several_fall : {false, true}) {
    double volume = 0.0;
    for (std::size_t b = 0; b < 12; ++b) {
      double in_bin = 0.0, bin_volume = 0.0;
      std::vector<BinnedEffluent::Step> joined;
      join_steps(binned, b, several_fall, joined);
      for (const BinnedEffluent::Step& step : joined) {
        in_bin += step.dt_day;
        bin_volume += step.volume_m3;
      }
      CHECK(in_bin == Approx(1.0 / 12.0).epsilon(1e-9));
      CHECK(bin_volume == Approx(binned.outlet_m3[b]).epsilon(1e-12));
      volume += bin_volume;
    }
    CHECK(volume == Approx(day.outflow_m3).epsilon(1e-12));
  }
}

TEST_CASE("box and pits together see a day's steps joined") {
  // 2.8 minutes each, 32 in each of 16 bins; the flow doubles and halves.
  TankDay day;
  std::vector<EffluentStep> steps;
  for (int k = 0; k < 512; ++k) steps.push_back(constant_step(1.0 / 512.0, k % 2 == 0 ? 1.0 : 2.0));
  day.steps = DaySteps(steps);
  BinnedEffluent binned;
  bin_effluent(day, 1.0 / 16.0, {1, nullptr, false}, binned);
  const auto joined_in_day = [&binned](bool several_fall) {
    std::size_t all = 0;
    std::vector<BinnedEffluent::Step> joined;
    for (std::size_t bin = 0; bin < 16; ++bin) {
      join_steps(binned, bin, several_fall, joined);
      all += joined.size();
    }
    return all;
  };
  CHECK(joined_in_day(true) == 512);      // each is another flow
  CHECK(joined_in_day(false) == 16 * 2);  // 21, within an hour, and 11
  for (EffluentStep& step : steps) step.flow_m3_per_day = 1.0;
  day.steps = DaySteps(steps);
  bin_effluent(day, 1.0 / 16.0, {1, nullptr, false}, binned);
  CHECK(joined_in_day(true) == 16 * 11);  // 3, within ten minutes, and 2
  CHECK(joined_in_day(false) == 16 * 2);
}

TEST_CASE("a clean pit under constant inflow settles where intake equals inflow") {
  const Scenario s = scenario_of(one_pit({.start = "new: yes"}));
  const SiteLayout site = lay_out(s);
  BiomatParameters never_clogs = s.biomat;
  never_clogs.beta_day_m2_per_kg = 0.0;
  Downstream downstream(s, site, never_clogs, clean_pits(site, never_clogs));
  BinnedEffluent binned;
  bin_effluent(constant_day(1.5), s.limits.pit_step_day, {1, nullptr, false}, binned);
  for (int d = 0; d < 60; ++d) downstream.day(binned, s.start);
  const double level = downstream.pits()[0].water_m3 / storage_area_m2(site.pits[0].pit.geometry);
  CHECK(uniform_intake_m3_per_day(site.pits[0].pit, never_clogs.clean_resistance_day, level) ==
        Approx(1.5).epsilon(1e-4));
}

TEST_CASE("a pit at its brim spills what it cannot take, to where the file says") {
  const std::string text = R"(name: Test site (invented)
start: 2026-05-01
household: {occupants: 4}
tank: {volume: 1000 gal}
single_outlet: {to: a}
pits:
  - {name: a, diameter: 4 ft, depth: 4 ft, new: yes, when_full: {to: b}}
  - {name: b, diameter: 4 ft, depth: 4 ft, new: yes, when_full: DEST}
soil: {perc: 30 min/inch}
)";
  for (const std::string destination : {"surface", "house"}) {
    std::string own = text;
    own.replace(own.find("DEST"), 4, destination);
    const Scenario s = scenario_of(own);
    const SiteLayout site = lay_out(s);
    Downstream downstream(s, site, s.biomat, clean_pits(site, s.biomat));
    BinnedEffluent binned;
    bin_effluent(constant_day(8.0), s.limits.pit_step_day, {1, nullptr, false}, binned);
    const DownstreamDay* day = nullptr;
    for (int d = 0; d < 30; ++d) day = &downstream.day(binned, s.start);
    CHECK(day->pits[0].full);
    CHECK(day->pits[0].level_m == Approx(1.2192).epsilon(1e-9));
    CHECK(day->pits[1].inflow_m3 == Approx(day->pits[0].overflow_m3).epsilon(1e-12));
    CHECK(day->pits[1].overflow_m3 > 0.0);
    const DownstreamLedger& ledger = downstream.ledger();
    CHECK((destination == "house" ? ledger.house : ledger.surface) > 0.0);
    CHECK((destination == "house" ? ledger.surface : ledger.house) == 0.0);
    CHECK(ledger.in ==
          Approx(ledger.soil + ledger.house + ledger.surface + downstream.water_held_m3())
              .epsilon(1e-12));
  }
}

TEST_CASE("a full pit backs up to the box and its neighbour takes over") {
  Scenario s = scenario_of(two_pits({.west_invert = "2 in", .depth = "5 ft", .start = "new: yes"}));
  const SiteLayout site = lay_out(s);
  Downstream downstream(s, site, s.biomat, clean_pits(site, s.biomat));
  const FreeSplit split(site.outlets, site.lid);
  BinnedEffluent binned;
  bin_effluent(constant_day(3.0), s.limits.pit_step_day, {2, &split, false}, binned);
  const DownstreamDay* day = &downstream.day(binned, s.start);
  CHECK(day->outlet_m3[1] == 0.0);  // two inches higher: nothing while the other is free
  for (int d = 0; d < 200; ++d) {
    day = &downstream.day(binned, s.start);
    CHECK(day->outlet_m3[0] + day->outlet_m3[1] + day->over_lid_m3 == Approx(3.0).epsilon(1e-9));
    if (day->outlet_m3[1] > 0.5) break;
  }
  CHECK(day->pits[0].reaches_box);
  CHECK(day->outlet_m3[1] > 0.5);
  CHECK(day->over_lid_m3 == 0.0);
}

TEST_CASE("a pit that has been full drains back over its lip and no further") {
  // The higher pit's water stands over both lips: it feeds the box until its own lip holds it.
  Scenario s =
      scenario_of(two_pits({.depth = "6 ft", .start = "new: yes", .soil = "{perc: 60 min/inch}"}));
  const SiteLayout site = lay_out(s);
  std::vector<PitState> pits = clean_pits(site, s.biomat);
  const double area = storage_area_m2(site.pits[0].pit.geometry);
  for (BiomatState& b : pits[0].biomat) b.labile_day = 1e6;  // nothing through the wall
  const double lip_level = site.outlets[0].lip_m - site.pits[0].bottom_over_datum_m;
  pits[0].water_m3 = area * (lip_level + 0.05);
  Downstream downstream(s, site, s.biomat, std::move(pits));
  const FreeSplit split(site.outlets, site.lid);
  BinnedEffluent binned;
  bin_effluent(constant_day(0.0), s.limits.pit_step_day, {2, &split, false}, binned);
  const DownstreamDay* day = &downstream.day(binned, s.start);
  CHECK(day->outlet_m3[0] < -0.5 * area * 0.05);
  CHECK(day->outlet_m3[1] == Approx(-day->outlet_m3[0]).epsilon(1e-9));
  for (int d = 0; d < 5; ++d) day = &downstream.day(binned, s.start);
  CHECK(day->pits[0].level_m == Approx(lip_level).margin(2e-3));
  CHECK(day->pits[0].level_m >= lip_level - 2e-3);
}

TEST_CASE("a pit without inflow drains, its wall ages in air and recovers") {
  const Scenario s = scenario_of(one_pit({.start = "new: yes"}));
  const SiteLayout site = lay_out(s);
  std::vector<PitState> pits = clean_pits(site, s.biomat);
  const double area = storage_area_m2(site.pits[0].pit.geometry);
  for (BiomatState& b : pits[0].biomat) b.labile_day = 20.0;
  pits[0].water_m3 = area * 2.0;
  Downstream downstream(s, site, s.biomat, std::move(pits));
  BinnedEffluent binned;
  bin_effluent(constant_day(0.0), s.limits.pit_step_day, {1, nullptr, false}, binned);
  double level = 2.0;
  for (int d = 0; d < 360; ++d) {
    const DownstreamDay& day = downstream.day(binned, s.start + std::chrono::days(d));
    CHECK(day.pits[0].level_m <= level);
    level = day.pits[0].level_m;
  }
  CHECK(level == 0.0);
  const std::vector<BiomatState>& wall = downstream.pits()[0].biomat;
  CHECK(wall[10].exposed_day > 200.0);
  CHECK(wall[10].labile_day < 3.0);
  CHECK(wall.front().labile_day > wall[10].labile_day);  // wet for longer
}

TEST_CASE("an empty pit's rings decay as warm as they lie deep, and once their soil has drained") {
  Scenario s = scenario_of(one_pit({.start = "new: yes"}));
  const SiteLayout site = lay_out(s);
  const auto wall_after_winter = [&](double drainage_factor) {
    s.drainage.factor = drainage_factor;
    std::vector<PitState> pits = clean_pits(site, s.biomat);
    for (BiomatState& b : pits[0].biomat) b.labile_day = 20.0;
    Downstream downstream(s, site, s.biomat, std::move(pits));
    BinnedEffluent binned;
    bin_effluent(constant_day(0.0), s.limits.pit_step_day, {1, nullptr, false}, binned);
    const Date new_year = std::chrono::year{2026} / 1 / 1;
    for (int d = 0; d < 75; ++d) downstream.day(binned, date_of(new_year, d));
    return downstream.pits()[0].biomat;
  };
  const std::vector<BiomatState> at_once = wall_after_winter(0.0), slowly = wall_after_winter(4.0);
  CHECK(at_once[0].labile_day < at_once[25].labile_day);  // warmer below in winter
  CHECK(slowly[0].labile_day > 1.1 * at_once[0].labile_day);
  CHECK(slowly[0].labile_day < 20.0);
}

TEST_CASE("a dead pit, a dry one and one without lining start as the file says") {
  const auto start_of = [](const std::string& start) {
    const Scenario s = scenario_of(one_pit({.start = start}));
    return pits_at_start(s, s.biomat, typical_week(s));
  };
  const PitsAtStart dead = start_of("measured: {level: 6 ft, drop: 0 in/day, in_use: no}");
  CHECK(std::isfinite(dead.pits[0].biomat[0].labile_day));
  CHECK(dead.pits[0].biomat[0].resistance_day() > 1e4);
  CHECK(dead.notes.size() == 1);
  const PitsAtStart dry = start_of("measured: {level: 0 ft, drop: 0 in/day, in_use: no}");
  CHECK(dry.pits[0].biomat.back().resistance_day() == Approx(0.2));
  CHECK(dry.notes.size() == 1);
  // Without a lining the hole is filled with stone: 40 % of pi (3 ft)^2.
  const SiteLayout site = lay_out(scenario_of(one_pit({})));
  CHECK(storage_area_m2(site.pits[0].pit.geometry) ==
        Approx(0.4 * 3.14159265 * 0.9144 * 0.9144).epsilon(1e-6));
}

TEST_CASE("a measured pit keeps its state in its neighbour's past") {
  const std::string text = R"(name: Test site (invented)
start: 2026-05-01
household: {occupants: 3}
tank: {volume: 1000 gal, pumped: 2026-05-01}
single_outlet: {to: a}
pits:
  - {name: a, diameter: 6 ft, depth: 7 ft, when_full: {to: b}, STATE}
  - {name: b, diameter: 6 ft, depth: 9 ft, when_full: surface, in_service: 2 years}
soil: {perc: 15 min/inch}
)";
  const auto level_of_b = [&](const std::string& state) {
    std::string own = text;
    own.replace(own.find("STATE"), 5, state);
    const Scenario s = scenario_of(own);
    return pits_at_start(s, s.biomat, typical_week(s)).pits[1].water_m3;
  };
  // A nearly dead first pit has sent its neighbour almost everything for two years.
  const double behind_dead = level_of_b("measured: {level: 7 ft, drop: 0.2 in/day, in_use: no}");
  const double behind_clean = level_of_b("measured: {level: 1 ft, drop: 60 in/day, in_use: no}");
  CHECK(behind_clean == 0.0);
  CHECK(behind_dead > 0.5);
}
