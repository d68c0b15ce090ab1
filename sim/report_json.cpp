#include <nlohmann/json.hpp>

#include "models/constants.hpp"
#include "sim/calendar.hpp"
#include "sim/report.hpp"

namespace restwell {
namespace {

using Json = nlohmann::ordered_json;

struct CellJson {
  const Report& report;
  Json operator()(std::monostate) const { return nullptr; }
  Json operator()(const std::string& s) const { return s; }
  Json operator()(const Amount& a) const {
    const ColumnUnit unit = column_unit(a.quantity, report.units);
    return {{"value", six_digits(a.value * unit.factor)}, {"unit", unit.label}};
  }
  Json operator()(const Share& s) const {
    return {{"value", six_digits(100.0 * s.part)}, {"unit", "%"}};
  }
  Json operator()(const Number& n) const { return n.value; }
  Json operator()(const DayPoint& d) const {
    if (d.day == never) return {{"date", nullptr}, {"years", nullptr}};
    return {{"date", iso_date(date_of(report.start, d.day))},
            {"years", six_digits(d.day / days_per_year)}};
  }
  Json operator()(const DatePoint& d) const {
    if (!d.date) return (*this)(DayPoint{never});
    const auto day = static_cast<double>((*d.date - report.start).count());
    return {{"date", iso_date(*d.date)}, {"years", six_digits(day / days_per_year)}};
  }
  Json operator()(const DaySpread& d) const {
    return {{"early", (*this)(DayPoint{d.early})},
            {"expected", (*this)(DayPoint{d.expected})},
            {"late", (*this)(DayPoint{d.late})}};
  }
  Json operator()(const Lasting& l) const {
    if (l.day == never) return {{"days", nullptr}, {"over_days", l.looked_at_day}};
    return {{"days", l.day}};
  }
};

Json table_json(const Report& report, const ReportTable& table) {
  Json rows = Json::array();
  for (const auto& row : table.rows) {
    Json object = Json::object();
    for (std::size_t c = 0; c < row.size(); ++c) {
      object[table.columns[c].key] = std::visit(CellJson{report}, row[c]);
    }
    rows.push_back(std::move(object));
  }
  Json json = {{"title", table.title}, {"rows", std::move(rows)}};
  if (!table.note.empty()) json["note"] = table.note;
  return json;
}

Json whole(const Report& report) {
  Json json;
  json["site"] = report.site;
  if (!report.question.empty()) json["question"] = report.question;
  if (report.days > 0) {  // else a question without time
    json["start"] = iso_date(report.start);
    json["years"] = report.days / days_per_year;
  }
  json["answer"] = Json::array();
  for (const AnswerLine& line : report.answer) {
    json["answer"].push_back({{"topic", line.topic}, {"text", line.text}});
  }
  json["setting"] = report.setting;
  json["notes"] = report.notes;
  json["tables"] = Json::object();
  for (const ReportTable& t : report.tables) json["tables"][t.key] = table_json(report, t);
  json["assumptions"] = Json::object();
  for (const ReportTable& t : report.assumptions) {
    json["assumptions"][t.key] = table_json(report, t);
  }
  json["simplifications"] = report.simplifications;
  json["cautions"] = report.cautions;
  return json;
}

}  // namespace

std::string report_json(const Report& report) { return whole(report).dump(2) + "\n"; }

std::string report_json_for_html(const Report& report) {
  std::string out;
  for (const char c : whole(report).dump()) {  // these stand in texts only, where escapes may
    if (c == '<') {
      out += "\\u003c";
    } else if (c == '>') {
      out += "\\u003e";
    } else if (c == '&') {
      out += "\\u0026";
    } else {
      out += c;
    }
  }
  return out;
}

}  // namespace restwell
