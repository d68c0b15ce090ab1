#include "sim/rest_report.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "sim/report_tables.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

const RestPoint& best_point(const RestCurve& curve) {
  return *std::ranges::max_element(
      curve.points, {}, [](const RestPoint& p) { return never_as_longest(p.lasts_day); });
}

// Why even the longest rest does not buy the service.
std::string why_words(const RestResult& r, const RestCurve& curve) {
  const RestPoint& last = curve.points.back();
  const RestPoint& clean = curve.never_clogged;
  const double household = r.week.mean_flow_m3_per_day;
  const std::string kind = pit_kind(r.scenario.pits[r.question.pit]);
  const std::string gets =
      fmt::format("after {} it takes {}, {:.0f} % of what a clean wall would",
                  years_words(last.rest_day), flow_words(r, last.takes_m3_per_day),
                  100.0 * last.takes_m3_per_day / std::max(1e-12, clean.takes_m3_per_day));
  if (clean.lasts_day != never && clean.lasts_day < r.question.service_day) {
    return clean.takes_m3_per_day < household
               ? fmt::format(
                     "too little soil: even a new, clean {} of this size takes {} at its inlet, "
                     "the household sends {}",
                     kind, flow_words(r, clean.takes_m3_per_day), flow_words(r, household))
               : fmt::format(
                     "too much flow for its wall: even a new, clean {} in its place would be full "
                     "after {}{}",
                     kind, lasting_words(lasting(r, clean)),
                     r.scenario.pits.size() > 1 ? ", with the other pits as they are by then" : "");
  }
  constexpr double mostly = 0.5;
  if (last.residual_share > mostly) {
    return fmt::format("{}; {:.0f} % of the resistance left is clogging that never decays", gets,
                       100.0 * last.residual_share);
  }
  return gets + ", and that still grows: its clogging decays slowly";
}

AnswerLine rest_line(const RestResult& r) {
  const RestCurve& expected = r.curves[Cases::expected];
  const std::string pit = pit_words(r, r.question.pit);
  std::string text;
  if (expected.shortest && expected.shortest->rest_day == 0) {
    text =
        fmt::format("none is needed for {} of service: as it is the {} lasts {} until it is full.",
                    service_words(r), pit, lasting_words(lasting(r, *expected.shortest)));
  } else if (expected.shortest) {
    text = fmt::format(
        "{} days expected (early case {}, late case {}), to {}: then the {} lasts {} until it is "
        "full again, {} were asked for.",
        expected.shortest->rest_day, shortest_words(r, r.curves[Cases::early]),
        shortest_words(r, r.curves[Cases::late]),
        iso_date(r.question.from + std::chrono::days(expected.shortest->rest_day)), pit,
        lasting_words(lasting(r, *expected.shortest)), service_words(r));
    const RestCurve& early = r.curves[Cases::early];
    if (!early.shortest) {
      text += fmt::format(" Early case: no rest of up to {} does ({}).",
                          years_words(r.question.longest_rest_day), why_words(r, early));
    }
    return {"Rest", text};
  } else {
    const RestPoint& best = best_point(expected);
    text = fmt::format(
        "no rest of up to {} buys {} of service. The best of those tried, {} days, "
        "lasts {}. Why: {}.",
        years_words(r.question.longest_rest_day), service_words(r), best.rest_day,
        lasting_words(lasting(r, best)), why_words(r, expected));
    text += " What a new pit would do: restwell size.";
  }
  for (const std::size_t k : {Cases::early, Cases::late}) {
    const RestCurve& c = r.curves[k];
    text += " " + sentence_case(c.clog_case.name) + " case: ";
    if (!c.shortest) {
      text += fmt::format("no rest of up to {} does ({}).",
                          years_words(r.question.longest_rest_day), why_words(r, c));
    } else {
      text += c.shortest->rest_day == 0 ? "none is needed." : shortest_words(r, c) + ".";
    }
  }
  return {"Rest", text};
}

AnswerLine gain_line(const RestResult& r) {
  const RestCurve& c = r.curves[Cases::expected];
  std::string text =
      fmt::format("with water at its inlet the {} takes {} on {}", pit_words(r, r.question.pit),
                  flow_words(r, c.points.front().takes_m3_per_day), iso_date(r.question.from));
  std::vector<const RestPoint*> said;
  if (c.shortest && c.shortest->rest_day > 0) said.push_back(&*c.shortest);
  for (const RestPoint& p : c.points) {
    if (p.rest_day == 180 || p.rest_day == 365) said.push_back(&p);
  }
  std::ranges::sort(said, {}, &RestPoint::rest_day);
  for (const RestPoint* p : said) {
    text += fmt::format(
        ", {} after {}", flow_words(r, p->takes_m3_per_day),
        p->rest_day == 365 ? std::string("a year") : fmt::format("{} days", p->rest_day));
  }
  text +=
      fmt::format("; a clean one would take {}.", flow_words(r, c.never_clogged.takes_m3_per_day));
  const double dry_m = 0.05;
  for (std::size_t d = 0; d < c.level_m.size(); ++d) {
    if (c.level_m[d] > dry_m) continue;
    if (d > 0) {
      text += fmt::format(
          " It drains first: empty after {} days, and only the wall that stands clear of water "
          "recovers well.",
          d + 1);
    }
    break;
  }
  return {"Gain", text};
}

