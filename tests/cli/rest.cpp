// The rest command as a user meets it.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/support/process.hpp"

using namespace restwell::test;
using Catch::Matchers::Contains;

namespace {

const std::string site = "scenarios/failing_pit.yaml";

Finished rest(std::vector<std::string> more) {
  std::vector<std::string> arguments = {"rest", site};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return restwell_program(arguments);
}

}  // namespace

TEST_CASE("rest answers first, and JSON says the same") {
  const TemporaryFolder folder;
  const auto out = (folder.path / "rest").string();
  const Finished f = rest({"--pit", "east", "--longest", "120 days", "--out", out});
  INFO(f.err);
  REQUIRE(f.code == 0);
  CHECK(f.out.find("ANSWER\n  Rest ") != std::string::npos);
  CHECK_THAT(f.out, Contains("Cautions"));
  for (const char* name : {"rest.csv", "rest_days.csv", "turns.csv", "rest_lasts.svg",
                           "rest_takes.svg", "rest_level.svg", "report.txt", "report.json"}) {
    INFO(name);
    CHECK(std::filesystem::exists(folder.path / "rest" / name));
  }
  const auto json = nlohmann::json::parse(read_text(folder.path / "rest" / "report.json"));
  CHECK(json["answer"][0]["topic"] == "Rest");
  CHECK(json["tables"]["rest"]["rows"].size() >= 7);
  CHECK(json["tables"]["rest"]["rows"][0]["rest_days"] == 0);
}

TEST_CASE("bad questions of rest say what would be accepted") {
  struct Bad {
    std::vector<std::string> arguments;
    std::string says, hint;
  };
  const std::vector<Bad> all = {
      {{"--pit", "est"}, "there is no pit 'est'", "did you mean east?"},
      {{"--pit", "east", "--from", "2026-13-01"}, "--from", "restwell help rest"},
      {{"--pit", "east", "--from", "2020-01-01"}, "--from must lie from the start, 2026-05-01", ""},
      {{"--pit", "east", "--service", "3"}, "needs a unit", "restwell help rest"},
      {{"--pit", "east", "--longest", "90 years"}, "--longest must be from 1 day to 10 years", ""},
      {{"--pit", "east", "--flow-to", "north"}, "there is no pit 'north'", "pits: east and west"},
      {{"--pit", "east", "--flow-to", "east"}, "its own water", "--flow-to takes haul and others"},
      {{}, "--pit is required", "restwell help rest"}};
  for (const Bad& bad : all) {
    const Finished f = rest(bad.arguments);
    INFO(f.err);
    CHECK(f.code == 2);
    CHECK(f.out.empty());
    CHECK_THAT(f.err, Contains(bad.says));
    CHECK_THAT(f.err, Contains(bad.hint));
  }
}
