// Every shipped scenario through the real program: text, JSON, both unit systems.
#include <catch2/catch.hpp>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/process.hpp"

using namespace restwell::test;
using Json = nlohmann::ordered_json;

namespace {

// Exact by definition: the US gallon of 231 in3, the inch of 25.4 mm (1959), the pound of
// 0.45359237 kg (1959), and what follows from them.
const std::map<std::pair<std::string, std::string>, double> metric_of = {
    {{"ft", "m"}, 0.3048},
    {{"in", "mm"}, 25.4},
    {{"ft2", "m2"}, 0.3048 * 0.3048},
    {{"gal", "L"}, 3.785411784},
    {{"gal/day", "L/day"}, 3.785411784},
    {{"gal/min", "L/min"}, 3.785411784},
    {{"lb", "kg"}, 0.45359237},
    {{"lb/year", "kg/year"}, 0.45359237},
    {{"in/day", "cm/day"}, 2.54},
    {{"min/inch", "min/cm"}, 1.0 / 2.54},
};

struct Seen {
  int converted = 0, dates = 0;
};

// The same content in US and metric units: amounts, of six digits, convert, everything else is
// equal. Words may differ, since lengths stand in them.
void compare(const Json& us, const Json& metric, const std::string& at, Seen& seen) {
  INFO(at);
  REQUIRE(us.type() == metric.type());
  if (us.is_object()) {
    if (us.contains("value") && us.contains("unit")) {
      const std::string from = us["unit"], to = metric["unit"];
      const double a = us["value"], b = metric["value"];
      if (from == to) {
        CHECK(a == Approx(b).epsilon(1e-12).margin(1e-300));
        return;
      }
      const auto factor = metric_of.find({from, to});
      INFO(from << " -> " << to);
      REQUIRE(factor != metric_of.end());
      CHECK(a * factor->second == Approx(b).epsilon(1e-5).margin(1e-300));
      ++seen.converted;
      return;
    }
    if (us.contains("date")) {
      CHECK(us == metric);
      ++seen.dates;
      return;
    }
    REQUIRE(us.size() == metric.size());
    for (const auto& [key, value] : us.items()) {
      REQUIRE(metric.contains(key));
      compare(value, metric[key], at + "." + key, seen);
    }
  } else if (us.is_array()) {
    REQUIRE(us.size() == metric.size());
    for (std::size_t i = 0; i < us.size(); ++i) {
      compare(us[i], metric[i], at + "[" + std::to_string(i) + "]", seen);
    }
  } else if (!us.is_string()) {
    CHECK(us == metric);
  }
}

std::string first_lines(const std::string& text, int count) {
  std::size_t end = 0;
  for (int i = 0; i < count && end != std::string::npos; ++i) end = text.find('\n', end + 1);
  return text.substr(0, end);
}

void check_text(const Finished& f) {
  CHECK(f.code == 0);
  CHECK(f.err.empty());
  CHECK(first_lines(f.out, 6).find("ANSWER") != std::string::npos);
  CHECK(f.out.find("Never enter one") != std::string::npos);
  CHECK(unwrapped(f.out).find("The local code, the health department") != std::string::npos);
  CHECK(f.out.find('\r') == std::string::npos);
  CHECK(f.out.back() == '\n');
  std::istringstream words(f.out);
  std::string word;
  while (words >> word) {
    for (const char* wrong : {"nan", "-nan", "inf", "-inf"}) REQUIRE(word != wrong);
  }
}

void check_same(const std::string& text, const Json& json) {
  CHECK(text.find(unwrapped(json["site"])) == 0);
  REQUIRE(json["answer"].size() >= 4);
  for (const auto& line : json["answer"]) {
    const std::string expected =
        unwrapped(std::string(line["topic"]) + " " + std::string(line["text"]));
    INFO(expected);
    CHECK(text.find(expected) != std::string::npos);
  }
  std::size_t rows = 0;
  for (const char* part : {"tables", "assumptions"}) {
    for (const auto& [key, table] : json[part].items()) {
      INFO(key);
      CHECK(text.find(unwrapped(table["title"])) != std::string::npos);
      CHECK_FALSE(table["rows"].empty());
      rows += table["rows"].size();
      if (!table.contains("note")) continue;
      CHECK(text.find(unwrapped(table["note"])) != std::string::npos);
    }
  }
  CHECK(rows > 20);
  for (const auto& caution : json["cautions"]) {
    CHECK(text.find(unwrapped(caution)) != std::string::npos);
  }
}

void run_every_other_from(std::size_t first) {
  const auto scenarios = shipped_scenarios();
  REQUIRE(first < scenarios.size());
  for (std::size_t i = first; i < scenarios.size(); i += 2) {
    const std::string scenario = scenarios[i].string();
    INFO(scenario);
    const Finished text_run = restwell_program({"run", scenario, "--years", "2"});
    check_text(text_run);
    const Finished json_run = restwell_program({"run", scenario, "--years", "2", "--json"});
    REQUIRE(json_run.code == 0);
    CHECK(json_run.err.empty());
    check_same(unwrapped(text_run.out), Json::parse(json_run.out));
  }
}

}  // namespace

TEST_CASE("there are scenarios to run") { CHECK(shipped_scenarios().size() >= 6); }

TEST_CASE("every scenario passes its check") {
  for (const auto& scenario : shipped_scenarios()) {
    INFO(scenario.string());
    const Finished f = restwell_program({"check", scenario.string()});
    CHECK(f.code == 0);
    CHECK(f.err.empty());
    CHECK(f.out.find(": good.") != std::string::npos);
  }
}

// In two halves, to stay short.
TEST_CASE(
    "every scenario runs, answers first, warns of dangers, and its JSON says the same (1 of 2)") {
  run_every_other_from(0);
}
TEST_CASE(
    "every scenario runs, answers first, warns of dangers, and its JSON says the same (2 of 2)") {
  run_every_other_from(1);
}

TEST_CASE("units change the numbers' units and nothing else") {
  for (const char* name : {"pits_in_series", "growing_family"}) {
    INFO(name);
    const std::string file = std::string("scenarios/") + name + ".yaml";
    const auto json = [&](const char* units) {
      const Finished f =
          restwell_program({"run", file, "--years", "2", "--json", "--units", units});
      REQUIRE(f.code == 0);
      return Json::parse(f.out);
    };
    Seen seen;
    compare(json("us"), json("metric"), "", seen);
    CHECK(seen.converted > 20);
    CHECK(seen.dates > 5);
  }
}
