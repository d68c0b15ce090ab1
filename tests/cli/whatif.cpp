// restwell whatif through the real program.
#include <catch2/catch.hpp>
#include <fstream>
#include <nlohmann/json.hpp>

#include "plots/csv.hpp"
#include "tests/support/cores.hpp"
#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;
using Json = nlohmann::ordered_json;

namespace {

const std::string site = "scenarios/two_old_pits.yaml";

Finished whatif(std::vector<std::string> more, const std::string& of = site) {
  std::vector<std::string> arguments = {"whatif", of, "--years", "1"};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return restwell_program(arguments);
}

void check_refused(const std::vector<std::string>& arguments, int code,
                   const std::vector<std::string>& says) {
  const Finished f = whatif(arguments);
  INFO(f.err);
  CHECK(f.code == code);
  CHECK(f.out.empty());
  for (const std::string& text : says) {
    INFO(text);
    CHECK(f.err.find(text) != std::string::npos);
  }
}

struct CasesFile {
  explicit CasesFile(const std::string& text) : path((folder.path / "cases.yaml").string()) {
    std::ofstream(path) << text;
  }
  TemporaryFolder folder;
  std::string path;
};

}  // namespace

TEST_CASE("a range is answered first, then compared, then explained") {
  const Finished f = whatif({"--set", "household.occupants=2..6 by 2"});
  REQUIRE(f.code == 0);
  CHECK(f.err.empty());
  const std::string text = unwrapped(f.out);
  const auto answer =
      text.find("ANSWER Occupants from 2 to 6: years until a pump-out is due again");
  const auto table = text.find("The cases side by side");
  const auto why = text.find("Occupants 6: what changes, down the chain from house to soil");
  CHECK(answer != std::string::npos);
  CHECK(table > answer);
  CHECK(why > table);
  // 4 is what the file says: nothing to explain.
  CHECK(text.find("Occupants 4: what changes") == std::string::npos);
  CHECK(text.find("Never enter one") != std::string::npos);
}

TEST_CASE("of a hundred problems alike the first fifty are shown") {
  const Finished f = whatif({"--set", "pits.east.depth=51 ft..200 ft by 1 ft"});
  CHECK(f.code == 2);
  std::size_t shown = 0;
  for (std::size_t at = 0; (at = f.err.find("--set pits.east.depth=", at)) != std::string::npos;
       ++at)
    ++shown;
  CHECK(shown == 50);
  CHECK(f.err.find("and 50 problems more") != std::string::npos);
}

TEST_CASE("laundry on Saturday is explained by the day, and not by solids") {
  const Finished f = whatif({"--set", "household.laundry.days=[sat]"});
  REQUIRE(f.code == 0);
  const std::string text = unwrapped(f.out);
  CHECK(text.find("water in the east pit on Saturdays") != std::string::npos);
  const auto unchanged = text.find("Not changed: water a day, solids into the tank");
  CHECK(unchanged != std::string::npos);
}

TEST_CASE("JSON says the same with typed cells") {
  const Finished f = whatif({"--set", "household.occupants=2,6", "--json"});
  REQUIRE(f.code == 0);
  const Json json = Json::parse(f.out);
  const auto& rows = json["tables"]["cases_compared"]["rows"];
  REQUIRE(rows.size() == 3);
  CHECK(rows[0]["case"] == "as it is");
  CHECK(rows[1]["case"] == "occupants 2");
  CHECK(rows[2]["water"]["unit"] == "gal/day");
  CHECK(double(rows[2]["water"]["value"]) > double(rows[1]["water"]["value"]));
  CHECK(rows[0]["first_full"]["early"].contains("date"));
  CHECK(rows[0]["share_pit_1"]["unit"] == "%");
  CHECK(json["tables"]["cases_set"]["rows"][0]["path"] == "household.occupants");
  CHECK(json["assumptions"].contains("worth_telling"));
  const Json metric =
      Json::parse(whatif({"--set", "household.occupants=2,6", "--json", "--units", "metric"}).out);
  const auto& water = metric["tables"]["cases_compared"]["rows"][2]["water"];
  CHECK(water["unit"] == "L/day");
  // Exact by definition: the US gallon of 231 in3.
  CHECK(double(water["value"]) ==
        Approx(3.785411784 * double(rows[2]["water"]["value"])).epsilon(1e-5));
}

TEST_CASE("the named cases that are shipped run, on every shipped site with a box and a tank") {
  for (const char* name : {"two_old_pits", "never_pumped"}) {
    INFO(name);
    const Finished f = whatif({"--cases", "scenarios/what_if_cases.yaml", "--json"},
                              std::string("scenarios/") + name + ".yaml");
    INFO(f.err);
    REQUIRE(f.code == 0);
    CHECK(Json::parse(f.out)["tables"]["cases_compared"]["rows"].size() == 10);
  }
}

