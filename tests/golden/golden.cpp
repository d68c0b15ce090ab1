// What the shipped scenarios gave when last looked at: a change of the physics must show, and be
// looked at. Numbers in tests/golden/*.csv come from this program itself and prove nothing else.
//
//     UPDATE_GOLDEN=1 build/tests/golden_golden      rewrites them and prints what changed
#include <fmt/core.h>

#include <catch2/catch.hpp>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <map>

#include "models/constants.hpp"
#include "plots/csv.hpp"
#include "sim/words.hpp"
#include "tests/support/process.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
namespace fs = std::filesystem;

namespace {

struct Row {
  std::string quantity, unit, value;  // value: a number, or "never" for a day
  std::string tolerance;              // in the unit
  bool operator==(const Row&) const = default;
};

std::string six_digits(double x) { return fmt::format("{:.6g}", x == 0.0 ? 0.0 : x); }

// The rows of one scenario, with the tolerance of each kind of quantity.
class Rows {
 public:
  void day(const std::string& quantity, int day) {
    if (day == never) {
      rows.push_back({quantity, "day", "never", "3"});
    } else {
      rows.push_back({quantity, "day", std::to_string(day), two_digits(std::max(3.0, 0.01 * day))});
    }
  }
  void level(const std::string& quantity, double m) { add(quantity, "m", m, 0.02); }
  void share(const std::string& quantity, double part) {
    add(quantity, "percent", 100.0 * part, 0.3);
  }
  void volume(const std::string& quantity, double m3) {
    add(quantity, "m3", m3, std::max(0.05, 0.005 * std::abs(m3)));
  }
  void flow(const std::string& quantity, double m3_per_day) {
    add(quantity, "m3_per_day", m3_per_day, std::max(0.001, 0.01 * std::abs(m3_per_day)));
  }
  void mass(const std::string& quantity, double kg) {
    add(quantity, "kg", kg, std::max(0.1, 0.005 * std::abs(kg)));
  }
  void count(const std::string& quantity, int n) {
    rows.push_back({quantity, "count", std::to_string(n), "0"});
  }
  std::vector<Row> rows;

 private:
  static std::string two_digits(double x) { return fmt::format("{:.2g}", x); }
  void add(const std::string& quantity, const char* unit, double value, double tolerance) {
    rows.push_back({quantity, unit, six_digits(value), two_digits(tolerance)});
  }
};

void tank_rows(const RunResult& r, Rows& rows) {
  for (const CriterionDates& c : r.criteria) {
    rows.day("tank: mark reached, " + criterion_words(c.criterion),
             c.met.empty() ? never : c.met.front());
  }
  rows.count("tank: times pumped", static_cast<int>(r.pumped.size()));
  for (std::size_t i = 0; i < std::min<std::size_t>(3, r.pumped.size()); ++i) {
    rows.day(fmt::format("tank: pump-out {}", i + 1), r.pumped[i]);
  }
  const TankLedger& t = r.tank_ledger;
  rows.volume("tank: water in", t.water_in);
  rows.volume("tank: water out", t.water_out);
  rows.volume("tank: water pumped", t.water_pumped);
  rows.mass("tank: solids in", t.solids_in);
  rows.mass("tank: solids out", t.solids_out);
  rows.mass("tank: solids digested", t.solids_digested);
  rows.mass("tank: solids pumped", t.solids_pumped);
}

void box_rows(const RunResult& r, Rows& rows) {
  if (!r.site.box_present) return;
  const auto& by_year = r.cases[Cases::expected].outlet_m3_by_year;
  for (std::size_t i = 0; i < r.site.outlets.size(); ++i) {
    const std::string name = r.scenario.box.outlets[r.site.outlet_config[i]].name;
    rows.share(fmt::format("box: outlet {}, free fall", name), r.free_share[i]);
    for (const std::size_t year : {std::size_t{0}, by_year[i].size() - 1}) {
      double all = 0.0;
      for (const auto& outlet : by_year) all += outlet[year];
      if (all > 0.0) {
        rows.share(fmt::format("box: outlet {}, year {}", name, year + 1), by_year[i][year] / all);
      }
    }
  }
}

void pit_rows(const RunResult& r, const CaseRun& f, Rows& rows) {
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const std::string who = fmt::format("{}: {}", f.clog_case.name, pit_label(r.scenario.pits[p]));
    rows.level(who + ", level at the start", f.start_level_m[p]);
    for (const int year : {1, 5, 10, 20}) {
      const int last = static_cast<int>(std::ceil(year * days_per_year)) - 1;
      if (last >= r.days()) continue;
      rows.level(fmt::format("{}, level after year {}", who, year),
                 f.days[p][static_cast<std::size_t>(last)].level_m);
    }
    rows.day(who + ", first full", f.pits[p].first_full);
    rows.day(who + ", first backs up to the box", f.pits[p].first_reaches_box);
    rows.day(who + ", first overflow", f.pits[p].first_overflow);
    rows.flow(who + ", takes when full at the end", f.capacity_m3_per_day[p]);
  }
  const std::string all = f.clog_case.name + ": all pits";
  rows.day(all + ", water first leaves", f.first_leaves);
  rows.volume(all + ", in", f.ledger.in);
  rows.volume(all + ", to the soil", f.ledger.soil);
  rows.volume(all + ", to the surface", f.ledger.surface);
  rows.volume(all + ", to the house", f.ledger.house);
}

std::vector<Row> rows_of(const Scenario& scenario) {
  const RunResult r = run(scenario, main_cases(scenario.biomat));
  Rows rows;
  tank_rows(r, rows);
  box_rows(r, rows);
  for (const CaseRun& f : r.cases) pit_rows(r, f, rows);
  return rows.rows;
}

