// Parts of `size`: its question, new pits, codes' household, levelers, the scenario it writes.
#include "sim/size.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "models/us_units.hpp"
#include "sim/diagnostic.hpp"
#include "sim/yaml_text.hpp"
#include "tests/support/process.hpp"
#include "tests/support/size.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double ft = us::foot_m;

SizeQuestion asked(const SizeArguments& a, const std::string& site = two_pits({})) {
  return size_question(a, scenario_of(site));
}

std::string refused(const SizeArguments& a, const std::string& site = two_pits({})) {
  try {
    (void)asked(a, site);
  } catch (const QuestionError& e) {
    return e.what();
  }
  return "";
}

bool same(const YamlNode& a, const YamlNode& b) {
  if (a.kind != b.kind || a.scalar != b.scalar || a.items.size() != b.items.size() ||
      a.entries.size() != b.entries.size())
    return false;
  for (std::size_t i = 0; i < a.items.size(); ++i)
    if (!same(a.items[i], b.items[i])) return false;
  for (std::size_t i = 0; i < a.entries.size(); ++i)
    if (a.entries[i].key != b.entries[i].key || !same(a.entries[i].value, b.entries[i].value))
      return false;
  return true;
}

}  // namespace

TEST_CASE("lists and ranges of the question") {
  SizeArguments a;
  set(a.diameters, "8 ft, 5 ft,6 ft");
  set(a.depths, "6 ft..8 ft by 6 in, 10 ft, 3 m");
  set(a.pits, "3, 1..2");
  a.life = "10 years";
  const SizeQuestion q = asked(a);
  REQUIRE(q.diameters_m.size() == 3);
  CHECK(q.diameters_m.front() == Approx(5 * ft));
  REQUIRE(q.depths_m.size() == 7);
  CHECK(q.depths_m[1] == Approx(6.5 * ft));
  CHECK(q.depths_m[5] == Approx(3.0).epsilon(1e-5));
  CHECK(q.depths_m.back() == Approx(10 * ft));
  CHECK(q.pits == std::vector<int>{1, 2, 3});
  CHECK(q.life_day == Approx(3652.5));
}

TEST_CASE("defaults follow the site") {
  const SizeQuestion box = asked({});
  CHECK(box.old_pits == OldPits::keep);
  CHECK(box.depths_m.size() == 15);
  CHECK(box.pits == std::vector<int>{1, 2, 3});
  CHECK_FALSE(box.costs);
  CHECK(asked({}, one_pit({})).old_pits == OldPits::leave);
  SiteText metric;
  metric.extra = "units: metric\n";
  CHECK(asked({}, two_pits(metric)).diameters_m.front() == Approx(1.5));
}

TEST_CASE("all problems of a question stand in one message") {
  SizeArguments a;
  set(a.diameters, "wide");
  set(a.depths, "6 ft..20 ft");
  set(a.pits, "0");
  a.life = "two";
  a.service = "-1 years";
  set(a.cost_per_pit, "many");
  set(a.cost_per_volume, "30");
  const std::string text = refused(a);
  for (const char* option : {"--diameters", "--depths", "--pits", "--life", "--service",
                             "--cost-per-pit", "--cost-per-volume"}) {
    INFO(option << "\n" << text);
    CHECK(text.find(option) != std::string::npos);
  }
  CHECK(text.find("hint: restwell help size") != std::string::npos);
}

TEST_CASE("what cannot be asked is refused with what is accepted") {
  const auto depths = [&](const char* text) {
    SizeArguments a;
    set(a.depths, text);
    return refused(a);
  };
  CHECK(depths("").find("6 ft..20 ft by 1 ft") != std::string::npos);
  CHECK(depths("20 ft..6 ft by 1 ft").find("backwards") != std::string::npos);
  CHECK(depths("6 ft..20 ft by 0 ft").find("step") != std::string::npos);
  CHECK(depths("6 ft..20 ft by 1 mm").find("at most 100") != std::string::npos);
  CHECK(depths("200 ft").find("1 ft to 100 ft") != std::string::npos);
  CHECK(depths("6 gal").find("accepted: ft, in, m, cm, mm") != std::string::npos);
  SiteText lined;
  lined.start = "in_service: 5 years, lining: {inner_diameter: 4 ft, outer_diameter: 5 ft}";
  SizeArguments narrow;
  set(narrow.diameters, "2 ft");
  CHECK(refused(narrow, two_pits(lined)).find("at least 3 ft") != std::string::npos);
  SizeArguments keep;
  keep.old_pits = OldPits::keep;
  CHECK(refused(keep, one_pit({})).find("no box") != std::string::npos);
  SizeArguments many;
  set(many.pits, "7");
  CHECK(refused(many).find("from 1 to 6") != std::string::npos);
  SizeArguments debt;
  set(debt.cost_per_volume, "-3 /yd3");
  CHECK(refused(debt).find("from 0 up") != std::string::npos);
}

