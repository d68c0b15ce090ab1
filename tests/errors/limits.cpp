// What is stated as a limit is taken at the limit and refused beyond it, with a word of the limit.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <functional>
#include <nlohmann/json.hpp>
#include <regex>

#include "sim/diagnostic.hpp"
#include "sim/schema.hpp"
#include "sim/whatif_cases.hpp"
#include "tests/support/sites.hpp"
#include "tests/support/temporary_folder.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

// As many pits, outlets and layers as asked for.
std::string site(int pits, int outlets, int layers, double years = 1) {
  std::string s = fmt::format(
      "name: Limits (invented)\nstart: 2026-05-01\nyears: {}\nhousehold: {{occupants: 2}}\n"
      "tank: {{volume: 1000 gal, new: yes}}\nbox:\n  outlets:\n",
      years);
  for (int i = 1; i <= outlets; ++i)
    s += i <= pits ? fmt::format("    - {{name: o{0}, to: p{0}}}\n", i)
                   : fmt::format("    - {{name: o{}, capped: yes}}\n", i);
  s += "pits:\n";
  for (int i = 1; i <= pits; ++i)
    s += fmt::format("  - {{name: p{}, diameter: 6 ft, depth: 8 ft, new: yes{}}}\n", i,
                     i > outlets ? ", when_full: surface" : "");
  s += "soil:\n  layers:\n";
  for (int i = 1; i <= layers; ++i)
    s += i < layers ? fmt::format("    - {{to: {} ft, perc: {} min/inch}}\n", i, 5 + i)
                    : "    - {perc: 30 min/inch}\n";
  return s;
}

std::string said_to(const std::string& text) {
  try {
    static_cast<void>(parse_scenario(text, "limits.yaml"));
  } catch (const ScenarioError& e) {
    return e.report();
  }
  return "accepted";
}

bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("limits of a site") {
  CHECK(said_to(site(8, 8, 20, 100)) == "accepted");
  for (const auto& [text, limit] :
       {std::pair{site(9, 8, 2), "8"},
        {site(2, 9, 2), "8"},
        {site(2, 2, 21), "20"},
        {site(2, 2, 2, 100.5), "100"},
        {site(2, 2, 2) + "limits: {ring_height: 0.4 in}\n", "0.5 in"}}) {
    const std::string said = said_to(text);
    INFO(said);
    CHECK(says(said, "limits.yaml:"));
    CHECK(says(said, limit));
  }
}

TEST_CASE("limits of lists, and the place of the first entry too many") {
  const std::string plain = site(2, 2, 2), marked = plain.substr(0, plain.find("soil:"));
  const auto lines = [](int count, const std::string& line) {
    std::string text;
    for (int i = 0; i < count; ++i)
      text += fmt::format(fmt::runtime(line), 2030 + i / 300, 1 + i % 300 / 25, 1 + i % 25);
    return text;
  };
  const auto depths = [&](int count) {
    return marked + "soil:\n  perc: 15 min/inch\n  water_table:\n" +
           lines(count, "    - {{date: {}-{:02}-{:02}, depth: 20 ft}}\n");
  };
  const auto works = [&](int count) {
    return plain + "plan:\n" +
           lines(count, "  - {{date: {}-{:02}-{:02}, outlet: o1, raised: 0 in}}\n");
  };
  const auto readings = [&](int count) {
    std::string text = plain;
    text.replace(text.find("new: yes}"), 9,
                 "pumped: 2029-12-31, readings: [\n" +
                     lines(count, "  {{date: {}-{:02}-{:02}, sludge: 3 in, scum: 1 in}},\n") +
                     "]}");
    text.replace(text.find("start: 2026"), 11, "start: 2036");
    return text;
  };
  struct Case {
    const char* field;
    std::function<std::string(int)> with;
    int limit;
  };
  for (const Case& c : {Case{"soil.water_table", depths, 1000}, Case{"plan", works, 1000},
                        Case{"tank.readings", readings, 100}}) {
    INFO(c.field);
    CHECK(said_to(c.with(c.limit)) == "accepted");
    const std::string text = c.with(c.limit + 1), said = said_to(text);
    // The line of the last entry: by its date, which stands once.
    const std::size_t last = text.rfind("date: ");
    const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<long>(last), '\n');
    const std::string place = fmt::format("limits.yaml:{}:", line);
    INFO(said);
    CHECK(said.find(place) == 0);
    CHECK(says(said, fmt::format("{}: must have at most {} entries, got {}", c.field, c.limit,
                                 c.limit + 1)));
  }
}

