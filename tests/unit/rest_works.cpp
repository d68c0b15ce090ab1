// Where a resting pit's water goes, and what is done at the box for it.
#include "sim/rest_works.hpp"

#include <catch2/catch.hpp>

#include "sim/diagnostic.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
using Catch::Matchers::Contains;
using Kind = WhileResting::Kind;

namespace {

Scenario two() { return scenario_of(two_pits({})); }
Scenario one() { return scenario_of(one_pit({})); }
Scenario with_new_pit() {
  std::string text = two_pits({});
  text.replace(text.find("    - {name: B"),
               std::string("    - {name: B, to: west, invert: 0 in}").size(),
               "    - {name: B, to: west, capped: yes}");
  return scenario_of(text);
}
Scenario in_series() {
  std::string text = one_pit({});
  text.replace(text.find("when_full: surface"), std::string("when_full: surface").size(),
               "when_full: {to: west}");
  text.insert(text.find("soil:"), "  - {name: west, diameter: 6 ft, depth: 8 ft, new: yes}\n");
  return scenario_of(text);
}

}  // namespace

TEST_CASE("the water goes to the first place there is") {
  const Scenario box = two();
  CHECK(where_water_goes(box, 0, box.start, {}).kind == Kind::others);
  const Scenario fresh = with_new_pit();
  const WhileResting to = where_water_goes(fresh, 0, fresh.start, {});
  CHECK(to.kind == Kind::pit);
  CHECK(to.pit == "west");
  const Scenario series = in_series();
  CHECK(where_water_goes(series, 0, series.start, {}).pit == "west");
  CHECK(where_water_goes(box, 0, box.start, WhileResting{Kind::haul, ""}).kind == Kind::haul);
}

TEST_CASE("the file's word counts, and the question's more") {
  Scenario s = two();
  s.pits[0].while_resting = WhileResting{Kind::haul, ""};
  CHECK(where_water_goes(s, 0, s.start, {}).kind == Kind::haul);
  CHECK(where_water_goes(s, 0, s.start, WhileResting{Kind::others, ""}).kind == Kind::others);
}

TEST_CASE("a rest with nowhere for the water to go is refused with what would be accepted") {
  const Scenario s = one();
  CHECK_THROWS_WITH(where_water_goes(s, 0, s.start, {}),
                    Contains("the only pit") && Contains("--flow-to takes haul"));
  CHECK_THROWS_WITH(where_water_goes(s, 0, s.start, WhileResting{Kind::others, ""}),
                    Contains("nowhere to go"));
  const Scenario box = two();
  CHECK_THROWS_WITH(where_water_goes(box, 0, box.start, WhileResting{Kind::pit, "west"}),
                    Contains("on the box already"));
  CHECK_THROWS_WITH(where_water_goes(box, 0, box.start, WhileResting{Kind::pit, "wst"}),
                    Contains("did you mean west?"));
  CHECK_THROWS_WITH(where_water_goes(box, 0, box.start, WhileResting{Kind::pit, "east"}),
                    Contains("its own water"));
  const Scenario series = in_series();
  CHECK_THROWS_WITH(where_water_goes(series, 1, series.start, {}), Contains("no open outlet"));
  CHECK_THROWS_WITH(pit_of_name(box, "north"), Contains("pits: east and west"));
}

TEST_CASE("the works of a rest") {
  const Date day{std::chrono::year(2026) / 6 / 1};
  const Date later{std::chrono::year(2026) / 9 / 1};
  const Scenario box = two();
  const RestWorks capped = rest_works(box, 1, {Kind::others, ""}, day, later);
  REQUIRE(capped.begin.size() == 1);
  CHECK(capped.begin[0].outlet == 1);
  CHECK(capped.begin[0].capped == true);
  CHECK(capped.end[0].capped == false);
  CHECK(capped.end[0].date == later);

  const RestWorks hauled = rest_works(box, 1, {Kind::haul, ""}, day, later);
  CHECK(hauled.begin[0].haul == true);
  CHECK(hauled.end[0].haul == false);

  const Scenario fresh = with_new_pit();
  const RestWorks opened = rest_works(fresh, 0, {Kind::pit, "west"}, day, later);
  REQUIRE(opened.begin.size() == 2);
  CHECK(opened.begin[1].outlet == 1);
  CHECK(opened.begin[1].capped == false);
  CHECK(opened.end.size() == 1);  // the new pit stays in service

  const Scenario series = in_series();
  const RestWorks led = rest_works(series, 0, {Kind::pit, "west"}, day, later);
  CHECK(led.begin[0].to == "west");
  CHECK(led.end[0].to == "east");

  // Each is a plan that keeps the water somewhere: run it.
  for (const auto& [site, works] :
       {std::pair{box, capped}, {box, hauled}, {fresh, opened}, {series, led}}) {
    std::vector<PlannedWork> all = works.begin;
    all.insert(all.end(), works.end.begin(), works.end.end());
    Scenario s = with_works(site, all);
    s.years = 1;
    CHECK(worst_balance_error(run_expected(s)) < 1e-9);
  }
}
