#include "sim/answer.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "models/constants.hpp"
#include "sim/old_pits_plan.hpp"
#include "sim/report_tables.hpp"
#include "sim/start_state.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

struct Range {
  int expected, early, late;
};

template <typename Get>
Range range_of(const RunResult& r, Get get) {
  return {get(r.cases[Cases::expected]), get(r.cases[Cases::early]), get(r.cases[Cases::late])};
}

// "expected May 2036 (10.0 years), at the box lid; early case December 2026 (0.6 years), late case
// not within 20 years". If nothing is expected: "not expected to overflow within 20 years; early
// case ...". Without a spread the date alone.
std::string range_words(const Report& report, const Range& x, const std::string& what,
                        const std::string& place) {
  const std::string early = day_words(report, x.early);
  const std::string late = day_words(report, x.late);
  if (x.expected == never) {
    return fmt::format("not expected to {} within {}; early case {}{}", what,
                       years_words(report.days), early, place);
  }
  const std::string expected = day_words(report, x.expected) + place;
  // Days of one month are said once.
  if (early == late && day_words(report, x.expected) == early) return expected;
  return fmt::format("expected {}; early case {}, late case {}", expected, early, late);
}

AnswerLine pump_line(const RunResult& r, const Report& report) {
  const CriterionDates* first = nullptr;
  for (const CriterionDates& c : r.criteria) {
    if (c.met.empty()) continue;
    if (first == nullptr || c.met.front() < first->met.front()) first = &c;
  }
  std::string text;
  if (first == nullptr) {
    text = fmt::format("no criterion asks for it {}.",
                       r.pumped.empty() ? "within the years looked at"
                                        : "as long as the tank is pumped as planned");
  } else if (first->met.front() == 0) {
    text = first->criterion == Criterion::solids
               ? fmt::format(
                     "due now: sludge and scum fill {:.0f} % of the liquid depth, the mark is "
                     "{:.0f} %.",
                     100.0 * r.tank.front().readings.solids_share_of_depth,
                     100.0 * r.scenario.tank.limits.solids_share_of_depth)
               : fmt::format("due now: {}.", criterion_reached(r.scenario, first->criterion));
  } else {
    text = fmt::format("by {}: {}.", day_words(report, first->met.front()),
                       criterion_reached(r.scenario, first->criterion));
  }
  if (const int sooner = due_if_scum_stays(r); sooner != never) {
    text += fmt::format(" If the scum stays as thick as it is now, by {}; the model lets it thin.",
                        day_words(report, sooner));
  }
  if (r.pump_interval_day != never) {
    text += fmt::format(" At today's use about every {:.1f} years.",
                        r.pump_interval_day / days_per_year);
  }
  if (r.pumped.empty()) return {"Pump-out", text + " In this run it is never pumped."};
  text += fmt::format(" The plan in the file pumps {} {}, first in {}", r.pumped.size(),
                      r.pumped.size() == 1 ? "time" : "times",
                      month_and_year(date_of(report.start, r.pumped.front())));
  const int wait = first == nullptr ? 0 : r.pumped.front() - first->met.front();
  constexpr int worth_saying_day = 60;
  text += wait > worth_saying_day ? fmt::format(": {:.1f} years too late.", wait / days_per_year)
                                  : std::string(".");
  return {"Pump-out", text};
}

std::string then_words(const RunResult& r, std::size_t p) {
  const PitLayout& pit = r.site.pits[p];
  if (pit.over_brim == Destination::next_pit) {
    return fmt::format("it spills into the {}", pit_label(r.scenario.pits[pit.next_pit]));
  }
  if (pit.over_brim == Destination::house) return "it backs up into the house";
  return ever_backs_up_to_box(r.phases, p) ? "it backs up into the box"
                                           : "it comes to the surface there";
}

}  // namespace

AnswerLine pit_line(const RunResult& r, const Report& report, std::size_t p) {
  const Range full = range_of(r, [p](const CaseRun& f) { return f.pits[p].first_full; });
  const std::string topic = sentence_case(pit_label(r.scenario.pits[p]));
  if (full.expected == never && full.early == never && full.late == never) {
    double highest = 0.0;
    for (const PitDay& d : r.cases[Cases::expected].days[p]) {
      highest = std::max(highest, d.highest_m);
    }
    return {
        topic,
        fmt::format("not full within the {} looked at, under any of the three "
                    "cases; water rises to {} of {}.",
                    years_words(report.days), show_text(highest, Quantity::level, report.units),
                    show_text(r.site.pits[p].pit.geometry.depth_m, Quantity::level, report.units))};
  }
  return {topic, fmt::format("{}{}. Then {}.", full.expected == never ? "" : "full: ",
                             range_words(report, full, "be full", ""), then_words(r, p))};
}

