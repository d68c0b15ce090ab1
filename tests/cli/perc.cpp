// restwell perc as a user calls it.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/support/process.hpp"

using namespace restwell::test;
using Json = nlohmann::json;

namespace {

const std::vector<std::string> reading = {
    "perc",   "--hole", "6 in", "--water", "6 in",   "--presoak", "24 hours", "--interval",
    "30 min", "--drop", "1 in", "--drop",  "7/8 in", "--drop",    "7/8 in"};

std::vector<std::string> with(std::vector<std::string> arguments,
                              const std::vector<std::string>& more) {
  arguments.insert(arguments.end(), more.begin(), more.end());
  return arguments;
}

}  // namespace

TEST_CASE("readings on the command line give the rate in the first line") {
  const Finished f = restwell_program(reading);
  CHECK(f.code == 0);
  CHECK(f.err.empty());
  // derived: 30 min over 7/8 in; over 2.54 per cm
  CHECK(f.out.find("ANSWER\n  Rate       34.3 min/inch (13.5 min/cm)") != std::string::npos);
  CHECK(f.out.find("Never enter one") != std::string::npos);
  const Finished metric = restwell_program(with(reading, {"--units", "metric"}));
  CHECK(metric.out.find("ANSWER\n  Rate       13.5 min/cm (34.3 min/inch)") != std::string::npos);
}

TEST_CASE("json says the same") {
  const Json json = Json::parse(restwell_program(with(reading, {"--json"})).out);
  const std::string text = unwrapped(restwell_program(reading).out);
  for (const auto& line : json["answer"]) {
    CHECK(text.find(unwrapped(line["text"])) != std::string::npos);
  }
  for (const auto& note : json["notes"]) CHECK(text.find(unwrapped(note)) != std::string::npos);
  CHECK_FALSE(json.contains("start"));
  const Json rate = json["tables"]["rates"]["rows"][0]["rate"];
  CHECK(rate["unit"] == "min/inch");
  CHECK(rate["value"].get<double>() == Approx(30 / 0.875).epsilon(1e-5));
}

TEST_CASE("a folder holds report, readings and figure") {
  const TemporaryFolder folder;
  const auto out = folder.path / "out";
  const Finished f = restwell_program({"perc", "scenarios/perc_test.yaml", "--out", out.string()});
  CHECK(f.code == 0);
  for (const char* name : {"report.txt", "report.json", "perc_readings.csv", "perc_holes.csv",
                           "perc_rates.svg", "perc_rates.png", "files.txt"}) {
    INFO(name);
    CHECK(std::filesystem::exists(out / name));
  }
}

TEST_CASE("one reading, and a reading of nothing, still draw and print") {
  const TemporaryFolder folder;
  for (const char* drop : {"1 in", "0 in"}) {
    const Finished f = restwell_program({"perc", "--hole", "6 in", "--interval", "30 min", "--drop",
                                         drop, "--out", (folder.path / "out").string()});
    INFO(f.err);
    CHECK(f.code == 0);
    CHECK(f.err.empty());
  }
}

TEST_CASE("exit codes of perc") {
  CHECK(restwell_program({"perc"}).code == 2);
  CHECK(restwell_program({"perc", "--hole", "6 ft 1"}).code == 2);
  CHECK(restwell_program({"perc", "scenarios/perc_test.yaml", "--hole", "6 in"}).code == 2);
  CHECK(restwell_program({"perc", "scenarios/two_old_pits.yaml"}).code == 3);
  CHECK(restwell_program({"run", "scenarios/perc_test.yaml"}).code == 3);
  CHECK(restwell_program({"perc", "scenarios/absent.yaml"}).code == 3);
  const Finished bad = restwell_program({"perc", "--drop", "1"});
  CHECK(bad.out.empty());
  CHECK(bad.err.find("--hole: is missing") != std::string::npos);
  CHECK(bad.err.find("restwell help perc") != std::string::npos);
}
