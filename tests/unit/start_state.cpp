#include "sim/start_state.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "models/constants.hpp"
#include "sim/intake_curve.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double ft = 0.3048, in = 0.0254;  // exact, 1959

struct Started {
  Scenario scenario;
  SiteLayout site;
  TypicalWeek week;
  PitsAtStart start;
};

Started started(const std::string& text) {
  Started s{scenario_of(text), {}, {}, {}};
  s.site = lay_out(s.scenario);
  s.week = typical_week(s.scenario);
  s.start = pits_at_start(s.scenario, s.scenario.biomat, s.week);
  return s;
}

double level_m(const Started& s, std::size_t p) {
  return s.start.pits[p].water_m3 / storage_area_m2(s.site.pits[p].pit.geometry);
}

double intake_m3_per_day(const Started& s, std::size_t p) {
  const Pit& pit = s.site.pits[p].pit;
  std::vector<double> resistance, flow(pit.rings.size() + 1);
  for (const BiomatState& b : s.start.pits[p].biomat) resistance.push_back(b.resistance_day());
  return pit_intake_m3_per_day(pit, resistance, level_m(s, p), {}, flow);
}

double total_resistance(const Started& s, std::size_t p) {
  double sum = 0.0;
  for (const BiomatState& b : s.start.pits[p].biomat) sum += b.resistance_day();
  return sum;
}

bool is_clean(const PitState& pit, const BiomatParameters& p) {
  for (const BiomatState& b : pit.biomat) {
    if (b.labile_day != p.clean_resistance_day || b.residual_day != 0.0) return false;
  }
  return true;
}

}  // namespace

TEST_CASE("a measured pit takes in what its level was seen to lose") {
  // derived: without inflow, intake = storage area x fall.
  for (const char* drop : {"0.1 in/day", "0.75 in/day", "3 in/day", "8 in/day"}) {
    const Started s = started(
        one_pit({.start = fmt::format("measured: {{level: 5 ft, drop: {}, in_use: no}}", drop)}));
    INFO(drop);
    CHECK(s.start.notes.empty());
    CHECK(level_m(s, 0) == Approx(5 * ft).epsilon(1e-12));
    CHECK(intake_m3_per_day(s, 0) == Approx(storage_area_m2(s.site.pits[0].pit.geometry) *
                                            s.scenario.pits[0].start.drop_m_per_day)
                                         .epsilon(1e-6));
  }
}

TEST_CASE("watched in use, a pit takes in its share of the household's water besides") {
  const Started s =
      started(two_pits({.west_invert = "0.125 in",
                        .start = "measured: {level: 5 ft, drop: 1 in/day, in_use: yes}"}));
  const std::vector<double> share = free_shares(s.week, s.site);
  CHECK(share[0] + share[1] == Approx(1.0).epsilon(1e-12));
  CHECK(share[0] > share[1]);
  for (std::size_t p = 0; p < 2; ++p) {
    CHECK(intake_m3_per_day(s, p) == Approx(storage_area_m2(s.site.pits[p].pit.geometry) * 1 * in +
                                            share[p] * s.week.mean_flow_m3_per_day)
                                         .epsilon(1e-6));
  }
}

TEST_CASE("a measured pit is clogged up to the water, or to the stain on its wall") {
  struct Row {
    const char* start;
    double clogged_to_m;
  };
  for (const Row& row : {Row{"measured: {level: 4 ft 2 in, drop: 0.5 in/day}", 4 * ft + 2 * in},
                         Row{"measured: {level: 4 ft, drop: 0.5 in/day, high_water: 6 ft 11 in}",
                             6 * ft + 11 * in}}) {
    INFO(row.start);
    const Started s = started(one_pit({.start = row.start}));
    const Pit& pit = s.site.pits[0].pit;
    const std::vector<BiomatState>& biomat = s.start.pits[0].biomat;
    const BiomatParameters& p = s.scenario.biomat;
    int clogged = 0;
    for (std::size_t j = 0; j < pit.rings.size(); ++j) {
      const bool wet = pit.rings[j].bottom_m < row.clogged_to_m;
      clogged += wet ? 1 : 0;
      CHECK((biomat[j].resistance_day() > 10.0 * p.clean_resistance_day) == wet);
      if (wet) {
        CHECK(biomat[j].resistance_day() == Approx(biomat.back().resistance_day()).epsilon(1e-12));
        CHECK(biomat[j].residual_day ==
              Approx(p.start_residual_share * (biomat[j].resistance_day() - p.clean_resistance_day))
                  .epsilon(1e-9));
      }
    }
    CHECK(clogged > 5);
    CHECK(clogged < static_cast<int>(pit.rings.size()));
  }
}

