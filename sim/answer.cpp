#include "sim/answer.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "models/constants.hpp"
#include "sim/report_tables.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

struct Range {
  int expected, early, late;
};

template <typename Get>
Range range_of(const RunResult& r, Get get) {
  return {get(r.futures[Futures::expected]), get(r.futures[Futures::early]),
          get(r.futures[Futures::late])};
}

// "expected March 2031 (4.9 years); early ..., late ...".
std::string range_words(const Report& report, const Range& x) {
  const std::string expected = day_words(report, x.expected);
  const std::string early = day_words(report, x.early);
  const std::string late = day_words(report, x.late);
  if (expected == early && expected == late) return expected;
  return fmt::format("expected {} (early: {}; late: {})", expected, early, late);
}

std::string criterion_reached(const RunResult& r, Criterion c) {
  const PumpOutLimits& l = r.scenario.tank.limits;
  const auto small = [&](double m) {
    return show_text(m, Quantity::small_length, r.scenario.units);
  };
  switch (c) {
    case Criterion::solids:
      return fmt::format("sludge and scum then fill {:.0f} % of the liquid depth",
                         100.0 * l.solids_share_of_depth);
    case Criterion::sludge_clearance:
      return fmt::format("sludge then stands within {} of the outlet's mouth",
                         small(l.sludge_clearance_m));
    case Criterion::scum_clearance:
      return fmt::format("scum then hangs within {} of the outlet's mouth",
                         small(l.scum_clearance_m));
    case Criterion::retention:
      return fmt::format("the water then stays less than {:.0f} hours in the tank",
                         24.0 * l.retention_day);
  }
  return "";
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
    text = fmt::format("due now: {}.", criterion_reached(r, first->criterion));
    const auto now = text.find("then ");
    if (now != std::string::npos) text.erase(now, 5);
  } else {
    text = fmt::format("by {}: {}.", day_words(report, first->met.front()),
                       criterion_reached(r, first->criterion));
  }
  if (!r.pumped.empty()) {
    text += fmt::format(" Pumped in this run: {} {}, first in {}.", r.pumped.size(),
                        r.pumped.size() == 1 ? "time" : "times",
                        month_and_year(date_of(report.start, r.pumped.front())));
  } else if (r.scenario.tank.pump_out.kind == PumpOutPolicy::Kind::never) {
    text += " In this run it is never pumped.";
  }
  return {"Pump-out", text};
}

std::string then_words(const RunResult& r, std::size_t p) {
  const PitLayout& pit = r.site.pits[p];
  if (pit.over_brim == Destination::next_pit) {
    return fmt::format("then it spills into the {}", pit_label(r.scenario.pits[pit.next_pit].name));
  }
  if (pit.over_brim == Destination::house) return "then it backs up to the house";
  if (pit.backs_up_to_box) {
    return r.site.outlets.size() > 1
               ? "then it backs up to the box, and the other outlets get what it cannot take"
               : "then it backs up to the box";
  }
  return "then it comes to the surface there";
}

AnswerLine pit_line(const RunResult& r, const Report& report, std::size_t p) {
  const Range full = range_of(r, [p](const FutureRun& f) { return f.pits[p].first_full; });
  const std::string topic = sentence_case(pit_label(r.scenario.pits[p].name));
  if (full.expected == never && full.early == never && full.late == never) {
    double highest = 0.0;
    for (const PitDay& d : r.futures[Futures::expected].days[p]) {
      highest = std::max(highest, d.highest_m);
    }
    return {
        topic,
        fmt::format("not full within the {:.0f} years looked at, under any of the three "
                    "clogging sets; water rises to {} of {}.",
                    report.days / days_per_year, show_text(highest, Quantity::level, report.units),
                    show_text(r.site.pits[p].pit.geometry.depth_m, Quantity::level, report.units))};
  }
  return {topic, fmt::format("full {}; {}.", range_words(report, full), then_words(r, p))};
}

