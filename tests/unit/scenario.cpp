// Good files become the scenario they describe, in internal units; what is left out gets the
// default its key documents.
#include <chrono>
#include <numbers>

#include "sim/assumptions.hpp"
#include "sim/diagnostic.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;

namespace {

constexpr double ft = 0.3048, in = 0.0254, gal = 0.003785411784;  // NIST SP 811, exact

LoadedScenario good(const std::string& name) {
  return load_scenario(std::string(RESTWELL_SOURCE_DIR) + "/tests/support/" + name);
}

Date on_day(int y, unsigned m, unsigned d) {
  return Date{std::chrono::year{y} / std::chrono::month{m} / std::chrono::day{d}};
}

Approx about(double v) { return Approx(v).epsilon(1e-9).margin(1e-12); }

const FixtureUse& use(const FixtureSet& set, Fixture f) { return set[static_cast<std::size_t>(f)]; }

const char* smallest = R"(
name: Site A
start: 2026-05-01
household: {occupants: 4}
tank: {volume: 1000 gal, pumped: 2024-05-01}
box: {outlets: [{name: A, to: east}]}
pits: [{name: east, diameter: 6 ft, depth: 10 ft, lining: {inner_diameter: 4 ft, outer_diameter: 5 ft}}]
soil: {perc: 10 min/inch}
)";

std::string with(std::string text, const std::string& part, const std::string& by) {
  const std::size_t at = text.find(part);
  REQUIRE(at != std::string::npos);
  return text.replace(at, part.size(), by);
}

std::string problem(const std::string& text) {
  try {
    static_cast<void>(parse_scenario(text, "x"));
  } catch (const ScenarioError& e) {
    return e.problems().front().field + ": " + e.problems().front().message;
  }
  return "";
}

}  // namespace

