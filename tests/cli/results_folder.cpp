// run --out: the folder is whole or not there, and never costs the user a file.
#include <unistd.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>

#include "plots/csv.hpp"
#include "tests/support/process.hpp"

using namespace restwell;
using namespace restwell::test;
namespace fs = std::filesystem;

namespace {

Finished run_to(const fs::path& out, const std::vector<std::string>& more = {}) {
  std::vector<std::string> arguments = {
      "run", "scenarios/one_outlet_low.yaml", "--years", "1", "--out", out.string()};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return restwell_program(arguments);
}

std::set<std::string> names_in(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) {
    names.insert(entry.path().filename().string());
  }
  return names;
}

// Columns that are words, dates, counts or yes-no; all others must say their unit.
const std::set<std::string> without_unit = {"date",   "year",   "years", "case",   "pit",
                                            "part",   "curve",  "where", "what",   "full",
                                            "people", "pumped", "hour",  "outlet", "reaches_box"};

bool says_unit(const std::string& column, const std::vector<std::string>& units) {
  for (const std::string& unit : units) {
    if (column.ends_with("_" + unit) || column.find(unit + "_of_") != std::string::npos) {
      return true;
    }
  }
  return false;
}

void check_tables(const fs::path& folder, const std::vector<std::string>& units) {
  int tables = 0;
  for (const std::string name :
       {"tank", "pits", "events", "yearly_balance", "outlet_shares", "typical_day", "clogging"}) {
    INFO(name);
    const plots::CsvTable table = plots::read_csv(folder / (name + ".csv"));
    CHECK_FALSE(table.rows.empty());
    ++tables;
    for (const std::string& column : table.columns) {
      if (without_unit.contains(column)) continue;
      INFO(column);
      CHECK(says_unit(column, units));
      for (const auto& row : table.rows) {
        const std::string& cell = row[table.column(column)];
        std::size_t end = 0;
        REQUIRE_NOTHROW(std::stod(cell, &end));
        REQUIRE(end == cell.size());
      }
    }
  }
  CHECK(tables == 7);
  const plots::CsvTable tank = plots::read_csv(folder / "tank.csv");
  REQUIRE(tank.rows.size() == 365);
  CHECK(tank.rows.front()[tank.column("date")] == "2026-05-01");
  CHECK(tank.rows.back()[tank.column("date")] == "2027-04-30");
}

}  // namespace

TEST_CASE(
    "run --out writes the tables, the report and the figures, and a second run replaces them") {
  const TemporaryFolder folder;
  const fs::path out = folder.path / "results";
  const Finished first = run_to(out);
  INFO(first.err);
  REQUIRE(first.code == 0);
  CHECK(names_in(folder.path) == std::set<std::string>{"results"});
  check_tables(out, {"gal", "in", "ft", "lb", "gal_per_min", "percent", "days"});
  CHECK(first.out.find(read_text(out / "report.txt")) == 0);
  CHECK(nlohmann::json::parse(read_text(out / "report.json"))["answer"].is_array());
  int scripts = 0;
  for (const std::string& name : names_in(out)) {
    CHECK(fs::file_size(out / name) > 0);
    if (fs::path(name).extension() != ".gp") continue;
    ++scripts;
    // Without gnuplot the program says so and writes the scripts alone.
    if (first.err.find("gnuplot is not installed") != std::string::npos) continue;
    CHECK(fs::exists(out / fs::path(name).replace_extension(".svg")));
    CHECK(fs::exists(out / fs::path(name).replace_extension(".png")));
  }
  CHECK(scripts >= 4);

  const std::set<std::string> before = names_in(out);
  write_text(out / "events.csv", "old");
  const Finished second = run_to(out, {"--units", "metric"});
  REQUIRE(second.code == 0);
  CHECK(names_in(out) == before);
  CHECK(names_in(folder.path) == std::set<std::string>{"results"});
  check_tables(out, {"L", "mm", "m", "kg", "L_per_min", "percent", "days"});
}

