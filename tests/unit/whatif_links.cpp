// The explanation tells what the numbers show, and nothing else.
#include "sim/whatif_links.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "sim/words.hpp"

using namespace restwell;

namespace {

CaseOutcome outcome() {
  CaseOutcome o;
  o.flow_m3_per_day = 0.6;
  o.solids_kg_per_day = 0.2;
  o.week_m3.fill(0.6);
  o.outflow_m3_per_day = 4.0;
  o.bod_kg_per_day = 0.13;
  o.bod_kg_per_m3 = 0.22;
  o.pump_interval_day = 1200;
  o.tank_m3 = 3.8;
  o.lip_m = {0.0, 0.003};
  o.lip_pit = {0, 1};
  o.first_full = {1000, 3000, never};
  o.overflow = {2000, 4000, never};
  for (const char* name : {"east", "west"}) {
    PitOutcome p;
    p.name = name;
    p.share = 0.5;
    p.clean_m3_per_day = 5.0;
    p.now_m3_per_day = 1.0;
    p.depth_m = 2.4;
    p.highest_m.fill(1.8);
    o.pits.push_back(p);
  }
  o.scenario.pits.resize(2);
  o.scenario.soil.layers.emplace_back();
  return o;
}

Explanation between(const CaseOutcome& a, const CaseOutcome& b) {
  return explain(a, b, UnitSystem::metric);
}
const Link* find_link(const Explanation& e, const std::string& what) {
  const auto it =
      std::find_if(e.links.begin(), e.links.end(), [&](const Link& l) { return l.what == what; });
  return it == e.links.end() ? nullptr : &*it;
}
bool is_unchanged(const Explanation& e, const std::string& what) {
  return std::find(e.unchanged.begin(), e.unchanged.end(), what) != e.unchanged.end();
}

}  // namespace

TEST_CASE("equal cases differ in nothing") {
  const Explanation e = between(outcome(), outcome());
  CHECK(e.links.empty());
  CHECK(e.unchanged.size() == 10);
}

TEST_CASE("laundry on one day: that day's flow, its level, not the solids") {
  CaseOutcome b = outcome();
  b.week_m3.fill(0.5);
  b.week_m3[5] = 1.2;
  for (PitOutcome& p : b.pits) {
    p.highest_m.fill(1.75);
    p.highest_m[5] = 2.0;
  }
  const Explanation e = between(outcome(), b);
  const Link* busiest = find_link(e, "water on the week's busiest day");
  REQUIRE(busiest != nullptr);
  CHECK(busiest->why == "Saturday: 2 times; every other day brings less");
  const Link* level = find_link(e, "water in the east pit on Saturdays");
  REQUIRE(level != nullptr);
  CHECK(level->why == "wets the wall 20 cm higher up than on any day before; lower on other days");
  CHECK(is_unchanged(e, "solids into the tank"));
  CHECK(is_unchanged(e, "water a day"));
  CHECK(is_unchanged(e, "how often the tank needs pumping"));
  CHECK(e.links.size() == 3);
}

TEST_CASE("a reason is told only if it goes the same way") {
  CaseOutcome b = outcome();
  b.solids_kg_per_day = 0.3;
  b.pump_interval_day = 1500;  // less often, in spite of more solids
  b.tank_m3 = 6.0;
  const Link* pump = find_link(between(outcome(), b), "pump-out every");
  const Explanation e = between(outcome(), b);
  pump = find_link(e, "pump-out every");
  REQUIRE(pump != nullptr);
  CHECK(pump->why == "by a bigger tank");
  CaseOutcome c = outcome();
  c.flow_m3_per_day = 0.9;  // more water, and yet later: no cause is named
  c.first_full = {1500, 4500, never};
  const Explanation later = between(outcome(), c);
  REQUIRE(find_link(later, "first full pit, years") != nullptr);
  CHECK(find_link(later, "first full pit, years")->why == "later");
  c.first_full = {500, 1500, never};
  CHECK(find_link(between(outcome(), c), "first full pit, years")->why == "sooner, by more water");
}

TEST_CASE("shares change by lips or by the flow over uneven lips") {
  CaseOutcome b = outcome();
  b.pits[0].share = 0.8;
  b.pits[1].share = 0.2;
  b.lip_m = {0.0, 0.006};
  Explanation e = between(outcome(), b);
  REQUIRE(find_link(e, "the west pit's share") != nullptr);
  CHECK(find_link(e, "the west pit's share")->why.find("its lip stands") == 0);
  CHECK(find_link(e, "the east pit's share")->why == "the lips stand otherwise to each other");
  CaseOutcome slow = outcome();
  slow.pits[0].share = 0.6;
  slow.pits[1].share = 0.4;
  slow.outflow_m3_per_day = 2.0;
  e = between(outcome(), slow);
  CHECK(find_link(e, "the east pit's share")->why ==
        "a slower flow is shared less evenly over uneven lips");
  slow.lip_m = {0.0, 0.0};
  CaseOutcome level = outcome();
  level.lip_m = {0.0, 0.0};
  CHECK(find_link(between(level, slow), "the east pit's share")->why.empty());
}

TEST_CASE("what clean pits take changes by soil or size, as they differ") {
  CaseOutcome b = outcome();
  for (PitOutcome& p : b.pits) p.clean_m3_per_day = 8.0;
  b.scenario.soil.layers[0].soil.kfs_m_per_day *= 2.0;
  CHECK(find_link(between(outcome(), b), "all pits take, if clean")->why ==
        "1.6 times, by the soil");
  b.scenario.pits[1].geometry.depth_m += 1.0;
  CHECK(find_link(between(outcome(), b), "all pits take, if clean")->why ==
        "1.6 times, by the soil and pits' size");
}

TEST_CASE("a date moves if it is seen to") {
  CHECK(sooner({100, 1000, never}, {100, 900, never}) == 1);
  CHECK(sooner({100, 1000, never}, {100, 1100, never}) == -1);
  CHECK(sooner({100, 1000, never}, {100, never, never}) == -1);
  CHECK(sooner({100, never, never}, {100, never, 5000}) == 1);
  CHECK(sooner({never, never, never}, {never, never, never}) == 0);
  CHECK(sooner({100, 1000, never}, {100, 1004, never}) == 0);
  // The expected date decides before the others.
  CHECK(sooner({100, 1000, never}, {50, 2000, never}) == -1);
  CHECK(more_often(1200, never) == -1);
  CHECK(more_often(1200, 1000) == 1);
  CHECK(more_often(1200, 1210) == 0);
}

TEST_CASE("dates under three cases of clogging in few words") {
  CHECK(spread_words({0, 365, never}, 7305) == "now | 1.0 | >20");
  CHECK(spread_words({5, 730, 4018}, 7305) == "<0.1 | 2.0 | 11");
  CHECK(spread_words({never, never, never}, 1826) == ">5");
  CHECK(spread_words({3630, 3650, never}, 7305) == "9.9 | 10 | >20");
  CHECK(interval_words(never) == "over 15 years");
}