TEST_CASE("limits of a date, and the schema's") {
  const auto schema = nlohmann::json::parse(scenario_schema_json());
  const auto& start = schema["properties"]["start"];
  CHECK(says(start["description"].get<std::string>(), "Years 1900 to 2300."));
  const std::regex pattern(start["pattern"].get<std::string>());
  for (const auto& [date, good] : {std::pair{"1899-12-31", false},
                                   {"1900-01-01", true},
                                   {"2300-12-31", true},
                                   {"2301-01-01", false}}) {
    std::string text = site(2, 2, 2);
    text.replace(text.find("2026-05-01"), 10, date);
    const std::string said = said_to(text);
    INFO(said);
    CHECK((said == "accepted") == good);
    CHECK((good ||
           said.find("limits.yaml:2:8: start: must be a date of the years 1900 to 2300") == 0));
    CHECK(std::regex_match(date, pattern) == good);
  }
}

TEST_CASE("limits of rings: so many as the deepest pit has of the least height, and they run") {
  std::string text = site(1, 1, 20) + "limits: {ring_height: 0.5 in}\n";
  const auto with_depth = [&](const std::string& depth) {
    std::string deep = text;
    deep.replace(deep.find("depth: 8 ft"), 11, "depth: " + depth);
    return deep;
  };
  const Scenario deepest = scenario_of(with_depth("100 ft"));
  const RunResult r = run_expected(deepest);
  CHECK(r.site.pits[0].pit.rings.size() == (100 + 3) * 24);  // 3 ft of cover too
  CHECK(worst_balance_error(r) < 1e-9);
  const std::string said = said_to(with_depth("101 ft"));
  INFO(said);
  CHECK(says(said, "limits.yaml:"));
  CHECK(says(said, "100 ft"));
}

TEST_CASE("limits of a file's size") {
  const TemporaryFolder folder;
  const auto file = folder.path / "large.yaml";
  const std::string text = site(2, 2, 2);
  const auto said_of_size = [&](std::size_t bytes) {
    write_text(file, text + "#" + std::string(bytes - text.size() - 1, 'x'));
    try {
      static_cast<void>(load_scenario(file));
    } catch (const ScenarioError& e) {
      return e.report();
    }
    return std::string("accepted");
  };
  CHECK(said_of_size(1'000'000) == "accepted");
  CHECK(says(said_of_size(1'000'001), "1 MB"));
}

TEST_CASE("limits of a file of cases") {
  const YamlNode root = std::get<YamlNode>(read_yaml_tree(site(2, 2, 2)));
  const auto said_of_cases = [&](int count) {
    std::string text = "cases:\n";
    for (int i = 1; i <= count; ++i)
      text += fmt::format("  - {{name: c{0}, set: {{tank.volume: {1} gal}}}}\n", i, 1000 + i);
    try {
      return fmt::format("{} cases", parse_cases(root, text, "cases.yaml").cases.size());
    } catch (const ScenarioError& e) {
      return e.report();
    }
  };
  CHECK(said_of_cases(200) == "200 cases");
  const std::string said = said_of_cases(201);
  INFO(said);
  CHECK(said.find("cases.yaml:2:3: cases: stand for 201 cases, at most 200 are run") == 0);
}

TEST_CASE("limits of a what-if") {
  const YamlNode root = std::get<YamlNode>(read_yaml_tree(site(2, 2, 2)));
  const AskedCases at = cases_of_sets(root, {"tank.volume=1001 gal..1200 gal by 1 gal"});
  CHECK(at.problems.empty());
  CHECK(at.cases.size() == 200);
  for (const std::vector<std::string>& sets :
       {std::vector<std::string>{"tank.volume=1001 gal..1201 gal by 1 gal"},
        {"household.occupants=1..15", "tank.volume=1001 gal..1014 gal by 1 gal"}}) {
    const AskedCases over = cases_of_sets(root, sets);
    REQUIRE_FALSE(over.problems.empty());
    INFO(over.problems.front());
    CHECK(says(over.problems.front(), "200"));
  }
}
