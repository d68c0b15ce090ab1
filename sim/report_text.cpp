#include <fmt/core.h>

#include <cmath>

#include "models/constants.hpp"
#include "plots/text_table.hpp"
#include "sim/calendar.hpp"
#include "sim/report.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr int page_width = 100;

struct CellText {
  const Report& report;
  static std::string not_within(int days) {
    return fmt::format("not in {:.3g} yr", std::round(10.0 * days / days_per_year) / 10.0);
  }
  std::string operator()(std::monostate) const { return "-"; }
  std::string operator()(const std::string& s) const { return s; }
  std::string operator()(const Amount& a) const {
    return show_text(a.value, a.quantity, report.units);
  }
  std::string operator()(const Share& s) const {
    const double percent = 100.0 * s.part;
    if (percent > 0.0 && percent < 0.5) return "<1 %";
    if (percent < 100.0 && percent > 99.5) return ">99 %";
    return fmt::format("{:.0f} %", percent);
  }
  std::string operator()(const Number& n) const {
    return fmt::format("{:.{}f}", n.value, n.decimals);
  }
  std::string operator()(const DayPoint& d) const {
    if (d.day == never) return not_within(report.days);
    if (d.day == 0) return "at the start";
    return fmt::format("{} ({:.1f} yr)", short_month_and_year(date_of(report.start, d.day)),
                       d.day / days_per_year);
  }
  std::string operator()(const DatePoint& d) const {
    if (!d.date) return not_within(d.within_day > 0 ? d.within_day : report.days);
    const int day = days_between(report.start, *d.date);
    if (day >= 0) return (*this)(DayPoint{day});
    return fmt::format("{} ({:.1f} yr ago)", short_month_and_year(*d.date), -day / days_per_year);
  }
  std::string operator()(const DaySpread& d) const { return spread_words(d, report.days); }
  std::string operator()(const Lasting& l) const { return lasting_words(l); }
};

}  // namespace

bool is_number(const Cell& c) {
  return std::holds_alternative<Amount>(c) || std::holds_alternative<Share>(c) ||
         std::holds_alternative<Number>(c) || std::holds_alternative<Lasting>(c);
}

std::string cell_text(const Report& report, const Cell& cell) {
  return std::visit(CellText{report}, cell);
}

namespace {

// "bypass_sound 2 %; scum_share 22 %; ...": all but the last column, which explains.
std::string compact_text(const Report& report, const ReportTable& table) {
  std::string line;
  for (const auto& row : table.rows) {
    for (std::size_t c = 0; c + 1 < row.size(); ++c) {
      line += (c > 0 ? " " : line.empty() ? "" : "; ") + cell_text(report, row[c]);
    }
  }
  return plots::wrapped(line + ".", "  ", "  ", page_width);
}

std::string table_text(const Report& report, const ReportTable& table) {
  if (table.compact) {
    return table.title + "\n" + compact_text(report, table) +
           (table.note.empty() ? "" : plots::wrapped(table.note, "  ", "  ", page_width)) + "\n";
  }
  std::vector<plots::Column> columns;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    bool right = !table.rows.empty();
    for (const auto& row : table.rows) {
      right = right && (is_number(row[c]) || std::holds_alternative<std::monostate>(row[c]));
    }
    columns.push_back({table.columns[c].heading, right ? plots::Align::right : plots::Align::left});
  }
  std::vector<std::vector<std::string>> rows;
  for (const auto& row : table.rows) {
    std::vector<std::string> cells;
    for (const Cell& cell : row) cells.push_back(cell_text(report, cell));
    rows.push_back(std::move(cells));
  }
  std::string text = table.title + "\n" + plots::text_table(columns, rows, 2, page_width);
  if (!table.note.empty()) text += plots::wrapped(table.note, "  ", "  ", page_width);
  return text + "\n";
}

}  // namespace

std::string lasting_words(const Lasting& l) {
  constexpr int in_days = 120;
  if (l.day == never) return "over " + years_words(l.looked_at_day);
  if (l.day < in_days) return fmt::format("{} {}", l.day, l.day == 1 ? "day" : "days");
  return fmt::format("{:.1f} years", l.day / days_per_year);
}

std::string day_words(const Report& report, int day) {
  if (day == never) {
    return "not within " + years_words(report.days);
  }
  if (day == 0) return "at the start";
  if (day < 60) {
    return fmt::format("{} ({} {})", iso_date(date_of(report.start, day)), day,
                       day == 1 ? "day" : "days");
  }
  return fmt::format("{} ({:.1f} years)", month_and_year(date_of(report.start, day)),
                     day / days_per_year);
}

std::string report_text(const Report& report) {
  std::string text = report.site + "\n";
  if (!report.question.empty()) text += report.question + "\n";
  text += "\nANSWER\n";
  std::size_t widest = 0;
  for (const AnswerLine& line : report.answer) widest = std::max(widest, line.topic.size());
  const std::string rest(widest + 4, ' ');
  for (const AnswerLine& line : report.answer) {
    text +=
        plots::wrapped(line.text, fmt::format("  {:<{}}  ", line.topic, widest), rest, page_width);
  }
  text += plots::wrapped(report.setting, "  ", "  ", page_width);
  for (const std::string& note : report.notes) text += plots::wrapped(note, "  note: ", "        ");
  text += "\n";
  for (const ReportTable& table : report.tables) text += table_text(report, table);
  for (const ReportTable& table : report.assumptions) text += table_text(report, table);
  text += "What the model leaves simple\n";
  for (const std::string& s : report.simplifications) {
    text += plots::wrapped(s, "  - ", "    ", page_width);
  }
  text += "\nCautions\n";
  for (const std::string& c : report.cautions)
    text += plots::wrapped(c, "  - ", "    ", page_width);
  return text;
}

}  // namespace restwell