TEST_CASE("full file: top and household") {
  const LoadedScenario loaded = good("full.yaml");
  const Scenario& s = loaded.scenario;
  CHECK(s.name == "Two old pits on a level box");
  CHECK(s.question == "When do the pits fill, and which first?");
  CHECK(s.start == on_day(2026, 5, 1));
  CHECK(s.years == 25);
  CHECK(s.units == UnitSystem::metric);
  CHECK(s.mode == Mode::random);
  CHECK(s.seed == 42);

  const HouseholdConfig& h = s.household;
  CHECK(h.occupants == 4);
  CHECK(h.home_by_day == 1.0);
  CHECK(h.bedrooms == 3);
  const FixtureSet old = fixture_set(FixtureSetName::old);
  CHECK(use(h.fixtures, Fixture::toilet).volume_m3 == about(1.6 * gal));
  CHECK(use(h.fixtures, Fixture::toilet).events_per_person_day == 5.5);
  CHECK(use(h.fixtures, Fixture::toilet).flow_m3_per_day == about(16 * gal * 1440));
  CHECK(use(h.fixtures, Fixture::shower).volume_m3 == about(0.060));
  CHECK(use(h.fixtures, Fixture::shower).flow_m3_per_day ==
        use(old, Fixture::shower).flow_m3_per_day);
  CHECK(use(h.fixtures, Fixture::bath).events_per_person_day == 0.1);
  CHECK(use(h.fixtures, Fixture::bath).volume_m3 == use(old, Fixture::bath).volume_m3);
  CHECK(use(h.fixtures, Fixture::faucet).flow_m3_per_day == about(2 * gal * 1440));
  CHECK(use(h.fixtures, Fixture::washer).volume_m3 == about(20 * gal));
  CHECK(use(h.fixtures, Fixture::dishwasher).volume_m3 == about(5 * gal));
  CHECK(use(h.fixtures, Fixture::other).volume_m3 == about(1 * gal));
  CHECK(h.laundry.loads_per_week == 8.0);
  CHECK(h.laundry.days == std::vector<unsigned>{5, 6});
  CHECK(h.leak_m3_per_day == about(10 * gal));
  CHECK(h.disposer);
  REQUIRE(h.softener);
  CHECK(h.softener->volume_m3 == about(40 * gal));
  CHECK(h.softener->every_day == 10);
  REQUIRE(h.guests.size() == 2);
  CHECK(h.guests[0].from == on_day(2026, 12, 20));
  CHECK(h.guests[0].to == on_day(2027, 1, 2));
  CHECK(h.guests[0].overnight == 3);
  CHECK(h.guests[0].day_visitors == 2);
  CHECK(h.guests[1].overnight == 0);
  CHECK(h.guests[1].day_visitors == 12);
  REQUIRE(h.away.size() == 1);
  CHECK(h.away[0].to == on_day(2026, 7, 14));
  REQUIRE(h.season);
  CHECK(h.season->from.month == 11);
  CHECK(h.season->from.day == 15);
  CHECK(h.season->to.month == 3);
  CHECK(h.season->to.day == 31);
  REQUIRE(h.other_water.size() == 2);
  CHECK(h.other_water[0].name == "sump pump");
  CHECK(h.other_water[0].flow_m3_per_day == about(50 * gal));
  CHECK(h.other_water[0].from == on_day(2026, 6, 1));
  CHECK(h.other_water[0].to == on_day(2026, 9, 30));
  CHECK(h.other_water[0].dates.empty());
  CHECK(h.other_water[1].dates == std::vector<Date>{on_day(2026, 8, 1), on_day(2026, 8, 9)});
  CHECK_FALSE(h.other_water[1].from);

  // by date, whatever the order in the file
  REQUIRE(h.changes.size() == 2);
  const HouseholdChange& first = h.changes[0];
  CHECK(first.from == on_day(2028, 6, 1));
  CHECK(first.occupants == 6.0);
  CHECK(first.home_by_day == 2.0);
  CHECK(*first.leak_m3_per_day == about(20 * gal));
  CHECK(first.disposer == false);
  CHECK(first.laundry_loads_per_week == 5.0);
  CHECK(first.laundry_days == std::vector<unsigned>{0});
  REQUIRE(first.fixtures);
  const FixtureSet efficient = fixture_set(FixtureSetName::efficient);
  CHECK(use(*first.fixtures, Fixture::toilet).volume_m3 == about(1.28 * gal));
  CHECK(use(*first.fixtures, Fixture::shower).volume_m3 ==
        use(efficient, Fixture::shower).volume_m3);
  const HouseholdChange& second = h.changes[1];
  CHECK(second.from == on_day(2030, 1, 1));
  CHECK(second.occupants == 2.0);
  CHECK_FALSE(second.leak_m3_per_day);
  CHECK_FALSE(second.fixtures);
  CHECK_FALSE(second.disposer);
}