TEST_CASE("a fall faster than clean soil allows is told, and the wall taken as clean") {
  const Started s = started(one_pit({.start = "measured: {level: 5 ft, drop: 30 ft/day}"}));
  REQUIRE(s.start.notes.size() == 1);
  CHECK(s.start.notes[0].find("East pit: ") == 0);
  CHECK(s.start.notes[0].find("conductivity should be checked") != std::string::npos);
  CHECK(is_clean(s.start.pits[0], s.scenario.biomat));
}

TEST_CASE("what a reading says of the ground hangs on a season's water, not on a day's fall") {
  const std::string soil = "{layers: [{to: 14 ft, perc: 10 min/inch}, {conductivity: 0.4 cm/day}]}";
  for (const int drop : {5, 20, 30, 45, 60, 80, 150}) {
    INFO(drop << " in/day");
    const Started s = started(one_pit(
        {.start = fmt::format("measured: {{level: 7 ft, drop: {} in/day, in_use: no}}", drop),
         .soil = soil}));
    const PitState& pit = s.start.pits[0];
    const double share = s.week.mean_flow_m3_per_day;
    CHECK(pit.mean_intake_m3_per_day <= share * (1.0 + 1e-9));
    REQUIRE(pit.mean_onto_m3_per_day.size() == 1);
    CHECK(pit.mean_onto_m3_per_day[0] > 0.0);
    CHECK(pit.mean_onto_m3_per_day[0] <= share * (1.0 + 1e-9));
    // With that water around, the pit takes in what its level was seen to lose; or it is clean.
    const std::vector<HeldWater> held =
        perched_water(s.site.pits[0].pit, s.site.pits[0].boundaries, pit.mean_onto_m3_per_day);
    const std::vector<double> resistance = pit.resistances_day();
    std::vector<double> flow(resistance.size());
    const double takes =
        pit_intake_m3_per_day(s.site.pits[0].pit, resistance, 7 * ft, {.held = held}, flow);
    const double seen =
        storage_area_m2(s.site.pits[0].pit.geometry) * s.scenario.pits[0].start.drop_m_per_day;
    if (s.start.notes.empty()) {
      CHECK(takes == Approx(seen).epsilon(0.01));
    } else {
      CHECK(is_clean(pit, s.scenario.biomat));
      CHECK(takes < seen * 1.01);
    }
  }
}

TEST_CASE("a reading beside a water table counts the mound that the pit has raised") {
  const Started s = started(one_pit({.start = "measured: {level: 5 ft, drop: 2 in/day, in_use: no}",
                                     .soil = "{perc: 10 min/inch, water_table: 13 ft}"}));
  const PitState& state = s.start.pits[0];
  const PitLayout& layout = s.site.pits[0];
  const GroundOfDay ground{
      .table_m = layout.water_table_m,
      .mound_m = mound_height_m(s.scenario.groundwater, state.mean_intake_m3_per_day,
                                bottom_area_m2(layout.pit.geometry),
                                layout.pit.bottom_soil.kfs_m_per_day)};
  CHECK(ground.mound_m > 0.0);
  std::vector<double> flow(layout.pit.rings.size() + 1);
  CHECK(pit_intake_m3_per_day(layout.pit, state.resistances_day(), 5 * ft, felt_at(ground, 5 * ft),
                              flow) ==
        Approx(storage_area_m2(layout.pit.geometry) * s.scenario.pits[0].start.drop_m_per_day)
            .epsilon(1e-6));
}

TEST_CASE("a fall too fast for the water on a tight layer is not blamed on the soil") {
  const Started s = started(
      one_pit({.start = "measured: {level: 7 ft, drop: 45 in/day, in_use: no}",
               .soil = "{layers: [{to: 14 ft, perc: 10 min/inch}, {conductivity: 0.4 cm/day}]}"}));
  for (const std::string& note : s.start.notes) {
    INFO(note);
    CHECK(note.find("conductivity should be checked") == std::string::npos);
  }
}

TEST_CASE("a pit seen not to fall at all has a great resistance, not an endless one") {
  const Started dead = started(one_pit({.start = "measured: {level: 5 ft, drop: 0 in/day}"}));
  const Started slow = started(one_pit({.start = "measured: {level: 5 ft, drop: 0.1 cm/day}"}));
  REQUIRE(dead.start.notes.size() == 1);
  CHECK(dead.start.notes[0].find("dead") != std::string::npos);
  CHECK(slow.start.notes.empty());
  CHECK(std::isfinite(total_resistance(dead, 0)));
  CHECK(total_resistance(dead, 0) > 5.0 * total_resistance(slow, 0));
  CHECK(intake_m3_per_day(dead, 0) < 1e-3);
  const RunResult r = run_expected(dead.scenario);
  CHECK(r.cases[0].pits[0].first_full != never);
  // In use the inflow keeps the level: that is a reading, and needs no note.
  CHECK(started(one_pit({.start = "measured: {level: 5 ft, drop: 0 in/day, in_use: yes}"}))
            .start.notes.empty());
}