namespace {

AnswerLine overflow_line(const RunResult& r, const Report& report) {
  const Range leaves = range_of(r, [](const CaseRun& f) { return f.first_leaves; });
  if (leaves.expected == never && leaves.early == never && leaves.late == never) {
    return {"Overflow", fmt::format("none within the {} looked at, under any of the three "
                                    "cases.",
                                    years_words(report.days))};
  }
  std::string place;
  for (const std::size_t f : {Cases::expected, Cases::early, Cases::late}) {
    if (place.empty()) place = r.cases[f].leaves_at;
  }
  std::string text = sentence_case(range_words(report, leaves, "overflow", ", " + place)) + ".";
  const int no_reserve = r.cases[Cases::expected].first_no_reserve;
  if (no_reserve != never && no_reserve != leaves.expected) {
    text += fmt::format(
        " No reserve from {}: every pit has stood over its inlet then; many inspectors call that "
        "failed.",
        no_reserve == 0 ? "the start" : day_words(report, no_reserve));
  }
  return {"Overflow", text};
}

std::string shares_words(const SiteLayout& site, const Scenario& scenario,
                         const std::vector<double>& share) {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < site.outlets.size(); ++i) {
    parts.push_back(
        fmt::format("{} {:.0f} %", pit_label(scenario.pits[site.outlet_pit[i]]), 100.0 * share[i]));
  }
  return list_words(parts);
}

// How a drain field beside old pits is made to get the water first, and what the plan does to the
// shares.
std::string field_first_words(const RunResult& r) {
  std::vector<std::size_t> first;
  std::vector<std::string> fields, others;
  for (std::size_t i = 0; i < r.site.outlets.size(); ++i) {
    const PitConfig& pit = r.scenario.pits[r.site.outlet_pit[i]];
    if (pit.geometry.trench) {
      first.push_back(r.site.outlet_config[i]);
      fields.push_back("the " + pit_label(pit));
    } else {
      others.push_back(r.scenario.box.outlets[r.site.outlet_config[i]].name);
    }
  }
  if (fields.empty() || others.empty()) return "";
  const LevelerSetting setting = find_leveler_setting(r.scenario, first, r.week);
  const std::string outlets = (others.size() == 1 ? "outlet " : "outlets ") + list_words(others);
  std::string text;
  if (setting.capped) {
    text = fmt::format(" No leveler below the lid sends {} {:.0f} %: cap {} for that.",
                       list_words(fields), 100.0 * first_share, outlets);
  } else if (setting.lift_m > 0.0) {
    text = fmt::format(" With {} {} higher {} would get the water first, {:.0f} % of it.", outlets,
                       lift_words(setting.lift_m, r.scenario.units), list_words(fields),
                       100.0 * setting.new_share);
  } else {
    text = fmt::format(" {} {} the water first.", sentence_case(list_words(fields)),
                       fields.size() == 1 ? "gets" : "get");
  }
  if (r.phases.size() > 1) {
    const Phase& last = r.phases.back();
    if (!last.hauled && last.site.outlets.size() > 1)
      text += fmt::format(" Once the plan is carried out: {}.",
                          shares_words(last.site, r.scenario, free_shares(r.week, last.site)));
  }
  return text;
}

AnswerLine box_line(const RunResult& r) {
  if (!r.site.box_present) return {"Box", "none: one pipe takes all of the flow."};
  const auto percent = [](double share) { return fmt::format("{:.0f} %", 100.0 * share); };
  std::string text = shares_words(r.site, r.scenario, r.free_share) + " of the water.";
  if (r.site.outlets.size() > 1) {
    const std::size_t most = static_cast<std::size_t>(
        std::max_element(r.free_share.begin(), r.free_share.end()) - r.free_share.begin());
    const std::vector<double> moved = shares_with_lift(r, most, eighth_inch_m);
    text += fmt::format(" With the {}'s outlet {} higher it would get {}.",
                        pit_label(r.scenario.pits[r.site.outlet_pit[most]]),
                        r.scenario.units == UnitSystem::us ? "an eighth of an inch" : "3.2 mm",
                        percent(moved[most]));
  }
  const CaseRun& expected = r.cases[Cases::expected];
  double all = 0.0;
  for (const auto& by_year : expected.outlet_m3_by_year) all += by_year.front();
  for (std::size_t i = 0; i < r.site.outlets.size() && all > 0.0; ++i) {
    const double first_year = expected.outlet_m3_by_year[r.site.outlet_config[i]].front() / all;
    constexpr double worth_saying = 0.05;
    if (std::abs(first_year - r.free_share[i]) < worth_saying) continue;
    text += fmt::format(
        " {} it is {} for the {} in the first year.",
        r.phases.size() > 1 ? "Under the plan, backing up included," : "With full pits backing up",
        percent(first_year), pit_label(r.scenario.pits[r.site.outlet_pit[i]]));
    break;
  }
  return {"Box", text + field_first_words(r)};
}