std::vector<Row> read_rows(const fs::path& file) {
  const plots::CsvTable table = plots::read_csv(file);
  const std::size_t quantity = table.column("quantity"), unit = table.column("unit"),
                    value = table.column("value"), tolerance = table.column("tolerance");
  std::vector<Row> rows;
  for (const auto& row : table.rows) {
    rows.push_back({row[quantity], row[unit], row[value], row[tolerance]});
  }
  return rows;
}

void write_rows(const fs::path& file, const std::vector<Row>& rows) {
  plots::CsvWriter csv(file, {"quantity", "unit", "value", "tolerance"});
  for (const Row& row : rows) csv.row({row.quantity, row.unit, row.value, row.tolerance});
  csv.close();
}

double number(const std::string& text) {
  double value = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc{} || stop != end) throw std::runtime_error("not a number: " + text);
  return value;
}

// Empty if the two agree; a day within the tolerance of the run's end agrees with never.
std::string differs(const Row& got, const Row& golden, int days) {
  const auto place = [&](const Row& r) {
    return r.value == "never" ? static_cast<double>(days) : number(r.value);
  };
  if (got.unit == golden.unit && std::abs(place(got) - place(golden)) <= number(golden.tolerance)) {
    return "";
  }
  return fmt::format("{}: got {} {}, golden {} {} +- {}", got.quantity, got.value, got.unit,
                     golden.value, golden.unit, golden.tolerance);
}

std::vector<std::string> differences(const std::vector<Row>& got, const std::vector<Row>& golden,
                                     int days) {
  std::vector<std::string> all;
  std::map<std::string, Row> by_name;
  for (const Row& row : golden) {
    if (!by_name.emplace(row.quantity, row).second) {
      all.push_back(row.quantity + ": stands twice in the golden file");
    }
  }
  for (const Row& row : got) {
    const auto found = by_name.find(row.quantity);
    if (found == by_name.end()) {
      all.push_back(row.quantity + ": not in the golden file");
      continue;
    }
    const std::string difference = differs(row, found->second, days);
    if (!difference.empty()) all.push_back(difference);
    by_name.erase(found);
  }
  for (const auto& [name, row] : by_name) all.push_back(name + ": unknown row in the golden file");
  return all;
}

bool updating() {
  const char* given = std::getenv("UPDATE_GOLDEN");
  return given != nullptr && std::string(given) == "1";
}

fs::path golden_file(const fs::path& scenario) {
  return fs::path(RESTWELL_SOURCE_DIR "/tests/golden") / scenario.stem().replace_extension(".csv");
}

void check_scenario(const fs::path& scenario_file) {
  const Scenario scenario = load_scenario(scenario_file).scenario;
  const int days = static_cast<int>(std::lround(scenario.years * days_per_year));
  const std::vector<Row> got = rows_of(scenario);
  const fs::path file = golden_file(scenario_file);
  INFO(file.string());
  if (updating()) {
    std::cout << file.filename().string() << "\n";
    if (fs::exists(file)) {
      for (const std::string& d : differences(got, read_rows(file), days)) {
        std::cout << "  " << d << "\n";
      }
    } else {
      std::cout << "  new\n";
    }
    write_rows(file, got);
  }
  REQUIRE(fs::exists(file));
  for (const std::string& d : differences(got, read_rows(file), days)) FAIL_CHECK(d);
}

void check_every_third_from(std::size_t first) {
  const auto scenarios = shipped_scenarios();
  REQUIRE(first < scenarios.size());
  for (std::size_t i = first; i < scenarios.size(); i += 3) check_scenario(scenarios[i]);
}

}  // namespace

// In parts, to stay short and to run side by side.
TEST_CASE("the shipped scenarios give what they gave (1 of 3)") { check_every_third_from(0); }
TEST_CASE("the shipped scenarios give what they gave (2 of 3)") { check_every_third_from(1); }
TEST_CASE("the shipped scenarios give what they gave (3 of 3)") { check_every_third_from(2); }

TEST_CASE("every golden file belongs to a scenario") {
  std::vector<fs::path> expected;
  for (const fs::path& scenario : shipped_scenarios()) expected.push_back(golden_file(scenario));
  for (const auto& entry : fs::directory_iterator(RESTWELL_SOURCE_DIR "/tests/golden")) {
    if (entry.path().extension() != ".csv") continue;
    INFO(entry.path().string());
    CHECK(std::find(expected.begin(), expected.end(), entry.path()) != expected.end());
  }
}

TEST_CASE("the comparison sees a moved value, another unit, a lost and an unknown row") {
  const Row level{"a", "m", "1.5", "0.02"}, day{"b", "day", "1000", "10"};
  const std::vector<Row> golden{level, day};
  const auto count = [&](std::vector<Row> got) { return differences(got, golden, 7305).size(); };
  CHECK(count({level, day}) == 0);
  CHECK(count({{"a", "m", "1.519", "1"}, day}) == 0);
  CHECK(count({{"a", "m", "1.521", "1"}, day}) == 1);  // the file's tolerance counts
  CHECK(count({{"a", "ft", "1.5", "1"}, day}) == 1);
  CHECK(count({level, {"b", "day", "never", "3"}}) == 1);
  CHECK(count({level}) == 1);
  CHECK(count({level, day, {"c", "m", "1", "1"}}) == 1);
  CHECK(differences({{"b", "day", "never", "3"}}, {{"b", "day", "7300", "73"}}, 7305).empty());
  CHECK(differences({level}, {level, level}, 7305).size() == 1);
}
