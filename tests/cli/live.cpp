// What a reader tries in the page: the engine that stands in the page, run under node, says what
// the program says.
#include "sim/live.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <iostream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "models/us_units.hpp"
#include "sim/calendar.hpp"
#include "sim/page_html.hpp"
#include "sim/scenario_yaml.hpp"
#include "sim/whatif_links.hpp"
#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;
using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

namespace {

constexpr double years = 3.0;

bool no_node() {
  try {
    if (run_program({"node", "--version"}).code == 0) return false;
  } catch (const std::runtime_error&) {
  }
  std::cout << "skipped: node is not installed, and the page's engine needs it to run here\n";
  return true;
}

std::vector<Json> engine_says(const std::string& site, const std::vector<std::string>& questions) {
  REQUIRE(has_page_engine());
  const TemporaryFolder folder;
  const std::string page = (folder.path / "page.html").string();
  const Finished made = restwell_program({"report", site, "--years", "3", "-o", page});
  INFO(made.err);
  REQUIRE(made.code == 0);
  std::vector<std::string> arguments = {"node", "tests/cli/live_engine.mjs", page};
  arguments.insert(arguments.end(), questions.begin(), questions.end());
  const Finished asked = run_program(arguments);
  INFO(asked.err);
  REQUIRE(asked.code == 0);
  std::vector<Json> answers;
  std::istringstream lines(asked.out);
  for (std::string line; std::getline(lines, line);) answers.push_back(Json::parse(line));
  REQUIRE(answers.size() == questions.size());
  return answers;
}

LiveSite native_site(const std::string& file) {
  LiveSite site;
  site.scenario = load_scenario(RESTWELL_SOURCE_DIR "/" + file, years).scenario;
  site.as_it_is = outcome_of(run(site.scenario, main_cases(site.scenario.biomat)));
  return site;
}

void check_same_numbers(const Json& a, const Json& b) {
  REQUIRE(a.size() == b.size());
  REQUIRE(a.size() > 20);
  for (const auto& [name, value] : a.items()) {
    INFO(name);
    REQUIRE(b.contains(name));
    const double x = value.get<double>(), y = b[name].get<double>();
    CHECK(std::abs(x - y) <= 1e-9 * std::max(std::abs(x), std::abs(y)));
  }
}

// A day of the answer as the command writes it.
void check_same_day(const Json& day, int index, Date start) {
  if (index == never)
    CHECK(day["date"].is_null());
  else
    CHECK(day["date"] == iso_date(date_of(start, index)));
}

void check_same_dates(const Json& spread, const DaySpread& days, Date start) {
  check_same_day(spread["early"], days.early, start);
  check_same_day(spread["expected"], days.expected, start);
  check_same_day(spread["late"], days.late, start);
}

}  // namespace

TEST_CASE("the page's engine says what the program says, word for word") {
  if (no_node()) return;
  const std::pair<const char*, std::vector<std::string>> asked[] = {
      {"scenarios/two_old_pits.yaml",
       {"4;", "6;", "1;leak,laundry", "5;fixtures,pumping", "4;new_pit", "7;leak,new_pit,pumping"}},
      {"scenarios/growing_family.yaml", {"2;", "3;leak", "1;laundry,fixtures,pumping"}},
      {"scenarios/metric_cottage.yaml", {"5;", "8;pumping"}},
      {"scenarios/high_water_table.yaml", {"3;no_plan", "2;leak,no_plan,laundry"}},
      {"scenarios/pits_and_field.yaml", {"6;leak"}}};
  for (const auto& [file, questions] : asked) {
    const std::vector<Json> answers = engine_says(file, questions);
    const LiveSite site = native_site(file);
    for (std::size_t i = 0; i < questions.size(); ++i) {
      INFO(file << ", asked " << questions[i]);
      const Json native = Json::parse(live_json(live_answer(site, *live_question(questions[i]))));
      for (const char* words :
           {"tried", "answer", "change", "items", "caption", "wide", "narrow"}) {
        INFO(words);
        CHECK(answers[i][words] == native[words]);
      }
      check_same_numbers(native["numbers"], answers[i]["numbers"]);
    }
  }
}

TEST_CASE("the page's engine refuses what is no question, and goes on") {
  if (no_node()) return;
  const std::vector<Json> answers =
      engine_says("scenarios/one_outlet_low.yaml", {"", "many;", "-1;", "nan;", "4", "4;no_such"});
  for (std::size_t i = 0; i < 5; ++i) CHECK(answers[i].contains("failed"));
  CHECK(answers[5]["tried"] == "As it is: 4 people.");
}

TEST_CASE("a page's question has the answer that whatif gives to the same changes") {
  const LiveSite site = native_site("scenarios/two_old_pits.yaml");
  const struct {
    const char* question;
    std::vector<std::string> sets;
  } asked[] = {{"6;", {"household.occupants=6"}},
               {"3;leak", {"household.occupants=3", "household.leak=200 gal/day"}},
               {"5;laundry", {"household.occupants=5", "household.laundry.days=[sat]"}}};
  for (const auto& a : asked) {
    INFO(a.question);
    std::vector<std::string> arguments = {"whatif", "scenarios/two_old_pits.yaml", "--years", "3",
                                          "--json"};
    for (const std::string& set : a.sets) arguments.insert(arguments.end(), {"--set", set});
    const Finished f = restwell_program(arguments);
    INFO(f.err);
    REQUIRE(f.code == 0);
    const Json row = Json::parse(f.out)["tables"]["cases_compared"]["rows"][1];
    const CaseOutcome o = live_answer(site, *live_question(a.question)).outcome;
    CHECK(row["water"]["value"].get<double>() ==
          Approx(o.flow_m3_per_day / us::gallon_m3).epsilon(1e-5));  // six digits are written
    CHECK(row["pump_out_every"] == interval_words(o.pump_interval_day));
    check_same_dates(row["first_full"], o.first_full, site.scenario.start);
    check_same_dates(row["overflow"], o.overflow, site.scenario.start);
  }
}

TEST_CASE("what is tried alone is told in the words that the page has for it") {
  const LiveSite site = native_site("scenarios/two_old_pits.yaml");
  const PageStudy study = page_study(site.scenario, {});
  const PageSection section = page_what_changes_it(study);
  const std::vector<PageItem>& items = section.blocks.front().items;
  REQUIRE(items.size() == study.chosen.size());
  REQUIRE(items.size() >= 5);
  for (std::size_t i = 0; i < items.size(); ++i) {
    const PageCase& c = study.chosen[i];
    const LiveAnswer answer = live_answer(
        site, c.key == people_case ? LiveQuestion{site.scenario.household.occupants + 2.0, {}}
                                   : LiveQuestion{site.scenario.household.occupants, {c.key}});
    INFO(c.key);
    CHECK(items[i].text == c.says + " " + answer.change);
  }
  const LiveAnswer as_it_is = live_answer(site, {site.scenario.household.occupants, {}});
  CHECK(as_it_is.answer == happens_answer(study, as_it_stays));
  CHECK(as_it_is.change == "");
}