// "at once", "after 12 days", "after 3.4 years".
std::string after_words(int day) {
  return day == 0 ? "at once" : "after " + lasting_words({day, day});
}

AnswerLine meanwhile_line(const RestResult& r) {
  const RestCurve& c = r.curves[Cases::expected];
  const RestQuestion& q = r.question;
  const Meanwhile& m = c.meanwhile;
  const int days = told_rest_day(r, c);
  const std::string rest = lasting_words({days, days});
  if (q.flow_to.kind == WhileResting::Kind::haul) {
    return {"Meanwhile",
            fmt::format("all of it is hauled away: {} on average, {} in {}. No pit gets water.",
                        flow_words(r, m.outflow_m3[static_cast<std::size_t>(days - 1)] / days),
                        show_text(m.outflow_m3[static_cast<std::size_t>(days - 1)],
                                  Quantity::volume, r.scenario.units),
                        rest)};
  }
  std::vector<std::string> parts;
  for (std::size_t p = 0; p < r.scenario.pits.size(); ++p) {
    if (p == q.pit || m.highest_m[p].empty()) continue;
    const double highest = m.highest_m[p][static_cast<std::size_t>(days - 1)];
    if (highest <= 0.0) continue;
    const int full = m.first_full[p];
    if (full == never || full >= days) {
      parts.push_back(fmt::format(
          "the {} rises to {} of {}, not full, in {} of rest", pit_words(r, p),
          show_text(highest, Quantity::level, r.scenario.units),
          show_text(r.scenario.pits[p].geometry.depth_m, Quantity::level, r.scenario.units), rest));
    } else {
      parts.push_back(fmt::format("the {} is full {}", pit_words(r, p), after_words(full)));
    }
  }
  std::string text = parts.empty() ? std::string("no other pit gets water") : list_words(parts);
  const bool leaves = m.first_leaves != never && m.first_leaves < days;
  text +=
      leaves ? fmt::format("; the system overflows {}, {}: shorten the rest, haul, or build first.",
                           after_words(m.first_leaves), m.leaves_at)
             : std::string("; nothing overflows.");
  const Meanwhile& early = r.curves[Cases::early].meanwhile;
  if (early.first_leaves != never && early.first_leaves < days) {
    text += fmt::format(" Early case: overflow {}.", after_words(early.first_leaves));
  } else if (!leaves) {
    text += " Nor does it in the early case.";
  }
  const bool needless = c.shortest && c.shortest->rest_day == 0;
  return {"Meanwhile",
          needless ? "should it rest all the same: " + text : sentence_case(std::move(text))};
}

// What happens if nothing is done: a full pit need not mean an overflow.
AnswerLine as_it_is_line(const RestResult& r) {
  const auto when = [&](std::size_t k) {
    return r.as_it_is[k] == never ? "none within " + years_words(r.question.look_ahead_day)
                                  : after_words(r.as_it_is[k]);
  };
  const bool never_at_all = std::ranges::all_of(r.as_it_is, [](int d) { return d == never; });
  if (never_at_all) {
    return {"Untouched",
            fmt::format("without any rest nothing overflows within {} either, in any of the three "
                        "cases: a rest is then for reserve, not for rescue.",
                        years_words(r.question.look_ahead_day))};
  }
  return {"Untouched",
          fmt::format("without any rest: overflow {} in the expected case; early case {}, late "
                      "case {}.",
                      when(Cases::expected), when(Cases::early), when(Cases::late))};
}