// Which unknown moves the date most, and the date it is judged by.
AnswerLine spread_line(const RunResult& r, const Report& report) {
  const bool overflows = std::any_of(r.cases.begin(), r.cases.begin() + Cases::first_partial,
                                     [](const CaseRun& f) { return f.first_leaves != never; });
  const auto judged = [&](const CaseRun& f) {
    const int first = overflows ? f.first_leaves : earlier_day(f.first_leaves, first_pit_full(f));
    return first == never ? r.days() : first;
  };
  std::size_t driver = 0;
  int widest = 0;
  for (std::size_t f = Cases::first_partial; f + 1 < r.cases.size(); f += 2) {
    const int span = std::abs(judged(r.cases[f + 1]) - judged(r.cases[f]));
    if (span > widest) {
      widest = span;
      driver = f;
    }
  }
  const std::string what = overflows ? "overflow date" : "date of the first full pit";
  const auto end = [&](std::size_t f) {
    const int day = judged(r.cases[f]);
    return day == r.days() ? "beyond " + years_words(r.days()) : day_words(report, day);
  };
  if (judged(r.cases[Cases::early]) == judged(r.cases[Cases::late])) {
    return {"How sure", fmt::format("all three cases of clogging agree on the {}: {}.", what,
                                    end(Cases::expected))};
  }
  std::string text =
      "nobody can measure how fast a wall clogs, so each date has an early and a late case. ";
  text +=
      driver == 0
          ? fmt::format("It takes two unknowns together, {} and {}, to bring the {} to {}.",
                        r.cases[Cases::first_partial].clog_case.name,
                        r.cases[Cases::first_partial + 2].clog_case.name, what, end(Cases::early))
          : fmt::format(
                "Of the two unknowns, {} matters more: alone it moves the {} between {} and {}.",
                r.cases[driver].clog_case.name, what, end(driver), end(driver + 1));
  text +=
      " The soil is taken as given; on the systems tried half or twice its conductivity moved "
      "dates "
      "nearly as much, so a second percolation test is worth its trouble.";
  return {"How sure", text};
}

}  // namespace

std::string criterion_reached(const Scenario& scenario, Criterion c) {
  const PumpOutLimits& l = scenario.tank.limits;
  const auto small = [&](double m) { return show_text(m, Quantity::small_length, scenario.units); };
  switch (c) {
    case Criterion::solids:
      return fmt::format("sludge and scum fill {:.0f} % of the liquid depth",
                         100.0 * l.solids_share_of_depth);
    case Criterion::sludge_clearance:
      return fmt::format("sludge stands within {} of the outlet's mouth",
                         small(l.sludge_clearance_m));
    case Criterion::scum_clearance:
      return fmt::format("scum hangs within {} of the outlet's mouth", small(l.scum_clearance_m));
    case Criterion::retention:
      return fmt::format("the water stays less than {:.0f} hours in the tank",
                         24.0 * l.retention_day);
  }
  return "";
}

std::vector<AnswerLine> answer_lines(const RunResult& r, const Report& report) {
  std::vector<AnswerLine> lines;
  lines.push_back(overflow_line(r, report));
  lines.push_back(pump_line(r, report));
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) lines.push_back(pit_line(r, report, p));
  if (r.scenario.soil.water_table) {
    if (const auto line = water_table_line(r)) lines.push_back(*line);
  }
  if (const auto line = perched_line(r)) lines.push_back(*line);
  lines.push_back(box_line(r));
  lines.push_back(spread_line(r, report));
  return lines;
}

int pump_due_day(const RunResult& r) {
  int due = never;
  for (const CriterionDates& c : r.criteria)
    if (!c.met.empty()) due = earlier_day(due, c.met.front());
  return due;
}

int due_if_scum_stays(const RunResult& r) {
  constexpr int worth_saying_day = 30;
  const int due = pump_due_day(r), until = r.pumped.empty() ? r.days() : r.pumped.front();
  const Layers& start = r.tank.front().layers;
  const double mark_m =
      r.scenario.tank.limits.solids_share_of_depth * r.scenario.tank.tank.liquid_depth_m;
  for (int day = 0; day < until && (due == never || day + worth_saying_day <= due); ++day) {
    const Layers& now = r.tank[static_cast<std::size_t>(day)].layers;
    if (now.sludge_first_m + std::max(now.scum_first_m, start.scum_first_m) >= mark_m ||
        now.sludge_outlet_m + std::max(now.scum_outlet_m, start.scum_outlet_m) >= mark_m)
      return day;
  }
  return never;
}

}  // namespace restwell