TEST_CASE("volume dug and costs") {
  SiteText text;
  const Scenario s = scenario_of(two_pits(text));
  const PitPattern pattern = pit_pattern(s);
  // derived: 2 pi/4 8^2 (3 + 12) ft3, inlet 3 ft down by default
  const double yd3 = 2 * std::acos(-1.0) / 4 * 64 * 15 / 27;
  CHECK(dug_m3(pattern, {8 * ft, 12 * ft, 2}) == Approx(yd3 * 27 * ft * ft * ft).epsilon(1e-5));
  SizeArguments a;
  set(a.cost_per_volume, "27 /yd3");
  set(a.cost_per_pit, "100");
  const SizeQuestion q = asked(a);
  REQUIRE(q.costs);
  CHECK(q.costs->per_m3 * ft * ft * ft == Approx(1.0));  // derived: 27 ft3 to a yd3
  CHECK(q.costs->per_pit == 100.0);
}

TEST_CASE("new pits are built like the first one") {
  SiteText text;
  text.start = "in_service: 5 years, lining: {inner_diameter: 4 ft, outer_diameter: 5 ft}";
  const PitPattern lined = pit_pattern(scenario_of(two_pits(text)));
  const PitConfig pit = new_pit(lined, 10 * ft, 12 * ft, "x");
  CHECK(2 * pit.geometry.lining_outer_radius_m == Approx(9 * ft));
  CHECK(2 * pit.geometry.lining_inner_radius_m == Approx(8 * ft));
  CHECK(pit.start.kind == PitStart::Kind::brand_new);
  const PitPattern stone = pit_pattern(scenario_of(two_pits({})));
  CHECK(stone.filled_with_stone());
  CHECK(new_pit(stone, 10 * ft, 12 * ft, "x").geometry.lining_outer_radius_m == 0.0);
}

TEST_CASE("the codes' household sends their design flow") {
  SiteText text;
  text.household =
      "occupants: 3, bedrooms: 4, leak: 30 gal/day, laundry: {loads_per_week: 9, days: [sat]}";
  const Scenario s = scenario_of(two_pits(text));
  const CodeBasis basis = code_basis(s);
  CHECK_FALSE(basis.assumed);
  CHECK(basis.people == 8.0);
  const TypicalWeek week = typical_week(under_code_flow(s, basis));
  CHECK(week.mean_flow_m3_per_day == Approx(600 * us::gallon_m3).epsilon(1e-4));  // 4 x 150
}

TEST_CASE("bedrooms that are not given are assumed from the most people there will be") {
  SiteText text;
  text.household = "occupants: 1";
  CHECK(code_basis(scenario_of(two_pits(text))).bedrooms == 2);
  text.household = "occupants: 2, changes: [{from: 2027-01-01, occupants: 5}]";
  const CodeBasis basis = code_basis(scenario_of(two_pits(text)));
  CHECK(basis.bedrooms == 3);
  CHECK(basis.assumed);
}

TEST_CASE("one pit with its part of the water stands for equal pits on a level box") {
  SiteText text;
  text.depth = "4 ft";
  text.diameter = "5 ft";
  text.start = "new: yes";
  text.household = "occupants: 5";
  const Scenario s = scenario_of(two_pits(text));
  const RunResult r = run_expected(s);
  const int full = r.cases.front().first_no_reserve;
  REQUIRE(full != never);
  const TankHistory history = tank_history(s, r.days());
  const PitPattern pattern = pit_pattern(s);
  const auto life =
      life_day(s, new_pit(pattern, 5 * ft, 4 * ft, "x"), pit_feed(s, history, r.days(), 2),
               clogging_cases(s.biomat).front().biomat);
  CHECK(life == full);
}

TEST_CASE("the leveler setting is the smallest that sends the new pit its part") {
  SiteText text;
  text.west_invert = "1/8 in";
  const LoadedScenario site = parse_scenario(two_pits(text), "test.yaml");
  const BuiltChoice built =
      build_choice(site, pit_pattern(site.scenario), {6 * ft, 10 * ft, 1}, OldPits::keep, {}, 5);
  const TypicalWeek week = typical_week(site.scenario);
  const LevelerSetting setting = find_leveler_setting(built.scenario, built.new_outlets, week);
  CHECK(setting.outlets == std::vector<std::size_t>{0, 1});
  CHECK_FALSE(setting.capped);
  CHECK(setting.new_share >= first_share);
  const double steps = setting.lift_m / leveler_step_m;
  CHECK(steps == Approx(std::round(steps)));
  const auto share_with = [&](double lift_m) {
    BoxConfig box = built.scenario.box;
    for (const std::size_t i : setting.outlets) box.outlets[i].placement.raised_m += lift_m;
    return free_shares(week, lay_out_with(built.scenario, box)).back();
  };
  CHECK(share_with(setting.lift_m) == Approx(setting.new_share));
  CHECK(share_with(setting.lift_m - leveler_step_m) < first_share);
}

