#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/answer.hpp"
#include "sim/page.hpp"
#include "sim/report_tables.hpp"
#include "sim/spoken.hpp"
#include "sim/whatif_links.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr int year_day = 365;

std::string shown(const PageStudy& s, double value, Quantity q) {
  return spoken(value, q, s.report.units);
}

// ---- what to do --------------------------------------------------------------------------------

struct Step {
  int day;
  std::string text;
};

double level_m(const RunResult& r, std::size_t k, std::size_t p, int day) {
  const auto& days = r.cases[k].days[p];
  return days[std::min(days.size() - 1, static_cast<std::size_t>(day))].highest_m;
}

// "east pit 6.0 ft (early case 8.1 ft) and west pit 5.5 ft": highest water of a day, in the first
// of the cases, and in the others where that is told apart.
std::string levels_words(const PageStudy& s, int day, const std::vector<std::size_t>& cases) {
  const RunResult& r = s.result;
  std::vector<std::string> levels;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const auto level = [&](std::size_t k) {
      return shown(s, level_m(r, k, p, day), Quantity::level);
    };
    std::string text = pit_label(r.scenario.pits[p]) + " " + level(cases.front());
    for (std::size_t i = 1; i < cases.size(); ++i)
      if (level(cases[i]) != level(cases.front()))
        text += fmt::format(" ({} case {})", r.cases[cases[i]].clog_case.name, level(cases[i]));
    levels.push_back(std::move(text));
  }
  return list_words(levels);
}

Step look_step(const PageStudy& s) {
  const int day = std::min(s.result.days() - 1, year_day);
  return {day,
          fmt::format("Have an inspector read sludge, scum and the water in the pits again. "
                      "Most likely the water stands at: {}. Put what was read into the file and "
                      "make this page anew: that sharpens every date.",
                      levels_words(s, day, {Cases::expected, Cases::early}))};
}

std::vector<Step> pumping_steps(const PageStudy& s) {
  const RunResult& r = s.result;
  const int due = pump_due_day(r);
  const int planned = r.pumped.empty() ? never : r.pumped.front();
  std::vector<Step> steps;
  const bool no_baffle = !r.scenario.tank.tank.outlet_baffle;
  const std::string baffle =
      no_baffle ? " Have the missing outlet baffle put back then: it keeps the scum in." : "";
  if (due != never && (planned == never || due <= planned)) {
    steps.push_back({due, "Have the tank pumped." + baffle});
  } else if (planned != never) {
    steps.push_back({planned, "Have the tank pumped, as the file plans." + baffle});
  } else if (no_baffle) {
    steps.push_back({0, "Have the missing outlet baffle of the tank put back."});
  }
  if (!steps.empty() && r.pump_interval_day != never)
    steps.back().text += fmt::format(" After that about every {:.1f} years, with as many people.",
                                     r.pump_interval_day / days_per_year);
  return steps;
}

// Well before the early case comes true there is time for a permit and a digger.
constexpr int ahead_day = 365;

void add_overflow_steps(const PageStudy& s, std::vector<Step>& steps) {
  const DaySpread d = overflow_spread(s.result);
  if (d == DaySpread{}) return;
  const int first = earlier_day(earlier_day(d.early, d.expected), d.late);
  if (d.expected == 0) {
    steps.push_back({0,
                     "By this calculation sewage is overflowing already. If you see or smell it, "
                     "keep everybody away, save all the water you can, and call the health "
                     "department today."});
  }
  const int day = std::max(0, first - ahead_day);
  if (d.expected == never) {
    steps.push_back(
        {day, fmt::format("Have the water in the pits read. If it stands near the early case's "
                          "height ({}), ask the health department and a licensed designer what may "
                          "be built: in that case the overflow comes {}.",
                          levels_words(s, day, {Cases::early}), when_words(s.report, first))});
    return;
  }
  steps.push_back(
      {day,
       fmt::format("Ask the health department and a licensed designer what may be built: a new "
                   "pit, a rest for the old ones, or both. The earliest overflow is {}.",
                   when_words(s.report, first))});
}

void add_house_steps(const PageStudy& s, std::vector<Step>& steps) {
  const RunResult& r = s.result;
  if (leak_worth_fixing(r.scenario)) {
    steps.push_back(
        {0, fmt::format("Have the leak fixed: {} run through it, day and night.",
                        shown(s, r.scenario.household.leak_m3_per_day, Quantity::flow))});
  } else {
    steps.push_back({0,
                     "Look for a running toilet: a drop of food coloring in its tank must not "
                     "show in the bowl within a quarter of an hour. Spread the laundry over the "
                     "week."});
  }
  double most = 0.0, least = 1.0;
  for (const double share : r.free_share) {
    most = std::max(most, share);
    least = std::min(least, share);
  }
  constexpr double uneven = 0.2;
  if (r.site.outlets.size() > 1 && r.scenario.plan.empty() && most - least > uneven)
    steps.push_back({0, fmt::format("Ask whether the box should be leveled: one outlet gets {:.0f} "
                                    "% of the water, another {:.0f} %.",
                                    100.0 * most, 100.0 * least)});
}

}  // namespace

