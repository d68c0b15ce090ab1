// `size` as a user runs it.
#include <fmt/core.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/support/process.hpp"

using namespace restwell::test;

namespace {

const std::string site = "scenarios/two_old_pits.yaml";

std::vector<std::string> quick(std::vector<std::string> more = {}) {
  std::vector<std::string> all = {
      "size",   site, "--diameters", "6 ft",   "--depths", "8 ft..14 ft by 2 ft",
      "--pits", "1",  "--life",      "3 years"};
  all.insert(all.end(), more.begin(), more.end());
  return all;
}

}  // namespace

TEST_CASE("size answers, and its best choice checks and runs") {
  const TemporaryFolder folder;
  const std::string out = (folder.path / "out").string();
  const Finished f = restwell_program(quick({"--out", out}));
  INFO(f.err);
  REQUIRE(f.code == 0);
  CHECK(f.err.empty());
  const std::string text = unwrapped(f.out);
  CHECK(text.find("ANSWER Build One pit of 6.0 ft x ") != std::string::npos);
  CHECK(text.find("US PHS 526 asks for 570 ft2 of side wall (190 ft2 for each bedroom") !=
        std::string::npos);
  CHECK(text.find("The local code decides") != std::string::npos);
  CHECK(text.find("What to do when, for no. 1") != std::string::npos);
  CHECK(text.find("Raise outlets A and B by") != std::string::npos);
  for (const char* name : {"choices.csv", "life_by_depth.csv", "plan.csv", "plan_levels.csv",
                           "best_choice.yaml", "report.json", "plan_levels.svg"}) {
    INFO(name);
    CHECK(std::filesystem::exists(folder.path / "out" / name));
  }
  const std::string best = out + "/best_choice.yaml";
  const Finished check = restwell_program({"check", best});
  INFO(check.err);
  CHECK(check.code == 0);
  const Finished run = restwell_program({"run", best, "--years", "1"});
  INFO(run.err);
  CHECK(run.code == 0);
  CHECK(run.out.find("new pit") != std::string::npos);
}

TEST_CASE("size as JSON has the same answer, in the units asked for") {
  const Finished f = restwell_program(
      quick({"--json", "--units", "metric", "--old", "leave", "--basis", "household"}));
  INFO(f.err);
  REQUIRE(f.code == 0);
  const auto json = nlohmann::json::parse(f.out);
  CHECK(json["answer"][0]["topic"] == "Build");
  const auto& row = json["tables"]["choices"]["rows"][0];
  CHECK(row["diameter"]["unit"] == "m");
  CHECK(json["tables"]["codes"]["rows"][0]["phs_per_bedroom"]["unit"] == "m2");
  CHECK(json["cautions"].size() > 4);
}

TEST_CASE("bad questions to size exit with 2 and say what is accepted") {
  const std::vector<std::vector<std::string>> wrong = {
      {"--diameters", "big"},  {"--depths", "6 ft..20 ft"},
      {"--pits", "0"},         {"--life", "0 years"},
      {"--by", "late"},        {"--basis", "water"},
      {"--old", "maybe"},      {"--service", "3"},
      {"--cost-per-pit", "x"}, {"--cost-per-volume", "30"},
      {"--years", "20"},       {"--pits", "1..9"}};
  for (const auto& options : wrong) {
    std::vector<std::string> line = {"size", site};
    line.insert(line.end(), options.begin(), options.end());
    const Finished f = restwell_program(line);
    INFO(options[0] << " " << options[1] << "\n" << f.err);
    CHECK(f.code == 2);
    CHECK(f.out.empty());
    CHECK(f.err.find(options[0]) != std::string::npos);
    CHECK(f.err.find("hint: restwell help size") != std::string::npos);
  }
  CHECK(restwell_program({"size"}).code == 2);
  CHECK(restwell_program({"size", "none.yaml"}).code == 3);
}

TEST_CASE("a site too near to the water table is answered, not refused") {
  const TemporaryFolder folder;
  std::string text = read_text(RESTWELL_SOURCE_DIR "/" + site);
  text.replace(text.find("water_table: 30 ft"), 18, "water_table: 12 ft");
  const std::string file = (folder.path / "wet.yaml").string();
  write_text(file, text);
  const Finished f = restwell_program({"size", file, "--life", "1 years", "--basis", "household"});
  INFO(f.err);
  CHECK(f.code == 0);
  CHECK(unwrapped(f.out).find("can be at most 5.0 ft deep") != std::string::npos);
}

TEST_CASE("size says so where the mound under the new pits takes from the separation asked for") {
  const TemporaryFolder folder;
  std::string text = read_text(RESTWELL_SOURCE_DIR "/" + site);
  text.replace(text.find("water_table: 30 ft"), 18, "water_table: 13.2 ft");
  const std::string file = (folder.path / "wet.yaml").string(),
                    out = (folder.path / "out").string();
  write_text(file, text);
  const Finished f =
      restwell_program({"size", file, "--life", "3 years", "--basis", "household", "--out", out});
  INFO(f.err << f.out);
  REQUIRE(f.code == 0);
  const Finished built = restwell_program({"run", out + "/best_choice.yaml", "--json"});
  REQUIRE(built.code == 0);
  double least_m = 1e9;
  const nlohmann::json answer = nlohmann::json::parse(built.out);
  for (const auto& row : answer["tables"]["water_table"]["rows"]) {
    const std::string pit = row["pit"];
    if (pit.find("new") != std::string::npos)
      least_m = std::min(least_m, row["least"]["value"].get<double>());
  }
  REQUIRE(least_m < 4.0);
  const std::string said = unwrapped(f.out);
  CHECK(said.find(fmt::format("the water table comes to {:.1f} ft below", least_m)) !=
        std::string::npos);
  CHECK(said.find("too near, 4.0 ft is asked for") != std::string::npos);
}