AnswerLine overflow_line(const RunResult& r, const Report& report) {
  const Range leaves = range_of(r, [](const FutureRun& f) { return f.first_leaves; });
  if (leaves.expected == never && leaves.early == never && leaves.late == never) {
    return {"Overflow",
            fmt::format("none within the {:.0f} years looked at, under any of the three "
                        "clogging sets.",
                        report.days / days_per_year)};
  }
  std::string place;
  for (const std::size_t f : {Futures::expected, Futures::early, Futures::late}) {
    if (place.empty()) place = r.futures[f].leaves_at;
  }
  return {"Overflow", fmt::format("{}, at {}.", range_words(report, leaves), place)};
}

AnswerLine box_line(const RunResult& r) {
  if (!r.site.box_present) return {"Box", "none: one pipe takes all of the flow."};
  std::vector<std::string> parts;
  const auto percent = [](double share) { return fmt::format("{:.0f} %", 100.0 * share); };
  for (std::size_t i = 0; i < r.site.outlets.size(); ++i) {
    parts.push_back(fmt::format("{} {}", pit_label(r.scenario.pits[r.site.outlet_pit[i]].name),
                                percent(r.free_share[i])));
  }
  std::string text = list_words(parts) + " of the water.";
  if (r.site.outlets.size() > 1) {
    const std::size_t most = static_cast<std::size_t>(
        std::max_element(r.free_share.begin(), r.free_share.end()) - r.free_share.begin());
    constexpr double eighth_inch_m = 0.003175;
    const std::vector<double> moved = shares_with_lift(r, most, eighth_inch_m);
    text +=
        fmt::format(" With the {}'s outlet an eighth of an inch higher it would get {}.",
                    pit_label(r.scenario.pits[r.site.outlet_pit[most]].name), percent(moved[most]));
  }
  return {"Box", text};
}

// Which unknown moves the date most, and the date it is judged by.
AnswerLine spread_line(const RunResult& r) {
  const auto judged = [&](const FutureRun& f) {
    int first = f.first_leaves;
    if (r.futures[Futures::expected].first_leaves != never)
      return first == never ? r.days() : first;
    int full = never;
    for (const PitMilestones& p : f.pits) {
      if (p.first_full != never && (full == never || p.first_full < full)) full = p.first_full;
    }
    return full == never ? r.days() : full;
  };
  std::size_t driver = 0;
  int widest = 0;
  for (std::size_t f = Futures::first_partial; f + 1 < r.futures.size(); f += 2) {
    const int span = std::abs(judged(r.futures[f + 1]) - judged(r.futures[f]));
    if (span > widest) {
      widest = span;
      driver = f;
    }
  }
  const std::string what = r.futures[Futures::expected].first_leaves != never
                               ? "overflow date"
                               : "date of the first full pit";
  if (driver == 0) {
    return {"How sure", fmt::format("the {} does not hang on the clogging sets here.", what)};
  }
  const auto end = [&](std::size_t f) {
    const int day = judged(r.futures[f]);
    return day == r.days() ? std::string("beyond the years looked at")
                           : fmt::format("{:.1f} years", day / days_per_year);
  };
  return {"How sure",
          fmt::format("early and late are the ends of what is known of clogging, so a date is a "
                      "range; the order of choices is firmer than any date. What drives the range "
                      "most is {}: alone it takes the {} from {} to {}.",
                      r.futures[driver].future.name, what, end(driver), end(driver + 1))};
}

}  // namespace

std::vector<AnswerLine> answer_lines(const RunResult& r, const Report& report) {
  std::vector<AnswerLine> lines;
  lines.push_back(overflow_line(r, report));
  lines.push_back(pump_line(r, report));
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) lines.push_back(pit_line(r, report, p));
  lines.push_back(box_line(r));
  lines.push_back(spread_line(r));
  return lines;
}

}  // namespace restwell
