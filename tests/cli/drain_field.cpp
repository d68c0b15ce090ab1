// Old pits beside a drain field, through every command as a user meets it.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/support/process.hpp"

using namespace restwell::test;
using Catch::Matchers::Contains;

namespace {

const std::string site = "scenarios/pits_and_field.yaml";

// Runs a command on the site; it never speaks of a field as a pit.
std::string told(const std::string& command, const std::vector<std::string>& more) {
  std::vector<std::string> arguments = {command, site};
  arguments.insert(arguments.end(), more.begin(), more.end());
  const Finished f = restwell_program(arguments);
  INFO(command << ": " << f.err);
  REQUIRE(f.code == 0);
  const std::string text = unwrapped(f.out);
  CHECK_THAT(text, !Contains("field pit"));
  return text;
}

}  // namespace

TEST_CASE("check counts drain fields apart") {
  CHECK_THAT(told("check", {}), Contains("4 people, 2 pits, 1 drain field, 20 years"));
}

TEST_CASE("run: the field has its line, its size, and the setting that sends it the water first") {
  const std::string text = told("run", {"--years", "2"});
  CHECK_THAT(text, Contains("Field "));
  CHECK_THAT(text, Contains("3 of 60.0 ft"));
  CHECK_THAT(text, Contains("higher the field would get the water first"));
  CHECK_THAT(text, Contains("Once the plan is carried out: east pit"));
  CHECK_THAT(text, Contains("outlet A (east pit) is set 1.00 in higher than found"));
}

TEST_CASE("run: files of figures and tables with a field in them") {
  const TemporaryFolder folder;
  const auto out = (folder.path / "run").string();
  told("run", {"--years", "1", "--out", out});
  CHECK_THAT(read_text(folder.path / "run" / "pit_months.csv"), Contains("field expected"));
}

TEST_CASE("what-if reaches a field's length, a longer one gets as much water and stands lower") {
  const std::string text =
      told("whatif", {"--set", "trenches.field.length=40 ft, 120 ft", "--years", "2"});
  CHECK_THAT(text, Contains("trench field length 120 ft"));
  CHECK_THAT(text, Contains("by the pits' size"));
}

TEST_CASE("rest, of an old pit and of the field") {
  CHECK_THAT(told("rest", {"--pit", "east", "--longest", "90 days"}), Contains("Rest "));
  const std::string field = told("rest", {"--pit", "field", "--longest", "90 days"});
  CHECK_THAT(field, Contains("a clean field in its place would last"));
}

TEST_CASE("size builds pits beside or in place of pits and field") {
  const std::vector<std::string> small = {"--diameters", "8 ft",  "--pits", "1",
                                          "--depths",    "10 ft", "--life", "2 years"};
  for (const char* old : {"keep", "leave"}) {
    std::vector<std::string> more = small;
    more.insert(more.end(), {"--old", old});
    CHECK_THAT(told("size", more), Contains("as the file's east pit"));
  }
}

TEST_CASE("pump looks past a field to the tank") { CHECK_THAT(told("pump", {}), Contains("pump")); }
