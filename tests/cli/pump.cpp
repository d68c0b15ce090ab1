// restwell pump as a user types it.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "plots/csv.hpp"
#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;
using Catch::Matchers::Contains;
using Json = nlohmann::ordered_json;

namespace {

const std::string shipped = "scenarios/pits_in_series.yaml";  // three people, pumped 2024-09-15

std::string without(std::string text, const std::string& part, const std::string& instead = "") {
  const std::size_t at = text.find(part);
  REQUIRE(at != std::string::npos);
  return text.replace(at, part.size(), instead);
}

std::string shipped_text() { return read_text(std::string(RESTWELL_SOURCE_DIR) + "/" + shipped); }

// The same with a new second pit: nothing of the past to run.
class QuickSite {
 public:
  QuickSite() : path((folder_.path / "quick.yaml").string()) {
    write_text(path, without(shipped_text(), "in_service: 6 years", "new: yes"));
  }

 private:
  TemporaryFolder folder_;

 public:
  const std::string path;
};

Finished pump(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), "pump");
  arguments.insert(arguments.end(), {"--years", "1"});
  return restwell_program(arguments);
}

void check_refused(const std::vector<std::string>& arguments, int code,
                   const std::vector<std::string>& says) {
  const Finished f = pump(arguments);
  INFO(f.err);
  CHECK(f.code == code);
  CHECK(f.out.empty());
  CHECK(f.err.rfind(code == 2 ? "restwell: " : "", 0) == 0);
  for (const std::string& text : says) CHECK_THAT(f.err, Contains(text));
}

}  // namespace

TEST_CASE("a reading as three words, as one, before the site, with spaces, gives the same answer") {
  const QuickSite quick;
  const std::string& site = quick.path;
  const Finished words = pump({site, "--reading", "2026-05-01", "sludge=6in", "scum=1in"});
  INFO(words.err);
  REQUIRE(words.code == 0);
  CHECK(words.err.empty());
  CHECK_THAT(unwrapped(words.out), Contains("Pump-out by "));
  CHECK_THAT(unwrapped(words.out), Contains("Without the reading it would be"));
  CHECK_THAT(unwrapped(words.out), Contains("the reading and the story agree"));
  CHECK_THAT(words.out, Contains("Never enter one"));
  CHECK(pump({site, "--reading", "2026-05-01 sludge=6in scum=1in"}).out == words.out);
  CHECK(pump({"--reading", "2026-05-01", "sludge=6", "in", "scum=1", "in", site}).out == words.out);
  CHECK(pump({site, "--reading=2026-05-01", "scum=1in", "sludge=1/2ft"}).out == words.out);
}

TEST_CASE("readings may be several, and a drop, too little and too much are said") {
  const QuickSite quick;
  const std::string& site = quick.path;
  const std::string more =
      unwrapped(pump({site, "--reading", "2025-05-01", "sludge=2in", "scum=1in", "--reading",
                      "2026-05-01", "sludge=6in", "scum=1in"})
                    .out);
  CHECK_THAT(more, Contains("2025-05-01") && Contains("2026-05-01"));
  CHECK_THAT(unwrapped(pump({site, "--reading", "2025-05-01", "sludge=6in", "scum=2in", "--reading",
                             "2026-05-01", "sludge=3in", "scum=1in"})
                           .out),
             Contains("do not agree") && Contains("it was pumped since"));
  CHECK_THAT(unwrapped(pump({site, "--reading", "2026-05-01", "sludge=2in", "scum=0in"}).out),
             Contains("Too little for 3 people") && Contains("the house stood empty") &&
                 Contains("pumped since") && Contains("straight from inlet to outlet"));
  CHECK_THAT(unwrapped(pump({site, "--reading", "2026-05-01", "sludge=22in", "scum=2in"}).out),
             Contains("Half full") && Contains("you waited") && Contains("Pump now, then every") &&
                 Contains("only as good as the reading") && Contains("Too much for 3 people"));
}

TEST_CASE("an old reading that put the date before today does not tell to wait") {
  const QuickSite quick;
  const std::string old = unwrapped(pump({quick.path, "--pumped", "2014-05-01", "--reading",
                                          "2016-05-01", "sludge=6in", "scum=1in"})
                                        .out);
  CHECK_THAT(old, Contains("the next pump-out was due by ") && Contains("Pump now, then every"));
  CHECK_THAT(old, !Contains("it can wait"));
  const std::string now =
      unwrapped(pump({quick.path, "--reading", "2026-05-01", "sludge=6in", "scum=1in"}).out);
  CHECK_THAT(now, Contains("it can wait until ") && !Contains("was due"));
}

