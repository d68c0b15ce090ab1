#include "sim/live.hpp"

#include <catch2/catch.hpp>

#include "sim/scenario_yaml.hpp"

using namespace restwell;

namespace {

LiveSite full_site() {
  LiveSite site;
  site.scenario = load_scenario(RESTWELL_SOURCE_DIR "/tests/support/full.yaml").scenario;
  site.as_it_is.flow_m3_per_day = 0.6;
  site.as_it_is.bod_kg_per_day = 0.1;
  site.as_it_is.week_m3 = {.1, .2, .3, .4, .5, .6, .7};
  site.as_it_is.pump_interval_day = 1000;
  site.as_it_is.first_full = {100, 200, never};
  site.as_it_is.overflow = {300, never, never};
  return site;
}

}  // namespace

TEST_CASE("a site comes back from its bytes as it was") {
  const LiveSite site = full_site();
  const std::string bytes = packed_site(site);
  const auto back = unpacked_site(bytes);
  REQUIRE(back);
  // The binding that names every field (packed_site.cpp) makes the bytes say everything.
  CHECK(packed_site(*back) == bytes);
  const Scenario &a = site.scenario, &b = back->scenario;
  CHECK(b.name == a.name);
  CHECK(b.start == a.start);
  CHECK(b.years == a.years);
  CHECK(b.mode == a.mode);
  CHECK(b.seed == a.seed);
  CHECK(b.household.home_by_day == a.household.home_by_day);
  CHECK(b.household.changes.at(1).leak_m3_per_day == a.household.changes.at(1).leak_m3_per_day);
  CHECK(b.household.season->to == a.household.season->to);
  CHECK(b.tank.tank.outlet.diameter_m == a.tank.tank.outlet.diameter_m);
  CHECK(b.tank_parameters.settling[4].mass_share == a.tank_parameters.settling[4].mass_share);
  CHECK(b.tank_parameters.warmest_day_of_year == a.tank_parameters.warmest_day_of_year);
  REQUIRE(b.pits.size() == a.pits.size());
  for (std::size_t p = 0; p < a.pits.size(); ++p) {
    CHECK(b.pits[p].name == a.pits[p].name);
    CHECK(b.pits[p].geometry.trench == a.pits[p].geometry.trench);
    CHECK(b.pits[p].start.kind == a.pits[p].start.kind);
    CHECK(b.pits[p].start.high_water_m == a.pits[p].start.high_water_m);
  }
  CHECK(b.soil.water_table == a.soil.water_table);
  CHECK(b.plan.size() == a.plan.size());
  CHECK(b.assumptions_set == a.assumptions_set);
  CHECK(back->as_it_is.week_m3 == site.as_it_is.week_m3);
  CHECK(back->as_it_is.first_full == site.as_it_is.first_full);
  CHECK(back->as_it_is.pump_interval_day == 1000);
}

TEST_CASE("bytes cut short or with more behind are no site") {
  const std::string bytes = packed_site(full_site());
  for (const std::size_t left :
       {std::size_t{0}, std::size_t{1}, bytes.size() / 2, bytes.size() - 1}) {
    INFO(left);
    CHECK_FALSE(unpacked_site(std::string_view(bytes).substr(0, left)));
  }
  CHECK_FALSE(unpacked_site(bytes + '\0'));
  CHECK_FALSE(unpacked_site(std::string(10'000, '\xff')));
}

TEST_CASE("a page's question is a number of people and keys") {
  const auto q = live_question("2.5;leak,pumping");
  REQUIRE(q);
  CHECK(q->people == 2.5);
  CHECK(q->changes == std::vector<std::string>{"leak", "pumping"});
  CHECK(live_question("4;")->changes.empty());
  for (const char* text : {"", ";", "4", "x;", "-1;", "inf;", "4 ;"}) {
    INFO(text);
    CHECK_FALSE(live_question(text));
  }
}

TEST_CASE("people come and go with the later changes of the household") {
  HouseholdConfig h;
  h.occupants = 4;
  h.home_by_day = 3.0;
  h.changes.resize(2);
  h.changes[0].occupants = 1.0;
  h.changes[1].home_by_day = 2.0;
  add_people(h, -2.0);
  CHECK(h.occupants == 2.0);
  CHECK(*h.home_by_day == 2.0);
  CHECK(*h.changes[0].occupants == 0.0);
  CHECK(*h.changes[1].home_by_day == 0.0);
}
