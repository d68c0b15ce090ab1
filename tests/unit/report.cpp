#include "sim/report.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "models/constants.hpp"
#include "sim/words.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
using Json = nlohmann::ordered_json;

namespace {

Report small_report(UnitSystem units) {
  Scenario s = scenario_of(two_pits({.west_invert = "0.125 in", .start = "new: yes", .years = 1}));
  s.units = units;
  return run_report(run(s, clogging_cases(s.biomat)), {});
}

Report with_cells(std::vector<Cell> cells) {
  Report report;
  report.site = "x";
  report.start = std::chrono::sys_days{std::chrono::year(2026) / 5 / 1};
  report.days = 7305;
  ReportTable table;
  table.key = "t";
  table.title = "T";
  table.columns = {{"c", "column"}};
  for (Cell& cell : cells) table.rows.push_back({std::move(cell)});
  report.tables = {table};
  return report;
}

// The text of one cell alone in a table.
std::string cell_text(Cell cell) {
  const std::string text = report_text(with_cells({std::move(cell)}));
  const auto rule = text.find("---\n");
  const auto end = text.find('\n', rule + 4);
  std::string line = text.substr(rule + 4, end - rule - 4);
  return line.substr(line.find_first_not_of(' '));
}

Json cell_json(Cell cell) {
  return Json::parse(report_json(with_cells({std::move(cell)})))["tables"]["t"]["rows"][0]["c"];
}

// From a table's title to the next blank line.
std::string part_of(const std::string& text, const std::string& title) {
  const auto at = text.find(title + "\n");
  return at == std::string::npos ? "" : text.substr(at, text.find("\n\n", at) - at);
}

}  // namespace

TEST_CASE("shares are shown in whole percent, and what is not nothing never as nothing") {
  CHECK(cell_text(Share{0.0}) == "0 %");
  CHECK(cell_text(Share{1.0}) == "100 %");
  CHECK(cell_text(Share{0.001}) == "<1 %");
  CHECK(cell_text(Share{1e-9}) == "<1 %");
  CHECK(cell_text(Share{0.9999}) == ">99 %");
  CHECK(cell_text(Share{0.006}) == "1 %");
  CHECK(cell_text(Share{0.424}) == "42 %");
  CHECK(cell_text(Share{-0.07}) == "-7 %");  // a pit that fed the box
  CHECK(cell_json(Share{0.424})["value"] == 42.4);
  CHECK(cell_json(Share{0.424})["unit"] == "%");
}

TEST_CASE("a date that does not come is null in JSON and said in words in the text") {
  CHECK(cell_json(DayPoint{never}) == Json::parse(R"({"date": null, "years": null})"));
  CHECK(cell_text(DayPoint{never}).find("not") == 0);
  CHECK(cell_json(DayPoint{0})["date"] == "2026-05-01");
  CHECK(cell_json(DayPoint{0})["years"] == 0.0);
  CHECK(cell_json(DayPoint{365})["date"] == "2027-05-01");
  CHECK(double(cell_json(DayPoint{365})["years"]) == Approx(365 / 365.25).epsilon(1e-5));
  CHECK(cell_text(DayPoint{365}).find("2027") != std::string::npos);
}

TEST_CASE("empty cells, words and plain numbers") {
  CHECK(cell_text(std::monostate{}) == "-");
  CHECK(cell_json(std::monostate{}).is_null());
  CHECK(cell_text(std::string("east pit")) == "east pit");
  CHECK(cell_json(std::string("east pit")) == "east pit");
  CHECK(cell_text(Number{2.25, 1}) == "2.2");  // an exact half goes to the even digit
  CHECK(cell_json(Number{2.25, 1}) == 2.25);
}

// JSON holds six digits.
TEST_CASE("text and JSON of one run hold the same numbers") {
  for (const UnitSystem units : {UnitSystem::us, UnitSystem::metric}) {
    const Report report = small_report(units);
    const std::string text = report_text(report);
    const Json json = Json::parse(report_json(report));
    int amounts = 0, nevers = 0, shares = 0;
    for (const ReportTable& table : report.tables) {
      INFO(table.key);
      const Json& rows = json["tables"][table.key]["rows"];
      REQUIRE(rows.size() == table.rows.size());
      const std::string part = part_of(text, table.title);
      REQUIRE_FALSE(part.empty());
      for (std::size_t r = 0; r < table.rows.size(); ++r) {
        REQUIRE(table.rows[r].size() == table.columns.size());
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
          const Json& got = rows[r][table.columns[c].key];
          INFO("row " << r << ", " << table.columns[c].key << ": " << got.dump());
          const Cell& cell = table.rows[r][c];
          if (const auto* a = std::get_if<Amount>(&cell)) {
            const ColumnUnit unit = column_unit(a->quantity, units);
            CHECK(std::string(got["unit"]) == unit.label);
            if (!std::isfinite(a->value)) continue;
            CHECK(double(got["value"]) == Approx(a->value * unit.factor).epsilon(1e-5));
            CHECK(part.find(show(a->value, a->quantity, units).number) != std::string::npos);
            ++amounts;
          } else if (const auto* s = std::get_if<Share>(&cell)) {
            CHECK(double(got["value"]) == Approx(100.0 * s->part).epsilon(1e-5));
            ++shares;
          } else if (const auto* d = std::get_if<DayPoint>(&cell)) {
            CHECK(got["date"].is_null() == (d->day == never));
            nevers += d->day == never ? 1 : 0;
          }
        }
      }
    }
    CHECK(amounts > 20);
    CHECK(shares > 4);
    CHECK(nevers > 0);
  }
}

TEST_CASE("every table has columns of different keys, so that none is lost in JSON") {
  const Report report = small_report(UnitSystem::us);
  std::set<std::string> tables;
  for (const auto* part : {&report.tables, &report.assumptions}) {
    for (const ReportTable& table : *part) {
      INFO(table.key);
      CHECK(tables.insert(table.key).second);
      std::set<std::string> keys;
      for (const ReportColumn& column : table.columns) {
        INFO(column.key);
        CHECK(keys.insert(column.key).second);
      }
    }
  }
}

TEST_CASE("days in words") {
  Report report;
  report.start = std::chrono::sys_days{std::chrono::year(2026) / 5 / 1};
  report.days = 7305;
  CHECK(day_words(report, 0) == "at the start");
  CHECK(day_words(report, never) == "not within 20 years");
  CHECK(day_words(report, 1000).find("January 2029") != std::string::npos);
  CHECK(day_words(report, 1000).find("2.7 years") != std::string::npos);
}

TEST_CASE("the dangers are named in text and JSON") {
  const Report report = small_report(UnitSystem::us);
  CHECK(report.cautions == safety_cautions());
  std::string all;
  for (const std::string& c : report.cautions) all += c;
  for (const char* danger : {"gas", "Never enter", "confined", "collapse", "permit"}) {
    CHECK(all.find(danger) != std::string::npos);
  }
  CHECK(Json::parse(report_json(report))["cautions"].size() == report.cautions.size());
}

TEST_CASE("years are said as people say them, one year in the singular") {
  CHECK(years_words(365) == "1 year");
  CHECK(years_words(731) == "2 years");
  CHECK(years_words(913) == "2.5 years");
  CHECK(years_words(7305) == "20 years");
}
