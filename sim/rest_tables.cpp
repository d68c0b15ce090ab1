#include <fmt/core.h>

#include <cmath>
#include <limits>
#include <tuple>

#include "sim/report_tables.hpp"
#include "sim/rest_report.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// A reserve pit that the rest puts into service stays there, and takes its share ever after.
std::string stays_words(const RestResult& r) {
  if (r.question.flow_to.kind != WhileResting::Kind::pit || !r.both_without_turns) return "";
  return fmt::format(
      "; after any rest the {} stays in service beside it (0 days: it is not opened)",
      pit_label(r.scenario, r.question.flow_to.pit));
}

ReportTable curve_table(const RestResult& r) {
  ReportTable t{"rest", "Days of rest, what they do and how long that lasts", {}, {}, ""};
  t.columns = {{"rest_days", "days of rest"},   {"until", "until"},
               {"level", "water then"},         {"takes", "takes when full"},
               {"lasts_early", "lasts: early"}, {"lasts", "expected"},
               {"lasts_late", "late"}};
  const auto row = [&](Cell days, Cell until, const auto& point_of) {
    const RestPoint& expected = point_of(Cases::expected);
    std::vector<Cell> cells = {std::move(days), std::move(until),
                               Amount{expected.level_m, Quantity::level},
                               Amount{expected.takes_m3_per_day, Quantity::flow}};
    for (const std::size_t k : Cases::early_to_late) cells.push_back(lasting(r, point_of(k)));
    t.rows.push_back(std::move(cells));
  };
  for (std::size_t i = 0; i < r.curves.front().points.size(); ++i) {
    const int days = r.curves.front().points[i].rest_day;
    row(Number{static_cast<double>(days), 0}, iso_date(r.question.from + std::chrono::days(days)),
        [&](std::size_t k) -> const RestPoint& { return r.curves[k].points[i]; });
  }
  row(std::monostate{}, std::string("never clogged"),
      [&](std::size_t k) -> const RestPoint& { return r.curves[k].never_clogged; });
  const bool several = r.scenario.pits.size() > 1;
  t.note = fmt::format(
      "Takes: into the soil with water at the inlet, expected case; so is the water. Lasts: back "
      "in "
      "service, until it is full again{}{}. A longer rest can last less: {}service begins in a "
      "colder "
      "season, or after a shorter rest the tank was still refilling from a pump-out. Never "
      "clogged: a "
      "clean, empty {} put in its place after {}.",
      several ? ", with the share of the household's water that then comes to it" : "",
      stays_words(r), several ? "the other pits have suffered meanwhile and leave it more, " : "",
      pit_kind(r.scenario.pits[r.question.pit]), years_words(r.question.longest_rest_day));
  return t;
}

ReportTable shortest_table(const RestResult& r) {
  ReportTable t{"shortest",
                fmt::format("The shortest rest that buys {} of service", service_words(r)),
                {},
                {},
                ""};
  t.columns = {{"what", "what"}, {"early", "early"}, {"expected", "expected"}, {"late", "late"}};
  std::vector<Cell> rest = {std::string("days of rest")};
  std::vector<Cell> takes = {std::string("takes then, with water at its inlet")};
  std::vector<Cell> lasts = {std::string("lasts then")};
  std::vector<Cell> clean = {"a clean " + pit_kind(r.scenario.pits[r.question.pit]) +
                             " in its place would last"};
  for (const std::size_t k : Cases::early_to_late) {
    const RestCurve& c = r.curves[k];
    rest.push_back(c.shortest ? Cell(Number{static_cast<double>(c.shortest->rest_day), 0})
                              : Cell("over " + years_words(r.question.longest_rest_day)));
    takes.push_back(c.shortest ? Cell(Amount{c.shortest->takes_m3_per_day, Quantity::flow})
                               : Cell(std::monostate{}));
    lasts.push_back(c.shortest ? Cell(lasting(r, *c.shortest)) : Cell(std::monostate{}));
    clean.emplace_back(lasting(r, c.never_clogged));
  }
  t.rows = {rest, takes, lasts, clean};
  t.note = fmt::format("Days of rest: searched for to {} days.", rest_precision_day);
  return t;
}

ReportTable meanwhile_table(const RestResult& r) {
  ReportTable t{
      "meanwhile", "The other pits while it rests, days from the first day of rest", {}, {}, ""};
  t.columns = {{"what", "what"}, {"early", "early"}, {"expected", "expected"}, {"late", "late"}};
  const auto words = [&](int day) { return Lasting{day, r.question.longest_rest_day}; };
  for (std::size_t p = 0; p < r.scenario.pits.size(); ++p) {
    if (p == r.question.pit) continue;
    std::vector<Cell> row = {pit_words(r, p) + " full"};
    for (const std::size_t k : Cases::early_to_late) {
      row.emplace_back(words(r.curves[k].meanwhile.first_full[p]));
    }
    t.rows.push_back(std::move(row));
  }
  std::vector<Cell> row = {std::string("overflow")};
  for (const std::size_t k : Cases::early_to_late) {
    row.emplace_back(words(r.curves[k].meanwhile.first_leaves));
  }
  t.rows.push_back(std::move(row));
  return t;
}