PageSection page_what_to_do(const PageStudy& s) {
  std::vector<Step> steps;
  add_overflow_steps(s, steps);
  for (Step& step : pumping_steps(s)) steps.push_back(std::move(step));
  add_house_steps(s, steps);
  for (const PlannedWork& work : s.result.scenario.plan) {
    const int day = std::max(0, days_between(s.report.start, work.date));
    steps.push_back({day, sentence_case(work_words(s.result.scenario, work)) + ", as planned."});
  }
  steps.push_back(look_step(s));
  std::ranges::stable_sort(steps, {}, &Step::day);
  PageBlock b;
  b.id = "steps";
  for (const Step& step : steps) {
    b.items.push_back(
        {step.day == 0 ? "Now" : sentence_case(when_short(s.report, step.day)), step.text});
  }
  return {"what-to-do", "What to do next", {std::move(b)}};
}

namespace {

// "soil.water_table: only 1 ft ..." without the field, which is for whoever edits the file.
std::string plain_note(const std::string& note) {
  const std::size_t colon = note.find(": ");
  const bool field = colon != std::string::npos && note.find(' ') > colon &&
                     note.substr(0, colon).find('.') != std::string::npos;
  return sentence_case(field ? note.substr(colon + 2) : note);
}

}  // namespace

PageSection page_how_sure(const PageStudy& s) {
  const Scenario& scenario = s.result.scenario;
  PageBlock b;
  b.id = "sure";
  b.items = {
      {"Clogging",
       "How fast a wall clogs and how well it recovers is known only roughly, so every date that "
       "hangs on it stands three times: early, most likely, late."},
      {"Ground",
       "Taken as tested. A percolation test is rough: on the systems tried, ground twice or half "
       "as "
       "fast moved dates nearly as much as the clogging did. A second test is worth its price."},
      {"People",
       fmt::format("{}. Water by national averages for so many people{}. Other habits move the "
                   "result: a water meter beats any guess.",
                   mode_words(scenario).starts_with("steady")
                       ? "A typical week, the same again and again"
                       : "Days made by chance",
                   ", unless the file gives the meter's reading")},
      {"Order", "Which change helps more is surer than any date."}};
  for (const std::string& note : s.report.notes) b.items.push_back({"Note", plain_note(note)});
  for (const std::string& note : s.cases.notes)
    if (std::ranges::find(s.report.notes, note) == s.report.notes.end())
      b.items.push_back({"Note", plain_note(note)});
  b.after.push_back(
      "All that is assumed stands by name and value in the second part of this page.");
  return {"how-sure", "What is assumed, and how sure it is", {std::move(b)}};
}

PageSection page_cautions(const PageStudy& s) {
  PageBlock b;
  b.id = "cautions-list";
  for (const std::string& caution : s.report.cautions) b.paragraphs.push_back(caution);
  return {"cautions", "Cautions", {std::move(b)}};
}

PageTable page_table(const Report& report, const ReportTable& table) {
  PageTable t;
  t.caption = table.title;
  t.note = table.note;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    t.headings.push_back(table.columns[c].heading);
    t.numbers.push_back(
        !table.rows.empty() && std::ranges::all_of(table.rows, [&](const auto& row) {
          return is_number(row[c]) || std::holds_alternative<std::monostate>(row[c]);
        }));
  }
  for (const auto& row : table.rows) {
    std::vector<std::string> cells;
    for (const Cell& cell : row) cells.push_back(cell_text(report, cell));
    t.rows.push_back(std::move(cells));
  }
  return t;
}

std::vector<PageSection> page_for_professionals(const PageStudy& s) {
  const auto section = [&](const char* id, const char* heading,
                           const std::vector<ReportTable>& tables) {
    PageSection part{id, heading, {}};
    for (const ReportTable& table : tables) {
      if (table.rows.empty()) continue;
      PageBlock b;
      b.id = "table-" + table.key;
      b.table = page_table(s.report, table);
      part.blocks.push_back(std::move(b));
    }
    return part;
  };
  PageSection answer{"answer", "The answer as the command run gives it", {}};
  PageBlock lines;
  lines.id = "answer-lines";
  for (const AnswerLine& line : s.report.answer) lines.items.push_back({line.topic, line.text});
  answer.blocks.push_back(std::move(lines));
  PageSection checks{"checks", "Checks and limits", {}};
  PageBlock b;
  b.id = "checks-list";
  b.paragraphs.push_back(
      fmt::format("Balances of water and solids, in less out less change held, relative to the "
                  "largest entry, all cases: {:.0e} at most.",
                  worst_balance_error(s.result)));
  for (const std::string& text : s.report.simplifications) b.paragraphs.push_back(text);
  checks.blocks.push_back(std::move(b));
  std::vector<PageSection> sections = {std::move(answer),
                                       section("tables", "Tables", s.report.tables),
                                       section("assumed", "What is assumed", s.report.assumptions)};
  sections.push_back(std::move(checks));
  return sections;
}

}  // namespace restwell
