// Lists and ranges of values, their combinations, and files of named cases.
#include "sim/whatif_cases.hpp"

#include <catch2/catch.hpp>
#include <fstream>

#include "sim/value_list.hpp"
#include "tests/support/sites.hpp"
#include "tests/support/temporary_folder.hpp"

using namespace restwell;
using namespace restwell::test;
using Values = std::vector<std::string>;

namespace {

YamlNode site() { return std::get<YamlNode>(read_yaml_tree(two_pits({}))); }

Field field_of(const std::string& path) {
  return *std::get<PathTarget>(find_path(site(), path)).field;
}
Values values(const std::string& path, const std::string& text) {
  const auto result = values_of(field_of(path), text);
  if (const auto* d = std::get_if<Diagnostic>(&result)) {
    INFO(d->message);
    REQUIRE(false);
  }
  return std::get<Values>(result);
}
std::string refusal(const std::string& path, const std::string& text) {
  const auto result = values_of(field_of(path), text);
  const auto* d = std::get_if<Diagnostic>(&result);
  return d == nullptr ? "accepted" : d->message + " / " + d->hint;
}

Values names(const std::vector<WhatIfCase>& cases) {
  Values all;
  for (const WhatIfCase& c : cases) all.push_back(c.name);
  return all;
}

struct File {
  explicit File(const std::string& text) : path(folder.path / "cases.yaml") {
    std::ofstream(path) << text;
  }
  TemporaryFolder folder;
  std::filesystem::path path;
};
std::string file_refusal(const std::string& text) {
  const File file(text);
  try {
    static_cast<void>(read_cases_file(site(), file.path));
  } catch (const ScenarioError& e) {
    return e.report();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("one value, several, ranges") {
  CHECK(values("household.occupants", "6") == Values{"6"});
  CHECK(values("household.occupants", "2, 4,6") == Values{"2", "4", "6"});
  CHECK(values("household.occupants", "2..5") == Values{"2", "3", "4", "5"});
  CHECK(values("household.occupants", "2..8 by 2.5") == Values{"2", "4.5", "7"});
  CHECK(values("household.occupants", "1, 4..5, 8") == Values{"1", "4", "5", "8"});
  CHECK(values("household.occupants", "3..3") == Values{"3"});
  CHECK(values("household.occupants", "+2") == Values{"+2"});
  CHECK(values("household.laundry.days", "[sat, sun], [mon]") == Values{"[sat, sun]", "[mon]"});
  CHECK(values("household.disposer", "no, yes") == Values{"no", "yes"});
  CHECK(values("tank.pump_out", "{every: 3 years}") == Values{"{every: 3 years}"});
}

TEST_CASE("ranges of quantities take their unit from any part") {
  const Values feet{"6 ft", "8 ft", "10 ft"};
  CHECK(values("pits.east.depth", "6..10 by 2 ft") == feet);
  CHECK(values("pits.east.depth", "6 ft..10 ft by 2 ft") == feet);
  CHECK(values("pits.east.depth", "6..10 ft by 2") == feet);
  CHECK(values("pits.east.depth", "6, 8, 10 ft") == feet);
  CHECK(values("pits.east.depth", "6 ft..7 ft by 6 in") == Values{"6 ft", "6.5 ft", "7 ft"});
  CHECK(values("box.outlets.A.invert", "0..1/4 by 1/8 in") ==
        Values{"0 in", "0.125 in", "0.25 in"});
  CHECK(values("box.outlets.A.invert", "-1/8 in..1/8 in by 1/8 in") ==
        Values{"-0.125 in", "0 in", "0.125 in"});
  CHECK(values("soil.perc", "10..30 by 10 min/inch") ==
        Values{"10 min/inch", "20 min/inch", "30 min/inch"});
  CHECK(values("soil.alpha", "4..12 by 4 1/m") == Values{"4 1/m", "8 1/m", "12 1/m"});
  CHECK(values("assumptions.clogging_per_load", "2..6 by 2 day m2/kg") ==
        Values{"2 day m2/kg", "4 day m2/kg", "6 day m2/kg"});
  // Steps that do not add up exactly in binary still reach the end.
  CHECK(values("household.occupants", "0..1 by 0.1").size() == 11);
}

TEST_CASE("what is no list or range is refused with a way out") {
  CHECK(refusal("household.occupants", "8..2").find("has no members") != std::string::npos);
  CHECK(refusal("household.occupants", "8..2").find("/ 2..8") != std::string::npos);
  // The hint must not be refused in its turn.
  CHECK(refusal("pits.east.depth", "5 ft..1 ft").find("/ 1 ft..5 ft") != std::string::npos);
  CHECK(refusal("pits.east.depth", "5 ft..0 ft")
            .find("/ the smaller value first, and every one "
                  "greater than 0 ft") != std::string::npos);
  CHECK(refusal("pits.east.depth", "200 ft..5 ft").find("at most 100 ft") != std::string::npos);
  CHECK(refusal("household.occupants", "2..8 by 0").find("the step must be greater than 0") == 0);
  CHECK(refusal("household.occupants", "2..8 by -1").find("step must be greater than 0") !=
        std::string::npos);
  CHECK(refusal("household.occupants", "2..").find("no range of numbers") != std::string::npos);
  CHECK(refusal("household.occupants", "2..8..9").find("no range of numbers") != std::string::npos);
  CHECK(refusal("household.occupants", "a..b").find("no range of numbers") != std::string::npos);
  CHECK(refusal("household.occupants", "+1..+3").find("not additions") != std::string::npos);
  CHECK(refusal("household.occupants", "0..1000").find("1001 members") != std::string::npos);
  CHECK(refusal("household.occupants", "0..1e300").find("members") != std::string::npos);
  CHECK(refusal("household.occupants", "2,,3").find("missing beside a comma") != std::string::npos);
  CHECK(refusal("household.occupants", "2, 2").find("stands twice") != std::string::npos);
  CHECK(refusal("household.occupants", "").find("has no value") == 0);
  CHECK(refusal("pits.east.depth", "6..10 by 2").find("needs a unit") != std::string::npos);
  CHECK(refusal("pits.east.depth", "0 in..1/2 in").find("one member only") != std::string::npos);
  CHECK(refusal("tank.volume", "1,000 gal").find("without a comma") != std::string::npos);
}

TEST_CASE("several --set make every combination, the last one fastest") {
  const AskedCases asked =
      cases_of_sets(site(), {"household.occupants=2..3", "household.disposer=no,yes"});
  CHECK(asked.problems.empty());
  CHECK(names(asked.cases) == Values{"occupants 2, disposer no", "occupants 2, disposer yes",
                                     "occupants 3, disposer no", "occupants 3, disposer yes"});
  CHECK(asked.axis.empty());
  CHECK(cases_of_sets(site(), {"household.occupants=1..20", "household.home_by_day=1..10"})
            .cases.size() == 200);
  const AskedCases many =
      cases_of_sets(site(), {"household.occupants=1..21", "household.home_by_day=1..10"});
  REQUIRE(many.problems.size() == 1);
  CHECK(many.problems[0].find("210 cases, at most 200") != std::string::npos);
}

TEST_CASE("numbers of one field make an axis") {
  const AskedCases depth = cases_of_sets(site(), {"pits.east.depth=6..10 by 2 ft"});
  REQUIRE(depth.axis.size() == 1);
  CHECK(depth.axis[0].label == "pit east depth");
  CHECK(depth.axis[0].unit == "ft");
  CHECK(depth.axis[0].values == std::vector<double>{6, 8, 10});
  CHECK(cases_of_sets(site(), {"household.occupants=2,4"}).axis.empty());
  CHECK(cases_of_sets(site(), {"household.occupants=2,6,4"}).axis.empty());
  CHECK(cases_of_sets(site(), {"household.occupants=+1,+2,+3"}).axis.empty());
  CHECK(cases_of_sets(site(), {"pits.east.depth=6 ft, 80 in, 9 ft"}).axis.empty());
}

TEST_CASE("every bad --set is told, and the good ones stay to be looked at") {
  const AskedCases asked =
      cases_of_sets(site(), {"household.ocupants=3", "=4", "household.occupants", "years=5",
                             "household.leak=200", "units=metric", "household.leak=3 gal/day"});
  CHECK(asked.problems.size() == 6);
  CHECK(asked.problems[0].find("--set household.ocupants=3: there is no ocupants") == 0);
  CHECK(asked.problems[0].find("\n  hint: did you mean household.occupants?") != std::string::npos);
  CHECK(asked.problems[3].find("--years") != std::string::npos);
  CHECK(asked.problems[5].find("set twice") != std::string::npos);
  CHECK(names(asked.cases) == Values{"leak 200"});
}

TEST_CASE("a file gives named cases with their places") {
  const File file(R"(cases:
  - name: two more people
    set: {household.occupants: +2}
  - name: laundry, leak
    set:
      household.laundry.days: [sat]
      household.leak: 200 gal/day
  - name: depths
    set: {pits.*.depth: 6..8 by 1 ft}
)");
  const CasesFile read = read_cases_file(site(), file.path);
  CHECK(names(read.cases) == Values{"two more people", "laundry, leak",
                                    "depths: pit all depth 6 ft", "depths: pit all depth 7 ft",
                                    "depths: pit all depth 8 ft"});
  CHECK(read.cases[1].set.size() == 2);
  CHECK(read.cases[1].set[0].text == "[sat]");
  CHECK(read.cases[1].places[1].line == 7);
}

TEST_CASE("a bad file of cases is refused with places, all problems at once") {
  CHECK(file_refusal("cases: []\n").find("at least one case") != std::string::npos);
  CHECK(file_refusal("cases:\n").find("at least one case") != std::string::npos);
  CHECK(file_refusal("").find("is empty") != std::string::npos);
  CHECK(file_refusal("[a, b]\n").find("must have the key cases") != std::string::npos);
  CHECK(file_refusal("casses: []\n").find("unknown key") != std::string::npos);
  CHECK(file_refusal("cases: [3]\n").find("must have the keys name and set") != std::string::npos);
  CHECK(file_refusal("cases: [{name: a, set: {}}]\n").find("at least one path") !=
        std::string::npos);
  const std::string all = file_refusal(R"(cases:
  - name: a
    set: {household.ocupants: 3}
  - name: a
    set: {household.occupants: 8..2, years: 3}
  - {sets: 4}
)");
  CHECK(all.find("cases.yaml:3:") != std::string::npos);
  CHECK(all.find("did you mean household.occupants?") != std::string::npos);
  CHECK(all.find("a stands twice") != std::string::npos);
  CHECK(all.find("has no members") != std::string::npos);
  CHECK(all.find("years is the same for all cases") != std::string::npos);
  CHECK(all.find("cases[3].name: is missing") != std::string::npos);
  CHECK(all.find("cases[3].set: is missing") != std::string::npos);
  CHECK(all.find("cases[3].sets: unknown key") != std::string::npos);
  CHECK(all.find("7 problems") != std::string::npos);
}