TEST_CASE("full file: tank and box") {
  const Scenario s = good("full.yaml").scenario;
  const Tank& t = s.tank.tank;
  CHECK(t.plan_area_m2 == about(32 * ft * ft));
  CHECK(t.liquid_depth_m == about(4 * ft));
  CHECK(t.compartments == 2);
  CHECK_FALSE(t.long_and_narrow);
  CHECK_FALSE(t.inlet_baffle);
  CHECK(t.outlet_baffle);
  CHECK(t.outlet_mouth_depth_m == about(18 * in));
  CHECK(t.outlet.diameter_m == about(0.1));
  CHECK(t.outlet.discharge_coefficient == 0.62);
  CHECK_FALSE(s.tank.start.brand_new);
  CHECK(*s.tank.start.sludge_m == about(14 * in));
  CHECK(*s.tank.start.scum_m == about(3 * in));
  CHECK(s.tank.start.pumped == on_day(2024, 5, 1));
  REQUIRE(s.tank.readings.size() == 2);  // by date
  CHECK(s.tank.readings[0].date == on_day(2025, 5, 1));
  CHECK(s.tank.readings[0].sludge_m == about(8 * in));
  CHECK(s.tank.readings[1].date == on_day(2025, 11, 2));
  CHECK(s.tank.readings[1].scum_m == about(0.05));
  CHECK(s.tank.pump_out.kind == PumpOutPolicy::Kind::when);
  CHECK(s.tank.pump_out.criteria ==
        std::vector<Criterion>{Criterion::solids, Criterion::scum_clearance});
  CHECK(s.tank.pump_out.dates == std::vector<Date>{on_day(2026, 6, 1), on_day(2027, 5, 1)});
  CHECK(s.tank.limits.solids_share_of_depth == about(0.33));
  CHECK(s.tank.limits.sludge_clearance_m == about(10 * in));
  CHECK(s.tank.limits.scum_clearance_m == about(2 * in));
  CHECK(s.tank.limits.retention_day == about(1.5));

  CHECK(s.box.present);
  CHECK(s.box.lid.level_m == about(9 * in));
  CHECK(s.box.lid.perimeter_m == about(5 * ft));
  CHECK(s.box.over_lid == LeavesTo::house);
  CHECK(s.box.tilt_x_rad == about(0.5 * std::numbers::pi / 180));
  CHECK(s.box.tilt_y_rad == about(-0.25 * std::numbers::pi / 180));
  REQUIRE(s.box.outlets.size() == 4);
  const BoxOutletConfig& a = s.box.outlets[0];
  CHECK(a.name == "A");
  CHECK(a.pit == "east");
  CHECK(a.placement.invert_m == about(in / 8));
  CHECK(a.placement.x_m == about(-8 * in));
  CHECK(a.placement.y_m == about(2 * in));
  CHECK(a.placement.lip_growth_m == about(0.002));
  CHECK(a.placement.leveler_eccentricity_m == about(in / 2));
  CHECK(a.placement.leveler_angle_rad == about(std::numbers::pi / 2));
  CHECK(a.opening.diameter_m == about(4 * in));
  CHECK(a.opening.discharge_coefficient == 0.60);  // thin insert, models/rating.hpp
  CHECK(a.check_valve);
  const BoxOutletConfig& b = s.box.outlets[1];
  CHECK(b.opening.diameter_m == about(3 * in));
  CHECK(b.opening.discharge_coefficient == 0.62);
  CHECK_FALSE(b.check_valve);
  CHECK_FALSE(b.capped);
  CHECK(s.box.outlets[2].capped);
  CHECK(s.box.outlets[2].pit.empty());
}

