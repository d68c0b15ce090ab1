// Values set by path: what is found, added, dropped and refused.
#include <catch2/catch.hpp>

#include "sim/fields.hpp"
#include "sim/record.hpp"
#include "sim/scenario_yaml.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

LoadedScenario with(const std::string& site, const std::vector<PathValue>& set) {
  return parse_scenario(site, "test.yaml", {}, set);
}
Scenario with(const std::vector<PathValue>& set) { return with(two_pits({}), set).scenario; }

std::vector<Diagnostic> problems_of(const std::vector<PathValue>& set,
                                    const std::string& site = two_pits({})) {
  try {
    static_cast<void>(with(site, set));
  } catch (const ScenarioError& e) {
    return e.problems();
  }
  return {};
}

std::variant<PathTarget, Diagnostic> look(const std::string& path) {
  const auto tree = read_yaml_tree(two_pits({}));
  return find_path(std::get<YamlNode>(tree), path);
}

constexpr double foot_m = 0.3048, inch_m = 0.0254;  // exact by definition (1959)

}  // namespace

TEST_CASE("a value takes the place of the file's, by keys, names and numbers") {
  CHECK(with({{"household.occupants", "6"}}).household.occupants == 6.0);
  for (const char* path :
       {"pits.west.depth", "pits[2].depth", "pits.2.depth", "pits[west].depth"}) {
    INFO(path);
    const Scenario s = with({{path, "10 ft"}});
    CHECK(s.pits[1].geometry.depth_m == Approx(10 * foot_m));
    CHECK(s.pits[0].geometry.depth_m == Approx(8 * foot_m));
  }
  const Scenario both = with({{"pits.*.depth", "10 ft"}});
  CHECK(both.pits[0].geometry.depth_m == Approx(10 * foot_m));
  CHECK(both.pits[1].geometry.depth_m == Approx(10 * foot_m));
  CHECK(with({{"box.outlets.B.invert", "1/8 in"}}).box.outlets[1].placement.invert_m ==
        Approx(inch_m / 8));
}

TEST_CASE("a drain field's values are reached like a pit's") {
  std::string text = two_pits({});
  text.insert(text.find("pits:"), "    - {name: C, to: field, invert: 0 in}\n");
  text.insert(text.find("soil:"),
              "trenches:\n  - {name: field, length: 50 ft, width: 2 ft, gravel_depth: 12 in}\n");
  const auto field = [&](const char* path, const char* value) {
    return with(text, {{path, value}}).scenario.pits[2];
  };
  CHECK(field("trenches.field.length", "100 ft").geometry.trench->length_m == Approx(100 * foot_m));
  CHECK(field("trenches.*.number", "+2").geometry.trench->count == 3);
  CHECK(field("trenches[1].gravel_depth", "6 in").geometry.depth_m == Approx(6 * inch_m));
}

TEST_CASE("keys and maps that the file leaves out are added") {
  const Scenario s = with({{"household.leak", "100 gal/day"},
                           {"household.laundry.days", "[sat]"},
                           {"assumptions.clogging_per_load", "4 day m2/kg"},
                           {"household.disposer", "yes"},
                           {"tank.pump_out", "{every: 2 years}"}});
  CHECK(s.household.leak_m3_per_day == Approx(0.378541).epsilon(1e-5));  // 231 in3 to the gallon
  CHECK(s.household.laundry.days == std::vector<unsigned>{5});
  CHECK(s.biomat.beta_day_m2_per_kg == 4.0);
  CHECK(s.household.disposer);
  CHECK(s.tank.pump_out.kind == PumpOutPolicy::Kind::every);
}

TEST_CASE("a plus adds to what the file or the default says") {
  CHECK(with({{"household.occupants", "+2"}}).household.occupants == 6.0);
  CHECK(with({{"pits.*.depth", "+6 in"}}).pits[1].geometry.depth_m == Approx(8.5 * foot_m));
  // default: 4.3 gal/day
  CHECK(with({{"household.leak", "+10 gal/day"}}).household.leak_m3_per_day ==
        Approx(14.3 * 231 * inch_m * inch_m * inch_m).epsilon(1e-5));
  // A difference of temperatures has no offset; the soil's mean is 12 degC by default.
  CHECK(with({{"assumptions.soil_temperature", "+9 degF"}}).soil_temperature.mean_c ==
        Approx(17.0));
  const auto none = problems_of({{"household.home_by_day", "+1"}});
  REQUIRE(none.size() == 1);
  CHECK(none[0].message.find("neither the file nor a default") != std::string::npos);
}