TEST_CASE("with --out it writes tables and figures") {
  const TemporaryFolder folder;
  const auto out = folder.path / "out";
  const Finished f = whatif({"--set", "household.occupants=3..5", "--out", out.string()});
  INFO(f.err);
  REQUIRE(f.code == 0);
  const plots::CsvTable cases = plots::read_csv(out / "cases.csv");
  REQUIRE(cases.rows.size() == 4);
  CHECK(cases.rows[1][cases.column("case")] == "occupants 3");
  CHECK(cases.rows[1][cases.column("value")] == "3");
  CHECK(cases.rows[0][cases.column("value")].empty());
  CHECK(plots::read_csv(out / "case_pits.csv").rows.size() == 8);
  CHECK(plots::read_csv(out / "case_years.csv").rows.size() == 4 * 7);
  for (const char* name :
       {"cases.svg", "first_full.svg", "overflow.png", "report.txt", "report.json", "files.txt"}) {
    INFO(name);
    CHECK(std::filesystem::file_size(out / name) > 10);
  }
  // Bars, with names that want quoting.
  const CasesFile named(
      "cases:\n  - name: \"leak, \\\"big\\\"\"\n    set: {household.leak: 200 gal/day}\n");
  const Finished bars = whatif({"--cases", named.path, "--out", out.string()});
  INFO(bars.err);
  REQUIRE(bars.code == 0);
  CHECK(std::filesystem::exists(out / "cases.png"));
}

TEST_CASE("one core and all cores give the same bytes of a what-if") {
  const auto both = on_one_and_all_cores([] {
    const Finished f = whatif({"--set", "household.occupants=3,5,6", "--mode", "random", "--json"});
    REQUIRE(f.code == 0);
    return f.out;
  });
  if (both) CHECK(both->one == both->all);
}

TEST_CASE("the command line's mode and seed hold unless a case sets them") {
  const auto rows = [](const std::vector<std::string>& more) {
    const Finished f = whatif(more);
    INFO(f.err);
    REQUIRE(f.code == 0);
    return Json::parse(f.out)["tables"]["cases_compared"]["rows"];
  };
  const Json seeds = rows({"--set", "seed=7,8", "--mode", "random", "--seed", "7", "--json"});
  CHECK(seeds[0]["water"] == seeds[1]["water"]);
  CHECK(seeds[0]["water"] != seeds[2]["water"]);
}

TEST_CASE("questions that cannot be asked exit with 2, all at once") {
  check_refused({}, 2, {"nothing to ask", "hint: restwell whatif"});
  check_refused({"--set", "household.occupants=8..2"}, 2, {"has no members", "hint: 2..8"});
  check_refused({"--set", "household.occupants=1..500"}, 2, {"at most 200"});
  check_refused({"--set", "household.ocupants=3", "--set", "household.leak=5", "--set", "=3",
                 "--set", "household.disposer=perhaps"},
                2,
                {"--set household.ocupants=3: there is no ocupants in household",
                 "did you mean household.occupants?", "--set household.leak=5: needs a unit",
                 "--set =3: must be PATH=VALUE", "--set household.disposer=perhaps: "});
  check_refused({"--set", "household.occupants=2,99"}, 2,
                {"--set household.occupants=99: must be at most 50"});
  check_refused({"--set"}, 2, {"--set"});
  // What shows only beside the rest of the file is told with its place there.
  const Finished home =
      whatif({"--set", "household.occupants=0..1"}, "scenarios/pits_in_series.yaml");
  CHECK(home.code == 2);
  CHECK(home.err.find("case \"occupants 0\": scenarios/pits_in_series.yaml:9:16: "
                      "household.home_by_day: must be at most the number of occupants") !=
        std::string::npos);
}

TEST_CASE("a bad file of cases exits with 3 and shows the places") {
  const CasesFile empty("cases: []\n"),
      wrong("cases:\n  - {name: a, set: {household.occupants: 99}}\n");
  check_refused({"--cases", empty.path}, 3, {"cases.yaml:1:", "at least one case"});
  check_refused({"--cases", wrong.path}, 3,
                {"cases.yaml:2:", "household.occupants: must be at most 50, got 99", "^"});
  check_refused({"--cases", "nowhere.yaml"}, 3, {"there is no such file"});
  check_refused({"--cases", wrong.path, "--set", "household.occupants=77"}, 2,
                {"--set household.occupants=77", "cases.yaml:2:"});
}

TEST_CASE("a bad site is refused before its cases, and a list of cases is no site") {
  const Finished none = whatif({"--set", "household.occupants=3"}, "nowhere.yaml");
  CHECK(none.code == 3);
  const Finished cases = whatif({"--set", "household.occupants=3"}, "scenarios/what_if_cases.yaml");
  CHECK(cases.code == 3);
  CHECK(cases.err.find("is a list of cases") != std::string::npos);
  CHECK(cases.err.find("--cases scenarios/what_if_cases.yaml") != std::string::npos);
}