TEST_CASE("full file: pits, soil, limits") {
  const Scenario s = good("full.yaml").scenario;
  REQUIRE(s.pits.size() == 3);
  const PitConfig& east = s.pits[0];
  CHECK(east.name == "east");
  CHECK(east.geometry.radius_m == about(3 * ft));
  CHECK(east.geometry.depth_m == about(10 * ft));
  CHECK(east.inlet_depth_m == about(2.5 * ft));
  CHECK(east.geometry.cover_above_inlet_m == about(2 * ft));
  CHECK(east.inlet_below_box_m == about(3 * in));
  CHECK(east.geometry.lining_inner_radius_m == about(2 * ft));
  CHECK(east.geometry.lining_outer_radius_m == about(2.5 * ft));
  CHECK(east.geometry.gravel_porosity == about(0.35));
  CHECK(east.geometry.inside_open_share == about(0.35));
  CHECK(east.start.kind == PitStart::Kind::measured);
  CHECK(east.start.level_m == about(7 * ft));
  CHECK(east.start.drop_m_per_day == about(2 * in));
  CHECK(east.start.observed_in_use);
  CHECK(*east.start.high_water_m == about(8 * ft));
  CHECK(east.when_full.kind == WhenFull::Kind::pit);
  CHECK(east.when_full.pit == "west");
  REQUIRE(east.layers);
  REQUIRE(east.layers->size() == 1);
  CHECK((*east.layers)[0].soil.kfs_m_per_day == about(0.25));
  CHECK((*east.layers)[0].soil.alpha_per_m == 4);
  const PitConfig& west = s.pits[1];
  CHECK(west.geometry.radius_m == about(1));
  CHECK(west.geometry.inside_open_share == 1);
  CHECK(west.geometry.gravel_porosity == about(0.40));
  CHECK(west.inlet_depth_m == about(3 * ft));
  CHECK(west.geometry.cover_above_inlet_m == about(3 * ft));
  CHECK(west.inlet_below_box_m == about(1 * in));
  CHECK(west.start.kind == PitStart::Kind::in_service);
  CHECK(west.start.service_day == about(15 * 365.25));
  CHECK(west.when_full.kind == WhenFull::Kind::surface);
  CHECK_FALSE(west.layers);
  CHECK_FALSE(west.geometry.trench);

  const PitConfig& field = s.pits[2];  // drain fields stand behind the pits
  CHECK(field.name == "field");
  REQUIRE(field.geometry.trench);
  CHECK(field.geometry.trench->length_m == about(60 * ft));
  CHECK(field.geometry.trench->width_m == about(2 * ft));
  CHECK(field.geometry.trench->count == 3);
  CHECK(field.geometry.depth_m == about(1 * ft));
  CHECK(field.geometry.cover_above_inlet_m == about(20 * in));
  CHECK(field.geometry.gravel_porosity == about(0.38));
  CHECK(field.inlet_depth_m == about(20 * in));
  CHECK(field.inlet_below_box_m == about(2 * in));
  CHECK(field.start.kind == PitStart::Kind::measured);
  CHECK(field.start.level_m == about(6 * in));
  CHECK(field.when_full.pit == "west");
  REQUIRE(field.while_resting);
  CHECK(field.while_resting->pit == "west");
  REQUIRE(field.layers);
  CHECK((*field.layers)[0].soil.kfs_m_per_day == about(0.3));

  REQUIRE(s.soil.layers.size() == 3);
  const SoilLayer& top = s.soil.layers[0];
  CHECK(top.to_depth_m == about(4 * ft));
  CHECK(top.soil.alpha_per_m == 36);
  CHECK(top.soil.kfs_m_per_day ==
        about(kfs_from_percolation_m_per_day({5.0 / 1440 / in, 4 * in, 7 * in}, 36)));
  CHECK(top.basis == "5 min/inch in a hole of 8 in with 7 in of water");
  const SoilLayer& middle = s.soil.layers[1];
  const Texture* sandy_loam = find_texture("sandy loam");
  REQUIRE(sandy_loam != nullptr);
  CHECK(middle.to_depth_m == about(8 * ft));
  CHECK(middle.soil.kfs_m_per_day == about(sandy_loam->ks_m_per_day / 2));
  CHECK(middle.soil.alpha_per_m == sandy_loam->gardner_alpha_per_m);
  CHECK(middle.basis == "texture sandy loam");
  const SoilLayer& last = s.soil.layers[2];
  CHECK(last.to_depth_m == 1e9);
  CHECK(last.soil.alpha_per_m == 12);
  CHECK(last.basis == "20 min/inch in a hole of 6 in with 6 in of water (hole and depth assumed)");
  CHECK(s.soil.water_table->mean_m == about(25 * ft));
  CHECK(s.soil.water_table->amplitude_m == about(2 * ft));
  CHECK(s.soil.water_table->high == MonthDay{4, 10});
  CHECK(s.separation_m == about(3 * ft));
  CHECK(s.limits.ring_height_m == about(4 * in));
  CHECK(s.limits.pit_step_day == about(1.0 / 48));
  CHECK(s.limits.surge_head_change == about(0.05));
}

