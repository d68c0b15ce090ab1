#include <fmt/core.h>

#include <algorithm>

#include "plots/span_chart.hpp"
#include "sim/answer.hpp"
#include "sim/page_picture.hpp"
#include "sim/words.hpp"

namespace restwell {

namespace {

const char* const span_key =
    "Bar: from the early to the late case. Diamond: most likely. Arrow: later than these years. "
    "Dot: a single date.";

plots::SpanRow span_row(const PageStudy& s, const std::string& label, const DaySpread& spread) {
  const RunResult& r = s.result;
  return {label,
          range_short(s.report, spread),
          shown_day(r, spread.early),
          shown_day(r, spread.expected),
          shown_day(r, spread.late),
          {}};
}

PageTable spread_table(std::string caption, std::string first) {
  return {std::move(caption),
          {std::move(first), "early case", "most likely", "late case"},
          {false, false, false, false},
          {},
          ""};
}

std::vector<std::string> spread_cells(const PageStudy& s, const std::string& what,
                                      const DaySpread& d) {
  return {what, when_short(s.report, d.early), when_short(s.report, d.expected),
          when_short(s.report, d.late)};
}

}  // namespace

PageFigure dates_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  plots::SpanChart chart;
  chart.words = {
      "dates", "What comes when",
      "A bar for each pit and the overflow, early to late; the table below has the dates."};
  chart.x_low = seconds_of_day(r, 0);
  chart.x_high = seconds_of_day(r, r.days());
  chart.key = span_key;
  PageTable data = spread_table("The same dates", "what");
  const int due = pump_due_day(r);
  if (due != never) {
    chart.rows.push_back(
        {"Tank due for pumping", when_short(s.report, due), {}, {}, {}, {seconds_of_day(r, due)}});
    data.rows.push_back(spread_cells(s, "tank due for pumping", {due, due, due}));
  }
  if (!r.pumped.empty()) {
    plots::SpanRow row{"Pump-outs in the file", "", {}, {}, {}, {}};
    std::vector<std::string> dates;
    for (const int day : r.pumped) {
      row.days.push_back(seconds_of_day(r, day));
      dates.push_back(month_and_year(date_of(r.scenario.start, day)));
    }
    row.words = dates.size() == 1
                    ? dates.front()
                    : fmt::format("{} of them, the first in {}", dates.size(), dates.front());
    chart.rows.push_back(std::move(row));
    data.note = "Pump-outs in the file: " + list_words(dates) + ".";
  }
  const auto add = [&](const std::string& what, const DaySpread& spread) {
    chart.rows.push_back(span_row(s, what, spread));
    data.rows.push_back(spread_cells(s, what, spread));
  };
  for (std::size_t p = 0; p < r.site.pits.size(); ++p)
    add(sentence_case(pit_label(r.scenario.pits[p])) + " full to its inlet", pit_full_spread(r, p));
  add("Overflow", overflow_spread(r));
  PageFigure f = drawn(
      chart, [](const plots::SpanChart& c, double w) { return plots::span_chart(c, w); }, "");
  f.data = std::move(data);
  return f;
}

PageFigure cases_figure(const PageStudy& s) {
  const RunResult& r = s.result;
  const bool overflows = std::ranges::any_of(
      s.cases.outcomes, [](const CaseOutcome& o) { return o.overflow != DaySpread{}; });
  plots::SpanChart chart;
  chart.words = {"cases",
                 overflows ? "When the system overflows, case by case"
                           : "When the first pit is full, case by case",
                 "A bar for each case from the early to the late date; the table below has them."};
  chart.x_low = seconds_of_day(r, 0);
  chart.x_high = seconds_of_day(r, r.days());
  chart.key = span_key;
  for (std::size_t i = 0; i < s.cases.outcomes.size(); ++i) {
    const CaseOutcome& o = s.cases.outcomes[i];
    chart.rows.push_back(
        span_row(s, i == 0 ? std::string("As it is") : sentence_case(s.cases.cases[i].asked.name),
                 overflows ? o.overflow : o.first_full));
  }
  PageFigure f = drawn(
      chart, [](const plots::SpanChart& c, double w) { return plots::span_chart(c, w); },
      overflows ? "When sewage first leaves other than into the ground."
                : "No case overflows in these years: when the first pit is full to its inlet.");
  return f;
}

}  // namespace restwell