TEST_CASE("a dry pit tells nothing of its walls") {
  const Started s = started(one_pit({.start = "measured: {level: 0 ft, drop: 0 in/day}"}));
  REQUIRE(s.start.notes.size() == 1);
  CHECK(s.start.notes[0].find("dry") != std::string::npos);
  CHECK(is_clean(s.start.pits[0], s.scenario.biomat));
  CHECK(s.start.pits[0].water_m3 == 0.0);
}

TEST_CASE("the higher the level for the same fall, the more clogged the wall") {
  double before = 0.0;
  for (const int level : {2, 3, 4, 5, 6, 7, 8}) {
    const Started s = started(
        one_pit({.start = fmt::format("measured: {{level: {} ft, drop: 1 in/day}}", level)}));
    const double bottom = s.start.pits[0].biomat.back().resistance_day();
    INFO(level << " ft: " << bottom << " days");
    CHECK(bottom > before);
    before = bottom;
  }
}

TEST_CASE("longer in service is never less clogged") {
  // Whole years, so that the season is the same.
  for (const int people : {2, 4}) {
    double before = 0.0, residual_before = 0.0;
    for (const int years : {1, 2, 3, 5, 8, 12, 20}) {
      const Started s = started(one_pit({.household = fmt::format("occupants: {}", people),
                                         .start = fmt::format("in_service: {} years", years)}));
      double residual = 0.0;
      for (const BiomatState& b : s.start.pits[0].biomat) residual += b.residual_day;
      INFO(people << " people, " << years << " years: " << total_resistance(s, 0) << " days, "
                  << residual << " of it residual");
      CHECK(total_resistance(s, 0) > before);
      CHECK(residual > residual_before);
      before = total_resistance(s, 0);
      residual_before = residual;
    }
  }
}

TEST_CASE("a pit built later is clean, and its neighbour had all the water until then") {
  const auto text = [](const char* west) {
    return fmt::format(R"(name: Test site (invented)
start: 2026-05-01
household: {{occupants: 3}}
tank: {{volume: 1000 gal}}
box:
  outlets:
    - {{name: A, to: east}}
    - {{name: B, to: west}}
pits:
  - {{name: east, diameter: 6 ft, depth: 10 ft, in_service: 6 years}}
  - {{name: west, diameter: 6 ft, depth: 10 ft, {}}}
soil: {{perc: 15 min/inch}}
)",
                       west);
  };
  const Started alone = started(text("new: yes"));
  const Started later = started(text("in_service: 2 years"));
  const Started together = started(text("in_service: 6 years"));
  CHECK(is_clean(alone.start.pits[1], alone.scenario.biomat));
  CHECK(alone.start.pits[1].water_m3 == 0.0);
  CHECK_FALSE(is_clean(later.start.pits[1], later.scenario.biomat));
  CHECK(total_resistance(alone, 0) > total_resistance(later, 0));
  CHECK(total_resistance(later, 0) > total_resistance(together, 0));
  CHECK(total_resistance(later, 0) > total_resistance(later, 1));
  CHECK(total_resistance(together, 0) == Approx(total_resistance(together, 1)).epsilon(1e-9));
}

TEST_CASE("the typical week leaves out guests, absences and dated water") {
  const Scenario plain = scenario_of(one_pit({}));
  const Scenario busy = scenario_of(one_pit({.household = R"(
  occupants: 4,
  guests: [{from: 2026-04-01, to: 2026-12-31, overnight: 5}],
  away: [{from: 2026-01-01, to: 2027-12-31}],
  other_water: [{name: sump, flow: 500 gal/day, from: 2026-01-01}]
  )"}));
  const TypicalWeek week = typical_week(plain);
  REQUIRE(week.days.size() == 7);
  CHECK(week.mean_flow_m3_per_day > 0.0);
  CHECK(typical_week(busy).mean_flow_m3_per_day ==
        Approx(week.mean_flow_m3_per_day).epsilon(1e-12));
  // Once the surge layer repeats, what came in goes out.
  double volume_in = 0.0, volume_out = 0.0;
  for (std::size_t d = 0; d < 7; ++d) {
    for (const Segment& seg : week.inflow[d]) {
      volume_in += seg.flow_m3_per_day * (seg.to_day - seg.from_day);
    }
    volume_out += week.days[d].outflow_m3;
  }
  CHECK(volume_out == Approx(volume_in).epsilon(1e-3));
}