TEST_CASE("a picture that the user put into a results folder is not lost") {
  const TemporaryFolder folder;
  const fs::path out = folder.path / "results";
  REQUIRE(run_to(out).code == 0);
  write_text(out / "lid_photo.png", "a picture");
  const Finished second = run_to(out);
  CHECK(second.code == 4);
  CHECK(second.err.find("holds other files") != std::string::npos);
  CHECK(read_text(out / "lid_photo.png") == "a picture");
}

TEST_CASE("run --out with --json keeps stdout to the JSON") {
  const TemporaryFolder folder;
  const Finished f = run_to(folder.path / "results", {"--json"});
  REQUIRE(f.code == 0);
  CHECK(f.out == read_text(folder.path / "results" / "report.json"));
  CHECK(f.err.find("files written to") != std::string::npos);
}

TEST_CASE("an empty folder, a name with blanks and other scripts, and missing parents will do") {
  const TemporaryFolder folder;
  fs::create_directory(folder.path / "empty");
  CHECK(run_to(folder.path / "empty").code == 0);
  CHECK(fs::exists(folder.path / "empty" / "report.json"));
  const fs::path odd = folder.path / "my results" / "Grube \xc3\xa4\xc3\xb6\xc3\xbc \xe6\xb0\xb4'$";
  const Finished f = run_to(odd / "");
  INFO(f.err);
  CHECK(f.code == 0);
  check_tables(odd, {"gal", "in", "ft", "lb", "gal_per_min", "percent", "days"});
  CHECK(fs::exists(odd / "pit_levels.svg") ==
        (f.err.find("gnuplot is not installed") == std::string::npos));
}

TEST_CASE("a folder with the user's files is refused and left as it was") {
  const TemporaryFolder folder;
  const auto check_refused = [&](const fs::path& out) {
    const std::set<std::string> before = names_in(out), beside = names_in(folder.path);
    const Finished f = run_to(out);
    INFO(f.err);
    CHECK(f.code == 4);
    CHECK(f.out.empty());
    CHECK(f.err.find("holds other files") != std::string::npos);
    CHECK(names_in(out) == before);
    CHECK(names_in(folder.path) == beside);
  };
  const fs::path foreign = folder.path / "foreign";
  fs::create_directory(foreign);
  write_text(foreign / "notes.txt", "mine");
  check_refused(foreign);
  CHECK(read_text(foreign / "notes.txt") == "mine");

  // A report of an earlier run does not make the user's files beside it ours.
  const fs::path mixed = folder.path / "mixed";
  REQUIRE(run_to(mixed).code == 0);
  write_text(mixed / "notes.txt", "mine");
  check_refused(mixed);
  fs::remove(mixed / "notes.txt");
  fs::create_directory(mixed / "photos");
  check_refused(mixed);
  fs::remove(mixed / "photos");
  CHECK(run_to(mixed).code == 0);
}

TEST_CASE("a place that cannot be written is refused and nothing is left") {
  const TemporaryFolder folder;
  write_text(folder.path / "file", "mine");
  for (const fs::path& out : {folder.path / "file", folder.path / "file" / "results",
                              folder.path / "file" / "more" / "results"}) {
    const Finished f = run_to(out);
    INFO(out << ": " << f.err);
    CHECK(f.code == 4);
    CHECK(f.out.empty());
    CHECK(f.err.find("restwell: ") == 0);
  }
  CHECK(names_in(folder.path) == std::set<std::string>{"file"});
  CHECK(read_text(folder.path / "file") == "mine");
}