TEST_CASE("old outlets are capped where no lift below the lid does it") {
  std::string text = two_pits({});
  text.replace(text.find("lid: 8 in"), 9, "lid: 3/8 in");
  const LoadedScenario site = parse_scenario(text, "test.yaml");
  const BuiltChoice built =
      build_choice(site, pit_pattern(site.scenario), {6 * ft, 10 * ft, 1}, OldPits::keep, {}, 5);
  const LevelerSetting setting =
      find_leveler_setting(built.scenario, built.new_outlets, typical_week(site.scenario));
  CHECK(setting.capped);
  CHECK(setting.lift_m == 0.0);
  CHECK(setting.new_share == Approx(1.0));
}

TEST_CASE("a tree written as YAML reads back the same") {
  std::vector<std::filesystem::path> files = shipped_scenarios();
  files.emplace_back(RESTWELL_SOURCE_DIR "/tests/support/full.yaml");
  files.emplace_back(RESTWELL_SOURCE_DIR "/tests/support/other_ways.yaml");
  for (const auto& file : files) {
    INFO(file);
    const YamlNode tree = std::get<YamlNode>(read_yaml_tree(read_text(file)));
    const auto again = read_yaml_tree(yaml_text(tree));
    REQUIRE(std::holds_alternative<YamlNode>(again));
    CHECK(same(tree, std::get<YamlNode>(again)));
  }
  const YamlNode odd = yaml_map({{"a", yaml_word("it's, [odd]: #1")},
                                 {"b", yaml_word("null")},
                                 {"c", yaml_word("two\nlines \"quoted\" \\ and\ttab")},
                                 {"d", yaml_list({yaml_word("-3 ft"), yaml_word("")})},
                                 {"e", yaml_map({})},
                                 {"f", YamlNode{}},
                                 {"g", yaml_word("~")}});
  CHECK(same(odd, std::get<YamlNode>(read_yaml_tree(yaml_text(odd)))));
}

TEST_CASE("a built choice keeps the user's file and puts new pits on the box") {
  const LoadedScenario site = parse_scenario(two_pits({}), "test.yaml");
  const PitPattern pattern = pit_pattern(site.scenario);
  const BuiltChoice kept = build_choice(site, pattern, {5 * ft, 9 * ft, 2}, OldPits::keep, {}, 12);
  REQUIRE(kept.scenario.pits.size() == 4);
  CHECK(kept.new_pits == std::vector<std::size_t>{2, 3});
  CHECK(kept.scenario.pits[0].start.service_day == site.scenario.pits[0].start.service_day);
  CHECK(kept.scenario.pits[3].geometry.depth_m == Approx(9 * ft));
  CHECK(kept.scenario.years == 12.0);
  CHECK(kept.scenario.household.occupants == 4.0);
  const BuiltChoice left = build_choice(site, pattern, {5 * ft, 9 * ft, 1}, OldPits::leave, {}, 12);
  REQUIRE(left.scenario.pits.size() == 1);
  CHECK(left.scenario.box.outlets.size() == 1);
  const LoadedScenario single = parse_scenario(one_pit({}), "test.yaml");
  const BuiltChoice several = build_choice(single, pit_pattern(single.scenario),
                                           {5 * ft, 9 * ft, 3}, OldPits::leave, {}, 12);
  CHECK(several.scenario.box.present);
  CHECK(several.scenario.box.outlets.size() == 3);
}

TEST_CASE("depths that come too near to the water table are left out") {
  SiteText text;
  text.soil = "{perc: 15 min/inch, water_table: 16 ft}";
  const SizeResult r = sized(two_pits(text), small_question());
  // derived: 16 ft - 4 ft of separation - 3 ft of inlet = 9 ft
  CHECK(r.depths_m.size() == 2);
  CHECK(r.depths_too_deep_m.size() == 3);
  text.soil = "{perc: 15 min/inch, water_table: 12 ft}";
  const SizeResult none = sized(two_pits(text), small_question());
  CHECK(none.depths_m.empty());
  CHECK(none.choices.empty());
  CHECK(none.nearest.empty());
}

TEST_CASE("choices stand by the user's own costs if given") {
  SizeArguments a = small_question();
  set(a.pits, "1, 2");
  set(a.diameters, "5 ft, 8 ft");
  set(a.depths, "6 ft..20 ft by 2 ft");
  set(a.cost_per_pit, "100000");
  set(a.cost_per_volume, "1 /yd3");
  const SizeResult r = sized(two_pits({}), a);
  REQUIRE(r.choices.size() == 4);
  CHECK(r.choices[0].size.count == 1);
  CHECK(r.choices[1].size.count == 1);
  for (std::size_t i = 1; i < r.choices.size(); ++i)
    CHECK(r.choices[i - 1].cost <= r.choices[i].cost);
}
