#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "sim/page.hpp"
#include "sim/spoken.hpp"
#include "sim/whatif_links.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

std::string shown(const Report& report, double value, Quantity q) {
  return spoken(value, q, report.units);
}

bool differ(double a, double b, double part) {
  return std::abs(b - a) > part * std::max(std::abs(a), std::abs(b));
}

// "Overflow comes sooner: most likely in May 2031 instead of in June 2036."
std::string moved_date(const Report& report, const std::string& what, const DaySpread& before,
                       const DaySpread& after) {
  const int sign = sooner(before, after);
  if (sign == 0) return "";
  const char* name = "most likely";
  int a = before.expected, b = after.expected;
  if (a == b) {
    const bool early = before.early != after.early;
    name = early ? "in the early case" : "in the late case";
    a = early ? before.early : before.late;
    b = early ? after.early : after.late;
  }
  if (a == b) return "";
  return fmt::format("{} comes {}: {} {}; as it is, {}.", what, sign > 0 ? "sooner" : "later", name,
                     when_words(report, b), when_words(report, a));
}

std::string busiest(const Report& report, const Weekdays& before, const Weekdays& after) {
  const double a = *std::ranges::max_element(before), b = *std::ranges::max_element(after);
  if (!differ(a, b, WorthTelling::busiest_day)) return "";
  return fmt::format("The week's busiest day brings {} instead of {}.",
                     shown(report, b, Quantity::volume), shown(report, a, Quantity::volume));
}

}  // namespace

std::string case_words(const Report& report, const CaseOutcome& a, const CaseOutcome& b) {
  std::vector<std::string> parts;
  const bool water = differ(a.flow_m3_per_day, b.flow_m3_per_day, WorthTelling::part);
  if (water)
    parts.push_back(fmt::format("{} instead of {}.",
                                sentence_case(shown(report, b.flow_m3_per_day, Quantity::flow)),
                                shown(report, a.flow_m3_per_day, Quantity::flow)));
  else
    parts.push_back(busiest(report, a.week_m3, b.week_m3));
  const int often = more_often(a.pump_interval_day, b.pump_interval_day);
  if (often != 0)
    parts.push_back(fmt::format("The tank fills to the mark in {} instead of {}.",
                                interval_words(b.pump_interval_day),
                                interval_words(a.pump_interval_day)));
  if (differ(a.bod_kg_per_day, b.bod_kg_per_day, WorthTelling::part) && a.bod_kg_per_day > 0.0)
    parts.push_back(fmt::format("The tank sends {:.0f} % {} of what feeds the slime.",
                                100.0 * std::abs(b.bod_kg_per_day / a.bod_kg_per_day - 1.0),
                                b.bod_kg_per_day > a.bod_kg_per_day ? "more" : "less"));
  std::string date = moved_date(report, "Overflow", a.overflow, b.overflow);
  if (date.empty()) date = moved_date(report, "The first full pit", a.first_full, b.first_full);
  parts.push_back(date.empty() ? "The dates hardly move." : date);
  std::string text;
  for (const std::string& part : parts)
    if (!part.empty()) text += (text.empty() ? "" : " ") + part;
  return text;
}

namespace {

std::string case_name(const PageStudy& s, std::size_t i) {
  return i == 0 ? "As it is" : sentence_case(s.cases.cases[i].asked.name);
}

PageTable compared(const PageStudy& s) {
  PageTable t{"The cases side by side",
              {"case", "water", "pump due every", "first pit full", "overflow"},
              {false, true, true, false, false},
              {},
              "Dates: most likely, and from the early to the late case. Pump due: from a pump-out "
              "to the mark. A household or box that changes does so on the first day."};
  for (std::size_t i = 0; i < s.cases.outcomes.size(); ++i) {
    const CaseOutcome& o = s.cases.outcomes[i];
    t.rows.push_back({case_name(s, i), show_text(o.flow_m3_per_day, Quantity::flow, s.report.units),
                      interval_words(o.pump_interval_day), range_short(s.report, o.first_full),
                      range_short(s.report, o.overflow)});
  }
  return t;
}

}  // namespace

PageSection page_what_changes_it(const PageStudy& s) {
  PageBlock b;
  b.id = "cases";
  b.paragraphs.push_back(
      "The same house and the same ground, run again with one thing changed at a time.");
  b.figure = cases_figure(s);
  const CaseOutcome& base = s.cases.outcomes.front();
  for (std::size_t i = 1; i < s.cases.outcomes.size(); ++i) {
    const std::string says = i <= s.chosen.size() ? s.chosen[i - 1].says + " " : std::string();
    b.items.push_back({case_name(s, i), says + case_words(s.report, base, s.cases.outcomes[i])});
  }
  b.table = compared(s);
  return {what_changes_it, "What would change it", {std::move(b)}};
}

}  // namespace restwell
