// A result as neutral content: answer lines, tables of typed cells, words. One content serves the
// text page and the JSON, so that they cannot disagree.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/run.hpp"
#include "sim/units.hpp"

namespace restwell {

struct Amount {  // internal units
  double value;
  Quantity quantity;
};
struct Share {  // shown in percent
  double part;
};
struct Number {  // without unit
  double value;
  int decimals;
};
struct DayPoint {  // day index, or never
  int day;
};
struct DatePoint {           // like DayPoint, but may lie before the start
  std::optional<Date> date;  // nothing: not within these days from the start
  int within_day = 0;        // 0: those of the report
};
struct Lasting {  // how long something lasts; never: longer than was looked at
  int day, looked_at_day;
};
using Cell = std::variant<std::monostate, std::string, Amount, Share, Number, DayPoint, DatePoint,
                          DaySpread, Lasting>;

struct ReportColumn {
  std::string key, heading;
};
struct ReportTable {
  std::string key, title;
  std::vector<ReportColumn> columns;
  std::vector<std::vector<Cell>> rows;
  std::string note;
  bool compact = false;  // in text: rows run on in paragraphs, the last column left out
};
struct AnswerLine {
  std::string topic, text;
};
struct Report {
  std::string site, question;
  Date start{};
  int days = 0;
  UnitSystem units = UnitSystem::us;
  std::string setting;  // "4 people, 159 gal/day, steady"
  std::vector<AnswerLine> answer;
  std::vector<std::string> notes;  // warnings of the loader and of the start state
  std::vector<ReportTable> tables;
  std::vector<ReportTable> assumptions;
  std::vector<std::string> simplifications;  // of the model, in words
  std::vector<std::string> cautions;
};

// The report of the main job.
[[nodiscard]] Report run_report(const RunResult& result, const std::vector<std::string>& warnings);

// "file.yaml:12:39: soil.water_table: text" without the place, which is for whoever edits the file.
[[nodiscard]] std::string without_place(const std::string& warning);

// A cell as the text page shows it, and whether it stands to the right as numbers do.
[[nodiscard]] std::string cell_text(const Report& report, const Cell& cell);
[[nodiscard]] bool is_number(const Cell& cell);

// "12 days", "3.4 years", "over 10 years".
[[nodiscard]] std::string lasting_words(const Lasting& lasting);

// Words for a day of the run: "March 2029 (2.8 years)", or "not within 20 years".
[[nodiscard]] std::string day_words(const Report& report, int day);

[[nodiscard]] std::string report_text(const Report& report);
[[nodiscard]] std::string report_json(const Report& report);
// The same in one line that may stand inside of an HTML element: no < > &.
[[nodiscard]] std::string report_json_for_html(const Report& report);

// Sewer gas, confined space, collapse, open lids; whom to ask.
[[nodiscard]] std::vector<std::string> safety_cautions();

}  // namespace restwell