TEST_CASE("full file: each assumption is set, listed, and can be written back") {
  const Scenario s = good("full.yaml").scenario;
  CHECK(s.assumptions_set.size() == assumptions().size());
  CHECK(s.assumptions_set.front() == "assumptions.clogging_per_load = 5 day m2/kg");
  CHECK(s.biomat.beta_day_m2_per_kg == 5);
  CHECK(s.biomat.reference_kfs_m_per_day == about(0.25));
  CHECK(s.biomat.decay_20c_per_day == about(0.025));
  CHECK(s.biomat.clean_resistance_day == about(0.25));
  CHECK(s.biomat.aeration_lag_day == 14);
  CHECK(s.drainage.factor == 0.8);
  CHECK(s.drainage.longest_day == 100);
  CHECK(s.soil_temperature.mean_c == about(10));
  CHECK(s.soil_temperature.surface_swing_c == about(10));
  CHECK(s.soil_temperature.surface_warmest_day_of_year == 210);
  CHECK(s.soil_temperature.diffusivity_m2_per_day == about(0.0432));
  CHECK(s.tank_parameters.inert_fresh_kg_per_m3 == about(71));
  CHECK(s.tank_parameters.compaction_day == about(4 * 365.25));
  CHECK(s.tank_parameters.activity_growth_new_per_day == about(0.01));
  CHECK(s.tank_parameters.carry_sludge_fall_m_per_day == about(36));
  CHECK(s.tank_parameters.carry_max_kg_per_m3 == about(2));
  CHECK(s.household_parameters.guest_m3_per_day == about(45 * gal));
  CHECK(s.household_parameters.bod_kg_per_person_day == about(0.060));

  // The file sets every parameter to something else, and no key sets another key's parameter.
  const Scenario defaults;
  const auto before = assumption_list(defaults);
  Scenario in_us = s;
  in_us.units = UnitSystem::us;
  const auto after = assumption_list(in_us);
  REQUIRE(before.size() == after.size());
  for (std::size_t i = 0; i < before.size(); ++i) {
    INFO(before[i].key);
    CHECK(before[i].value_text != after[i].value_text);
    CHECK_FALSE(after[i].note.empty());
    const std::string text =
        with(smallest,
             "soil:", "assumptions: {" + after[i].key + ": " + after[i].value_text + "}\nsoil:");
    const Scenario one = parse_scenario(text, "x").scenario;
    const auto list = assumption_list(one);
    for (std::size_t j = 0; j < list.size(); ++j)
      CHECK(list[j].value_text == (j == i ? after : before)[j].value_text);
    CHECK(one.assumptions_set ==
          std::vector<std::string>{"assumptions." + after[i].key + " = " + after[i].value_text});
  }
}

TEST_CASE("assumptions are listed in the units of the output") {
  Scenario s;
  const auto shown = [&](const std::string& key) {
    for (const AssumptionInfo& a : assumption_list(s))
      if (a.key == key) return a.value_text;
    return std::string();
  };
  CHECK(shown("layer_reach") == "50 ft");
  CHECK(shown("guest_flow") == "40 gal/day");
  s.units = UnitSystem::metric;
  CHECK(shown("layer_reach") == "15.24 m");
  CHECK(shown("guest_flow") == "151.4 L/day");
  CHECK(shown("mound_memory") == "90 days");
}