ReportTable turns_table(const RestResult& r) {
  ReportTable t{"turns", "Taking turns: one in service, one resting", {}, {}, ""};
  t.columns = {
      {"every", "change every"}, {"full_early", "full: early"},         {"full", "expected"},
      {"full_late", "late"},     {"overflow_early", "overflow: early"}, {"overflow", "expected"},
      {"overflow_late", "late"}, {"highest", "highest water"}};
  for (const Turns& turns : r.turns) {
    std::vector<Cell> row = {
        turns.months != 0.0    ? months_words(turns.months)
        : r.both_without_turns ? std::string("never, both in service")
                               : fmt::format("never, the {} alone", pit_words(r, r.question.pit))};
    for (const std::size_t k : Cases::early_to_late) {
      row.emplace_back(Lasting{turns.first_full[k], r.question.look_ahead_day});
    }
    for (const std::size_t k : Cases::early_to_late) {
      row.emplace_back(Lasting{turns.first_leaves[k], r.question.look_ahead_day});
    }
    row.push_back(turns.first_leaves[Cases::expected] == never ? Cell(Share{turns.highest_share})
                                                               : Cell(std::monostate{}));
    t.rows.push_back(std::move(row));
  }
  t.note = fmt::format(
      "Full: first time a pit is full to its inlet while it is in service. The {} rests first. "
      "Highest water: part of the depth, in the last two years looked at, expected case. Which "
      "interval is best hangs on the season of the first turn too.",
      pit_words(r, r.question.pit));
  return t;
}

ReportTable unknowns_table(const RestResult& r) {
  ReportTable t{"unknowns", "What each unknown does to the rest, moved alone", {}, {}, ""};
  t.columns = {{"unknown", "unknown"},
               {"set_to", "set to"},
               {"shortest", "shortest rest"},
               {"takes_after_a_year", "takes after a year"},
               {"lasts_after_a_year", "lasts then"}};
  for (const RestCurve& c : r.unknowns) {
    std::vector<Cell> row = {c.clog_case.name, c.clog_case.says, shortest_words(r, c),
                             std::monostate{}, std::monostate{}};
    for (const RestPoint& p : c.points) {
      if (p.rest_day != one_year_rest_day) continue;
      row[3] = Amount{p.takes_m3_per_day, Quantity::flow};
      row[4] = lasting(r, p);
    }
    t.rows.push_back(std::move(row));
  }
  return t;
}

ReportTable plan_to_do(const RestResult& r) {
  const RestCurve& c = r.curves[Cases::expected];
  const int days = told_rest_day(r, c);
  const RestWorks works = rest_works(r.scenario, r.question.pit, r.question.flow_to,
                                     r.question.from, r.question.from + std::chrono::days(days));
  const std::vector<PlannedWork> all = works.all();
  Scenario planned = r.scenario;
  planned.plan = all;
  ReportTable t = plan_table(planned);
  t.key = "works";
  t.title = fmt::format("The work for a rest of {} days", days);
  if (!c.shortest) {
    t.title += fmt::format(", the longest looked at: it does not buy {}", service_words(r));
  } else if (c.shortest->rest_day == 0) {
    t.title += ", should it rest all the same";
  }
  t.columns.push_back({"line", "as a line under plan: in the file"});
  for (std::size_t i = 0; i < all.size(); ++i) {
    t.rows[i].emplace_back(plan_line(r.scenario, all[i]));
  }
  t.note = "With these lines in the file `run` shows the same future, day by day.";
  return t;
}

}  // namespace

int never_as_longest(int day) { return day == never ? std::numeric_limits<int>::max() : day; }

std::string service_words(const RestResult& r) {
  return years_words(static_cast<int>(std::lround(r.question.service_day)));
}

std::string pit_words(const RestResult& r, std::size_t pit) {
  return pit_label(r.scenario.pits[pit]);
}

std::string flow_words(const RestResult& r, double m3_per_day) {
  return show_text(m3_per_day, Quantity::flow, r.scenario.units);
}

Lasting lasting(const RestResult& r, const RestPoint& point) {
  return {point.lasts_day, r.question.look_ahead_day};
}

std::string shortest_words(const RestResult& r, const RestCurve& curve) {
  if (!curve.shortest) return "over " + years_words(r.question.longest_rest_day);
  if (curve.shortest->rest_day == 0) return "none";
  return fmt::format("{} days", curve.shortest->rest_day);
}

int told_rest_day(const RestResult& r, const RestCurve& c) {
  return c.shortest && c.shortest->rest_day > 0 ? c.shortest->rest_day
                                                : r.question.longest_rest_day;
}

std::string months_words(double months) {
  return fmt::format("{:.0f} {}", months, months == 1.0 ? "month" : "months");
}

std::size_t best_turns(const RestResult& r) {
  const auto rank = [&](const Turns& t) {
    return std::tuple(never_as_longest(t.first_leaves[Cases::expected]),
                      never_as_longest(t.first_full[Cases::expected]),
                      never_as_longest(t.first_leaves[Cases::early]),
                      never_as_longest(t.first_full[Cases::early]),
                      never_as_longest(t.first_full[Cases::late]), -t.highest_share);
  };
  std::size_t best = 1;
  for (std::size_t i = 2; i < r.turns.size(); ++i) {
    if (rank(r.turns[i]) > rank(r.turns[best])) best = i;
  }
  return best;
}

std::vector<ReportTable> rest_tables(const RestResult& r) {
  std::vector<ReportTable> tables = {shortest_table(r), curve_table(r), meanwhile_table(r)};
  if (!r.turns.empty()) tables.push_back(turns_table(r));
  tables.push_back(unknowns_table(r));
  tables.push_back(plan_to_do(r));
  return tables;
}

}  // namespace restwell