TEST_CASE("other ways of saying the same make way and are named") {
  const LoadedScenario texture = with(two_pits({}), {{"soil.texture", "sand"}});
  CHECK(texture.dropped == std::vector<std::string>{"soil.perc (15 min/inch)"});
  const LoadedScenario measured =
      with(two_pits({}), {{"pits.east.measured", "{level: 4 ft, drop: 3 in/day}"}});
  CHECK(measured.dropped == std::vector<std::string>{"pits.east.in_service (5 years)"});
  CHECK(measured.scenario.pits[0].start.kind == PitStart::Kind::measured);
  const LoadedScenario fresh = with(two_pits({}), {{"pits.*.new", "yes"}, {"tank.new", "yes"}});
  CHECK(fresh.dropped.size() == 3);
  CHECK(fresh.scenario.tank.start.brand_new);
  const LoadedScenario round = with(two_pits({}), {{"tank.diameter", "6 ft"}});
  CHECK(round.dropped == std::vector<std::string>{"tank.volume (1000 gal)"});
  const LoadedScenario left_alone =
      with(two_pits({.tank = "{volume: 1000 gal, new: yes, pump_out: never}"}),
           {{"tank.pump_out.every", "3 years"}});
  CHECK(left_alone.dropped == std::vector<std::string>{"tank.pump_out (never)"});
  // Saying that a pit is not new drops nothing.
  CHECK(with(two_pits({}), {{"pits.east.new", "no"}}).dropped.empty());
}

TEST_CASE("two set values that are at odds are for the loader to refuse") {
  const auto problems = problems_of({{"soil.texture", "sand"}, {"soil.perc", "5 min/inch"}});
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].message.find("only one of perc, conductivity, texture") != std::string::npos);
}

TEST_CASE("a path that leads nowhere is told with what is accepted and the nearest") {
  struct Row {
    const char *path, *message, *hint;
  };
  const Row rows[] = {
      {"household.ocupants", "there is no ocupants in household; accepted here: occupants,",
       "did you mean household.occupants?"},
      {"occupants", "there is no occupants; accepted here: name,",
       "did you mean household.occupants?"},
      {"invert", "there is no invert;", "did you mean box.outlets.*.invert?"},
      {"pits.depth", "there is no depth in pits; accepted: pits.east, pits.west",
       "say of which: pits.east.depth, or pits.*.depth for all"},
      {"pits.eest.depth", "there is no eest in pits; accepted: pits.east, pits.west",
       "did you mean pits.east?"},
      {"pits[3].depth", "there is no 3 in pits", ""},
      {"household.guests[1].overnight", "the file has no household.guests", ""},
      {"household.occupants.people", "household.occupants is a single value",
       "household.occupants=VALUE"},
      {"household..occupants", "is no path", "keys with dots between"},
      {"pits[east.depth", "is no path", "keys with dots between"},
      {"", "is no path", "keys with dots between"},
  };
  for (const Row& row : rows) {
    INFO(row.path);
    const auto found = look(row.path);
    REQUIRE(std::holds_alternative<Diagnostic>(found));
    const Diagnostic& d = std::get<Diagnostic>(found);
    CHECK(d.message.find(row.message) == 0);
    CHECK(d.hint.find(row.hint) == 0);
  }
}

TEST_CASE("what a path leads to is told with the file's value or the default") {
  const auto occupants = std::get<PathTarget>(look("household.occupants"));
  CHECK(occupants.was == "4");
  CHECK(occupants.in_file);
  const auto leak = std::get<PathTarget>(look("household.leak"));
  CHECK(leak.was == "4.3 gal/day");
  CHECK_FALSE(leak.in_file);
  CHECK(std::get<PathTarget>(look("tank.volume")).field->kind == FieldKind::quantity);
}

TEST_CASE("a problem of a set value has its place, all of them at once") {
  const auto problems = problems_of({{"household.occupants", "99"},
                                     {"household.leak", "200"},
                                     {"box.outlets.A.leveler.angle", "90 deg"}});
  REQUIRE(problems.size() == 3);
  std::vector<std::size_t> indices;
  for (const Diagnostic& d : problems) {
    REQUIRE(set_value_of_line(d.line).has_value());
    indices.push_back(*set_value_of_line(d.line));
  }
  std::sort(indices.begin(), indices.end());
  CHECK(indices == std::vector<std::size_t>{0, 1, 2});
  CHECK_FALSE(set_value_of_line(12).has_value());
  CHECK(problems_of({{"household.leak", ""}}).at(0).message == "has no value");
  CHECK(problems_of({{"household.leak", "{a: b"}}).size() == 1);
  CHECK(problems_of({{"household.leak", "\xff\xfe"}}).at(0).message.find("plain text") == 8);
  CHECK(problems_of({{"household.leak", "&x 3"}}).size() == 1);
}

TEST_CASE("without set values nothing changes") {
  CHECK(with({}).household.occupants == 4.0);
  CHECK(with(two_pits({}), {}).dropped.empty());
}