TEST_CASE("what is left out gets its default") {
  const LoadedScenario loaded = parse_scenario(smallest, "x");
  CHECK(loaded.warnings.empty());
  const Scenario& s = loaded.scenario;
  CHECK(s.question.empty());
  CHECK(s.years == 20);
  CHECK(s.units == UnitSystem::us);
  CHECK(s.mode == Mode::steady);
  CHECK(s.seed == 1);
  CHECK_FALSE(s.household.home_by_day);
  CHECK(s.household.bedrooms == 0);
  CHECK(use(s.household.fixtures, Fixture::toilet).volume_m3 ==
        use(fixture_set(FixtureSetName::typical), Fixture::toilet).volume_m3);
  CHECK(s.household.leak_m3_per_day == about(4.3 * gal));  // DeOreo et al. 2016, median home
  CHECK_FALSE(s.household.disposer);
  CHECK_FALSE(s.household.softener);
  CHECK_FALSE(s.household.season);
  CHECK_FALSE(s.household.laundry.loads_per_week);
  CHECK(s.household.laundry.days.empty());
  CHECK(s.tank.tank.liquid_depth_m == about(48 * in));
  CHECK(s.tank.tank.plan_area_m2 == about(1000 * gal / (48 * in)));
  CHECK(s.tank.tank.compartments == 1);
  CHECK(s.tank.tank.outlet_mouth_depth_m == about(0.4 * 48 * in));
  CHECK(s.tank.tank.outlet.diameter_m == about(4 * in));
  CHECK(s.tank.tank.outlet.discharge_coefficient == 0.58);
  CHECK(s.tank.pump_out.kind == PumpOutPolicy::Kind::never);
  CHECK(s.tank.limits.solids_share_of_depth == about(0.30));
  CHECK(s.tank.limits.sludge_clearance_m == about(12 * in));
  CHECK(s.tank.limits.scum_clearance_m == about(3 * in));
  CHECK(s.tank.limits.retention_day == about(1));
  CHECK(s.box.lid.level_m == about(8 * in));
  CHECK(s.box.lid.perimeter_m == about(1.2));
  CHECK(s.box.over_lid == LeavesTo::surface);
  CHECK(s.box.outlets.at(0).opening.diameter_m == about(4 * in));
  CHECK(s.box.outlets.at(0).placement.invert_m == 0);
  const PitConfig& p = s.pits.at(0);
  CHECK(p.start.kind == PitStart::Kind::brand_new);
  CHECK(p.when_full.kind == WhenFull::Kind::box);
  CHECK(p.inlet_depth_m == about(3 * ft));
  CHECK(p.geometry.cover_above_inlet_m == about(3 * ft));
  CHECK(p.geometry.gravel_porosity == about(0.40));
  CHECK(p.geometry.inside_open_share == 1);
  CHECK_FALSE(s.soil.water_table);
  CHECK(s.separation_m == about(4 * ft));
  CHECK(s.soil.layers.at(0).soil.alpha_per_m == 12);
  CHECK(s.limits.ring_height_m == about(4 * in));
  CHECK(s.limits.pit_step_day == about(1.0 / 12));
  CHECK(s.limits.surge_head_change == about(0.50));
  CHECK(s.assumptions_set.empty());
}

TEST_CASE("full file: plan, and where a resting pit's water goes") {
  const Scenario s = good("full.yaml").scenario;
  REQUIRE(s.plan.size() == 4);
  CHECK(s.plan[0].date == std::chrono::sys_days(std::chrono::year(2026) / 6 / 1));
  CHECK(s.plan[0].outlet == 0);
  CHECK(s.plan[0].capped == true);
  CHECK(s.plan[0].leveler_angle_rad.value() == about(std::numbers::pi));
  CHECK_FALSE(s.plan[0].haul);
  CHECK(s.plan[1].capped == false);
  CHECK(s.plan[1].to == "east");
  CHECK(s.plan[1].raised_m.value() == about(0.25 * in));
  CHECK(s.plan[2].haul == true);
  CHECK(s.plan[3].haul == false);
  CHECK(s.box.outlets[1].placement.raised_m == about(in / 16));
  REQUIRE(s.pits[0].while_resting);
  CHECK(s.pits[0].while_resting->kind == WhileResting::Kind::pit);
  CHECK(s.pits[0].while_resting->pit == "west");
  CHECK_FALSE(s.pits[1].while_resting);
}