AnswerLine turns_line(const RestResult& r) {
  if (!r.partner) {
    return {"Taking turns",
            r.question.flow_to.kind == WhileResting::Kind::haul
                ? "not looked at: the water is hauled away."
                : "not looked at: it takes exactly two pits that can be switched at the box."};
  }
  const Turns& t = r.turns[best_turns(r)];
  const Turns& both = r.turns.front();
  const std::string names =
      fmt::format("{} and {}", pit_words(r, r.question.pit), pit_words(r, *r.partner));
  const auto full = [](const Turns& x, std::size_t k) { return never_as_longest(x.first_full[k]); };
  std::string text;
  if (t.first_full[Cases::expected] == never && both.first_full[Cases::expected] == never &&
      full(both, Cases::early) > full(t, Cases::early)) {
    return {"Taking turns",
            fmt::format("no gain. With {} both in service no pit is full within the {} looked at, "
                        "in the early case {}. With the best turns, changing every {}, one is full "
                        "{} in the early case.",
                        names, years_words(r.question.look_ahead_day),
                        both.first_full[Cases::early] == never
                            ? std::string("none either")
                            : "one " + after_words(both.first_full[Cases::early]),
                        months_words(t.months), after_words(t.first_full[Cases::early]))};
  }
  if (t.first_full[Cases::expected] == never) {
    text = fmt::format(
        "{} can take turns: changing every {} is best, no pit is full in its turn within the {} "
        "looked at",
        names, months_words(t.months), years_words(r.question.look_ahead_day));
    text += t.first_full[Cases::early] == never
                ? std::string(", not even in the early case.")
                : fmt::format("; in the early case one is {}.",
                              after_words(t.first_full[Cases::early]));
  } else {
    text = fmt::format(
        "{} cannot take turns for long: the best, changing every {}, has a pit full in its turn {}",
        names, months_words(t.months), after_words(t.first_full[Cases::expected]));
    text +=
        t.first_leaves[Cases::expected] == never
            ? std::string(", though nothing overflows.")
            : fmt::format(", and an overflow {}.", after_words(t.first_leaves[Cases::expected]));
  }
  if (both.first_full[Cases::expected] != never) {
    text += fmt::format(" Without turns one is full {}.",
                        after_words(both.first_full[Cases::expected]));
  } else {
    text += t.first_full[Cases::expected] == never ? " Without turns no pit is full either."
                                                   : " Without turns no pit is full.";
  }
  // A full pit that leans on its neighbour is no overflow: turns must not cost one.
  for (const std::size_t k : {Cases::expected, Cases::early}) {
    const int with = t.first_leaves[k];
    const int without = both.first_leaves[k];
    if (with == never || (without != never && without <= with)) continue;
    text += fmt::format(
        " But without turns the system overflows later: in the {} case {}, with turns {}.",
        r.curves[k].clog_case.name,
        without == never ? "not within " + years_words(r.question.look_ahead_day)
                         : after_words(without),
        after_words(with));
    break;
  }
  return {"Taking turns", text};
}

int shortest_or_longest(const RestResult& r, const RestCurve& c) {
  return c.shortest ? c.shortest->rest_day : r.question.longest_rest_day + 1;
}

AnswerLine sure_line(const RestResult& r) {
  std::size_t driver = 0;
  int widest = -1;
  for (std::size_t k = 0; k + 1 < r.unknowns.size(); k += 2) {
    const int span =
        std::abs(shortest_or_longest(r, r.unknowns[k]) - shortest_or_longest(r, r.unknowns[k + 1]));
    if (span > widest) {
      widest = span;
      driver = k;
    }
  }
  if (widest <= 0) {
    return {"How sure",
            "none of the unknowns of clogging and recovery, moved alone through its range, changes "
            "the shortest rest. The early and late case move two of them at once."};
  }
  const auto end = [&](std::size_t k) {
    return fmt::format("{} ({})", shortest_words(r, r.unknowns[k]), r.unknowns[k].clog_case.says);
  };
  return {"How sure",
          fmt::format("no single number of days is sure. Of the unknowns, {} matters most: "
                      "alone it moves the shortest rest from {} to {}. Measure the level and its "
                      "fall again after a month of rest: that tells more than any assumption.",
                      r.unknowns[driver].clog_case.name, end(driver), end(driver + 1))};
}

}  // namespace

Report rest_report(const RestResult& r, const std::vector<std::string>& warnings) {
  Report report;
  const Scenario& s = r.scenario;
  report.site = s.name;
  report.question = fmt::format("How long must the {} rest from {}, and how long does that last?",
                                pit_words(r, r.question.pit), iso_date(r.question.from));
  report.start = s.start;
  report.days = r.days;
  report.units = s.units;
  report.setting = fmt::format(
      "({}, {} in a typical week; while it rests its water goes to {}; rests of up to {}, then up "
      "to "
      "{} of service are looked at; {}.)",
      people_words(s.household.occupants), flow_words(r, r.week.mean_flow_m3_per_day),
      resting_words(r.scenario, r.question.flow_to), years_words(r.question.longest_rest_day),
      years_words(r.question.look_ahead_day), mode_words(s));
  for (const std::string& w : warnings) report.notes.push_back(without_place(w));
  report.answer = {rest_line(r),     gain_line(r),  meanwhile_line(r),
                   as_it_is_line(r), turns_line(r), sure_line(r)};
  report.tables = rest_tables(r);
  report.tables.push_back(soil_table(s));
  report.assumptions = {cases_table(clogging_cases(s.biomat)), clogging_parameters_table(s),
                        other_parameters_table(s)};
  report.simplifications = model_simplifications(s);
  report.cautions = safety_cautions();
  return report;
}

}  // namespace restwell