TEST_CASE("a link to a folder is followed and stays a link") {
  const TemporaryFolder folder;
  fs::create_directory(folder.path / "far");
  fs::create_directory_symlink("far/there", folder.path / "link");
  const Finished dangling = run_to(folder.path / "link");
  CHECK(dangling.code == 4);
  CHECK(dangling.err.find("is a link to far/there, which is not there") != std::string::npos);
  CHECK(names_in(folder.path / "far").empty());

  fs::create_directory(folder.path / "far" / "there");
  for (const fs::path& as_given : {folder.path / "link", folder.path / "link" / ""}) {
    const Finished f = run_to(as_given);
    INFO(f.err);
    CHECK(f.code == 0);
    CHECK(fs::is_symlink(folder.path / "link"));
    CHECK(fs::exists(folder.path / "far" / "there" / "report.json"));
    CHECK(names_in(folder.path) == std::set<std::string>{"far", "link"});
    CHECK(names_in(folder.path / "far") == std::set<std::string>{"there"});
  }
}

TEST_CASE("a page goes to the file that a link points to") {
  const TemporaryFolder folder;
  const fs::path page = folder.path / "page.html", link = folder.path / "link.html";
  const auto report_to = [](const fs::path& file) {
    return restwell_program(
        {"report", "scenarios/one_outlet_low.yaml", "--years", "1", "-o", file.string()});
  };
  fs::create_symlink("page.html", link);
  CHECK(report_to(link).code == 4);  // not there
  CHECK(names_in(folder.path) == std::set<std::string>{"link.html"});
  REQUIRE(report_to(page).code == 0);
  const std::string before = read_text(page);
  write_text(page, before + "<!-- old -->");
  REQUIRE(report_to(link).code == 0);
  CHECK(fs::is_symlink(link));
  CHECK(read_text(page) == before);
  CHECK(names_in(folder.path) == std::set<std::string>{"link.html", "page.html"});
}

TEST_CASE("a folder that can be filled but not replaced is refused in words, before the run") {
  const TemporaryFolder folder;
  const fs::path locked = folder.path / "locked", mine = locked / "mine";
  fs::create_directories(mine);
  fs::permissions(locked, fs::perms::owner_read | fs::perms::owner_exec);
  const auto run_without_rights = [&](const fs::path& out) {
    std::vector<std::string> arguments = {build_folder() + "/restwell",
                                          "run",
                                          "scenarios/one_outlet_low.yaml",
                                          "--years",
                                          "1",
                                          "--out",
                                          out.string()};
    // The superuser may write anywhere, unless it gives that up.
    if (::geteuid() == 0)
      arguments.insert(arguments.begin(),
                       {"setpriv", "--bounding-set", "-all", "--inh-caps", "-all"});
    return run_program(arguments);
  };
  const Finished refused = run_without_rights(mine);
  INFO(refused.err);
  CHECK(refused.code == 4);
  CHECK(refused.out.empty());
  CHECK(refused.err ==
        "restwell: " + locked.string() +
            " cannot be written to (Permission denied), but results are made beside " +
            mine.string() + " and put in its place whole; give a folder in it, such as " +
            (mine / "results").string() + "\n");
  CHECK(names_in(mine).empty());
  const Finished nothing_there = run_without_rights(locked / "new");
  INFO(nothing_there.err);
  CHECK(nothing_there.code == 4);
  CHECK(nothing_there.err.find("Permission denied") != std::string::npos);
  CHECK(nothing_there.err.find("give a folder") == std::string::npos);
  const Finished advised = run_without_rights(mine / "results");
  INFO(advised.err);
  CHECK(advised.code == 0);
  CHECK(fs::exists(mine / "results" / "report.json"));
  fs::permissions(locked, fs::perms::owner_all);
}

TEST_CASE("a mount point is refused in words") {
  const Finished f = run_to("/proc");
  INFO(f.err);
  CHECK(f.code == 4);
  CHECK(f.out.empty());
  CHECK(f.err.find("restwell: /proc is a mount point and cannot be replaced as a whole") == 0);
}

TEST_CASE("a bad scenario writes nothing") {
  const TemporaryFolder folder;
  write_text(folder.path / "bad.yaml", "name: x\n");
  const Finished f = restwell_program(
      {"run", (folder.path / "bad.yaml").string(), "--out", (folder.path / "results").string()});
  CHECK(f.code == 3);
  CHECK(f.out.empty());
  CHECK(names_in(folder.path) == std::set<std::string>{"bad.yaml"});
}