TEST_CASE("other ways to say it") {
  const LoadedScenario loaded = good("other_ways.yaml");
  const Scenario& s = loaded.scenario;
  CHECK(loaded.warnings.empty());
  CHECK(s.household.occupants == 2.5);
  CHECK(s.tank.tank.plan_area_m2 == about(std::numbers::pi * 9 * ft * ft));
  CHECK(s.tank.start.brand_new);
  CHECK(s.tank.pump_out.kind == PumpOutPolicy::Kind::every);
  CHECK(s.tank.pump_out.every_day == about(3 * 365.25));
  CHECK_FALSE(s.box.present);
  REQUIRE(s.box.outlets.size() == 1);
  CHECK(s.box.outlets[0].pit == "only pit");
  CHECK(s.pits[0].when_full.kind == WhenFull::Kind::house);
  // an open hole: all of it stores water
  CHECK(storage_area_m2(s.pits[0].geometry) == about(std::numbers::pi * 9 * ft * ft));
  CHECK(s.soil.layers[0].soil.alpha_per_m == 36);  // the structure overrules the texture's class
  CHECK(s.soil.layers[0].basis == "texture loam");
  CHECK_NOTHROW(good("other_soil.yaml"));
}

TEST_CASE("sizes of the tank") {
  const auto tank = [](const std::string& keys) {
    return parse_scenario(with(smallest, "volume: 1000 gal", keys), "x").scenario.tank.tank;
  };
  CHECK(tank("length: 12 ft, width: 4 ft").long_and_narrow);
  CHECK_FALSE(tank("length: 11 ft, width: 4 ft").long_and_narrow);
  // volume and plan without liquid_depth: the depth follows
  const Tank t = tank("volume: 1000 gal, length: 8 ft, width: 4 ft");
  CHECK(t.liquid_depth_m == about(1000 * gal / (32 * ft * ft)));
  CHECK(t.outlet_mouth_depth_m == about(0.4 * t.liquid_depth_m));
  CHECK_NOTHROW(tank("volume: 1000 gal, length: 8 ft, width: 4 ft, liquid_depth: 46 in"));
}

TEST_CASE("worth a word, but accepted") {
  const auto warnings = [](const std::string& text) { return parse_scenario(text, "x").warnings; };
  const std::string start = with(smallest, ", pumped: 2024-05-01", "");
  CHECK(warnings(start) ==
        std::vector<std::string>{"x:5:1: tank: without found, pumped or new: yes the tank is taken "
                                 "as pumped on the start date"});
  const std::string near = with(smallest, "10 min/inch", "10 min/inch, water_table: 15 ft");
  CHECK(warnings(near) ==
        std::vector<std::string>{
            "x:8:40: soil.water_table: only 2 ft between the bottom of east "
            "and the water table without the mound under the pit, less than 4 ft"});
  CHECK(warnings(with(near, "15 ft", "17 ft")).empty());
  const std::string late =
      with(smallest, "occupants: 4", "occupants: 4, away: [{from: 2060-01-01, to: 2060-02-01}]");
  CHECK(warnings(late).size() == 1);
  const std::string early =
      with(smallest, "occupants: 4", "occupants: 4, away: [{from: 2020-01-01, to: 2020-02-01}]");
  CHECK(warnings(early).size() == 1);
  const std::string bare =
      with(smallest, ", lining: {inner_diameter: 4 ft, outer_diameter: 5 ft}", "");
  CHECK(warnings(bare).size() == 1);
  CHECK(warnings(with(bare, "depth: 10 ft", "depth: 10 ft, filled_with_stone: yes")).empty());
}

TEST_CASE("checks over several changes") {
  const auto changes = [](const std::string& list) {
    return problem(
        with(smallest, "occupants: 4", "occupants: 4, home_by_day: 3, changes: " + list));
  };
  CHECK(changes("[{from: 2028-01-01, occupants: 2}]") ==
        "household.changes[1].occupants: must be at most the number of occupants, 2, got 3");
  CHECK(changes("[{from: 2028-01-01, occupants: 2, home_by_day: 1}]").empty());
  CHECK(changes("[{from: 2028-01-01, occupants: 9}, {from: 2028-01-01, disposer: yes}]") ==
        "household.changes[2].from: two changes on the same day, 2028-01-01");
  CHECK(changes("[{from: 2028-01-01}]") == "household.changes[1]: says nothing that changes");
  CHECK(changes("[{from: 2026-05-01, occupants: 5}]") ==
        "household.changes[1].from: must be after the start, got 2026-05-01");
}
