// Leap days and the turn of a century that has none, as the tables write them, in any time zone.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <sstream>

#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;
namespace fs = std::filesystem;

namespace {

const std::string program = build_folder() + "/restwell";

// other_ways.yaml from another day on.
fs::path site_from(const std::string& start, const TemporaryFolder& folder) {
  std::string text = read_text(RESTWELL_SOURCE_DIR "/tests/support/other_ways.yaml");
  text.replace(text.find("start: ") + 7, 10, start);
  const fs::path file = folder.path / (start + ".yaml");
  write_text(file, text);
  return file;
}

// The first column, without its head.
std::vector<std::string> dates_in(const fs::path& csv) {
  std::istringstream lines(read_text(csv));
  std::string line;
  std::getline(lines, line);
  std::vector<std::string> dates;
  while (std::getline(lines, line)) dates.push_back(line.substr(0, line.find(',')));
  return dates;
}

// Without pictures: most of a run's time.
fs::path run_in(const std::string& zone, const std::string& start, const std::string& years,
                const TemporaryFolder& folder) {
  static int run = 0;
  fs::path out = folder.path / ("results " + std::to_string(++run));
  const Finished f =
      run_program({"/usr/bin/env", "PATH=/nonexistent", "TZ=" + zone, program, "run",
                   site_from(start, folder).string(), "--years", years, "--out", out.string()});
  INFO(zone << "\n" << f.err);
  REQUIRE(f.code == 0);
  return out;
}

std::string day_after(const std::vector<std::string>& dates, const std::string& day) {
  const auto at = std::find(dates.begin(), dates.end(), day);
  return at == dates.end() || at + 1 == dates.end() ? "" : *(at + 1);
}

}  // namespace

TEST_CASE("a leap year's table has its 29 February, a common year's has none") {
  const TemporaryFolder folder;
  const fs::path out = run_in("UTC", "2028-02-29", "5", folder);
  for (const char* table : {"tank.csv", "pits.csv"}) {
    INFO(table);
    const std::vector<std::string> dates = dates_in(out / table);
    REQUIRE_FALSE(dates.empty());
    CHECK(dates.front() == "2028-02-29");
    CHECK(day_after(dates, "2028-02-29") == "2028-03-01");
    CHECK(day_after(dates, "2029-02-28") == "2029-03-01");
    CHECK(day_after(dates, "2032-02-28") == "2032-02-29");
    CHECK(day_after(dates, "2032-02-29") == "2032-03-01");
  }
}

TEST_CASE("the year 2100 has no 29 February, and no time zone moves a day") {
  const TemporaryFolder folder;
  std::string before;
  // Both sides of the date line, a clock changed by half an hour, one that does not exist.
  for (const std::string zone :
       {"UTC", "America/New_York", "Pacific/Kiritimati", "Australia/Lord_Howe", "XXX-14:59",
        "XXX+12:01", ":/nonexistent"}) {
    INFO(zone);
    const fs::path out = run_in(zone, "2096-02-29", "9", folder);
    const std::vector<std::string> dates = dates_in(out / "tank.csv");
    REQUIRE(dates.size() > 3280);
    CHECK(dates.front() == "2096-02-29");
    CHECK(day_after(dates, "2100-02-28") == "2100-03-01");
    CHECK(day_after(dates, "2099-12-31") == "2100-01-01");
    CHECK(std::set(dates.begin(), dates.end()).size() == dates.size());
    std::string all;
    for (const char* table : {"tank.csv", "pits.csv", "events.csv", "report.json"})
      all += read_text(out / table);
    if (before.empty()) before = all;
    CHECK((all == before));
  }
}

TEST_CASE("a 29 February that a year has not is refused as a start") {
  const TemporaryFolder folder;
  for (const std::string start : {"2100-02-29", "2027-02-29"}) {
    const Finished f = restwell_program({"check", site_from(start, folder).string()});
    CHECK(f.code == 3);
    CHECK(f.err.find("start: ") != std::string::npos);
    CHECK(f.err.find("there is no day " + start) != std::string::npos);
  }
}