TEST_CASE("the file's readings and a pump-out on the command line count") {
  const Finished file = pump({"scenarios/pump_reading.yaml", "--json"});
  INFO(file.err);
  REQUIRE(file.code == 0);
  const Json json = Json::parse(file.out);
  CHECK(json["answer"][0]["topic"] == "Pump-out");
  CHECK(json["tables"]["readings"]["rows"].size() == 2);
  CHECK(json["tables"]["next_pump_out"]["rows"].size() == 6);
  CHECK(json["tables"]["people"]["rows"].size() == 8);
  CHECK(json["tables"]["pit_life"]["rows"].size() == 9);
  const Finished asked =
      pump({"scenarios/two_old_pits.yaml", "--pumped", "2024-05-01", "--units", "metric"});
  REQUIRE(asked.code == 0);
  CHECK_THAT(unwrapped(asked.out), Contains("tank pumped 2024-05-01") && Contains("mm"));
  // What the file found counts as a reading, once it is known since when it gathered.
  CHECK_THAT(unwrapped(asked.out), Contains("the reading fits"));
  const Finished without = pump({"scenarios/two_old_pits.yaml"});
  REQUIRE(without.code == 0);
  CHECK_THAT(unwrapped(without.out), Contains("not how fast it fills"));
}

TEST_CASE("questions that make no sense end with 2 and say what is accepted") {
  const QuickSite quick;
  const std::string& site = quick.path;
  check_refused({site, "--reading", "2026-05-01"}, 2,
                {"needs sludge=...", "needs scum=...", "hint: a reading is a date"});
  check_refused({site, "--reading"}, 2, {"--reading"});
  check_refused({site, "--reading", "sludge=6in", "scum=1in"}, 2, {"must begin with its date"});
  check_refused({site, "--reading", "2024-09-14", "sludge=6in", "scum=1in"}, 2,
                {"not after the first pump-out known, 2024-09-15"});
  check_refused({site, "--reading", "2026-05-01", "sludge=60in", "scum=1in"}, 2,
                {"liquid depth is 48.0 in"});
  check_refused(
      {site, "--pumped", "soon", "--reading", "2026-05-01 sludge=6 scum=1in deep=2in"}, 2,
      {"sludge needs a unit", "unknown key deep", "--pumped must be a date as 2026-05-01"});
  check_refused({"scenarios/two_old_pits.yaml", "--pumped", "2030-01-01"}, 2, {"pump_out: on"});
  check_refused({site, "another.yaml"}, 2, {"another.yaml"});
  check_refused({"none.yaml", "--reading", "2026-05-01", "sludge=6in", "scum=1in"}, 3,
                {"there is no such file"});
  const TemporaryFolder folder;
  const std::string bare = (folder.path / "bare.yaml").string();
  write_text(bare, without(shipped_text(), "  pumped: 2024-09-15\n"));
  check_refused({bare, "--reading", "2026-05-01", "sludge=6in", "scum=1in"}, 2,
                {"not how fast it fills", "--pumped DATE", "an earlier reading"});
}

TEST_CASE("pump --out writes tables that say their units, and figures") {
  const QuickSite quick;
  const std::string& site = quick.path;
  const TemporaryFolder folder;
  const std::filesystem::path out = folder.path / "results";
  const Finished f =
      pump({site, "--reading", "2026-05-01", "sludge=6in", "scum=1in", "--out", out.string()});
  INFO(f.err);
  REQUIRE(f.code == 0);
  for (const char* name : {"report.txt", "report.json", "pump_out.svg", "pump_out.png",
                           "leaving_tank.svg", "files.txt"}) {
    INFO(name);
    CHECK(std::filesystem::file_size(out / name) > 100);
  }
  const plots::CsvTable course = plots::read_csv(out / "tank_course.csv");
  CHECK(course.columns == std::vector<std::string>{"date", "curve", "sludge_in", "scum_in",
                                                   "solids_percent_of_depth"});
  CHECK(course.rows.front()[0] == "2024-09-15");
  const plots::CsvTable readings = plots::read_csv(out / "readings.csv");
  REQUIRE(readings.rows.size() == 1);
  CHECK(readings.rows[0] == std::vector<std::string>{"2026-05-01", "6", "1", "14.5833"});
  CHECK(plots::read_csv(out / "pump_dates.csv").rows.size() == 16);
  CHECK(plots::read_csv(out / "pit_life.csv").rows.size() == 18);
  CHECK(plots::read_csv(out / "leaving_tank.csv").columns ==
        std::vector<std::string>{"year", "plan", "solids_out_lb", "scoured_lb"});
}
