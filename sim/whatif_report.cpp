#include "sim/whatif_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>

#include "sim/report_tables.hpp"
#include "sim/whatif_links.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// With more cases than this only the first and the last are explained in full: numbers of one field
// differ all in the same way.
constexpr std::size_t most_explained = 12, most_explained_on_axis = 3;

const CaseOutcome& base(const WhatIf& w) { return w.outcomes.front(); }

// Without the unit, which stands once behind the second of two.
std::string interval_number(int day) {
  std::string text = interval_words(day);
  text.resize(text.size() - std::string_view(" years").size());
  return text;
}

// ---- the answer ------------------------------------------------------------------------------
std::string from_to(std::string a, std::string b) {
  if (a == b) return a + " in both";
  for (std::string* text : {&a, &b})
    if (text->find('|') != std::string::npos) *text = "(" + *text + ")";
  return fmt::format("{} -> {}", a, b);
}

std::string compared(const WhatIf& w, const CaseOutcome& a, const CaseOutcome& b) {
  const auto spread = [&](const DaySpread& s) { return spread_words(s, w.days); };
  return fmt::format(
      "years until a pump-out is due again {}; years to the first full pit {}; years to overflow "
      "{} "
      "(early | expected | late).",
      from_to(interval_number(a.pump_interval_day),
              interval_number(more_often(a.pump_interval_day, b.pump_interval_day) == 0
                                  ? a.pump_interval_day
                                  : b.pump_interval_day)),
      from_to(spread(a.first_full), spread(b.first_full)),
      from_to(spread(a.overflow), spread(b.overflow)));
}

// "105 -> 245 gal/day": the unit once, if it is the same.
std::string cells_words(const Cell& before, const Cell& after, UnitSystem units) {
  const auto shown = [&](const Cell& cell) -> Shown {
    if (const auto* a = std::get_if<Amount>(&cell)) return show(a->value, a->quantity, units);
    if (const auto* s = std::get_if<Share>(&cell))
      return {fmt::format("{:.0f}", 100.0 * s->part), "%"};
    return {};
  };
  const Shown a = shown(before), b = shown(after);
  return a.unit == b.unit ? fmt::format("{} -> {} {}", a.number, b.number, b.unit)
                          : fmt::format("{} {} -> {} {}", a.number, a.unit, b.number, b.unit);
}

// The links between two cases in one sentence, and what stays.
std::string why_words(const CaseOutcome& a, const CaseOutcome& b) {
  const Explanation e = explain(a, b, a.scenario.units);
  std::vector<std::string> parts;
  for (const Link& link : e.links) {
    if (link.outcome) continue;
    parts.push_back(fmt::format("{} {}{}", link.what,
                                cells_words(link.before, link.after, a.scenario.units),
                                link.why.empty() ? "" : " (" + link.why + ")"));
  }
  std::string text =
      parts.empty() ? "nothing on the way changes" : fmt::format("{}", fmt::join(parts, "; "));
  text += ".";
  if (!e.unchanged.empty()) text += " Not changed: " + list_words(e.unchanged) + ".";
  return text;
}

// The case that comes first by order, if it comes before the base.
template <typename Before>
std::optional<std::size_t> extreme(const WhatIf& w, const Before& before) {
  std::optional<std::size_t> best;
  for (std::size_t i = 1; i < w.outcomes.size(); ++i) {
    const CaseOutcome& other = best ? w.outcomes[*best] : base(w);
    if (before(w.outcomes[i], other)) best = i;
  }
  return best;
}

AnswerLine outcome_line(const WhatIf& w, const std::string& topic, const char* first,
                        const char* last,
                        const std::function<std::string(const CaseOutcome&)>& shown,
                        const std::function<int(const CaseOutcome&, const CaseOutcome&)>& order) {
  std::string text = fmt::format("as it is {}.", shown(base(w)));
  const auto name = [&](std::size_t i) { return w.cases[i].asked.name; };
  const auto soonest =
      extreme(w, [&](const CaseOutcome& a, const CaseOutcome& b) { return order(b, a) > 0; });
  const auto latest =
      extreme(w, [&](const CaseOutcome& a, const CaseOutcome& b) { return order(b, a) < 0; });
  if (soonest)
    text += fmt::format(" {} with \"{}\": {}.", first, name(*soonest), shown(w.outcomes[*soonest]));
  if (latest)
    text += fmt::format(" {} with \"{}\": {}.", last, name(*latest), shown(w.outcomes[*latest]));
  std::vector<std::string> same;
  const auto different = static_cast<std::size_t>(std::count_if(
      w.cases.begin() + 1, w.cases.end(), [](const WhatIf::Case& c) { return !c.same_as_file; }));
  for (std::size_t i = 1; i < w.outcomes.size(); ++i)
    if (!w.cases[i].same_as_file && order(base(w), w.outcomes[i]) == 0)
      same.push_back("\"" + name(i) + "\"");
  constexpr std::size_t most_named = 6;
  if (same.size() == different)
    text += " No case changes it.";
  else if (same.size() > most_named)
    text += fmt::format(" Not changed by {} of the cases.", same.size());
  else if (!same.empty())
    text += fmt::format(" Not changed by {}.", list_words(same));
  return {topic, text};
}

std::vector<AnswerLine> answer(const WhatIf& w) {
  std::vector<AnswerLine> lines;
  if (!w.axis.empty()) {
    const NumberAxis& axis = w.axis.front();
    const auto number = [](double x) { return fmt::format("{:.6g}", x); };
    lines.push_back({sentence_case(axis.label),
                     fmt::format("from {} to {}{}{}: {}", number(axis.values.front()),
                                 number(axis.values.back()), axis.unit.empty() ? "" : " ",
                                 axis.unit, compared(w, w.outcomes[1], w.outcomes.back()))});
    lines.push_back({"Why", why_words(w.outcomes[1], w.outcomes.back())});
  } else if (w.outcomes.size() == 2) {
    lines.push_back(
        {"Change", fmt::format("from {} to \"{}\": {}", base_name, w.cases[1].asked.name,
                               compared(w, base(w), w.outcomes[1]))});
    lines.push_back({"Why", why_words(base(w), w.outcomes[1])});
  }
  if (w.outcomes.size() == 2) return lines;
  const auto years = [&](DaySpread CaseOutcome::*member) {
    return [&w, member](const CaseOutcome& o) -> std::string {
      if (o.*member == DaySpread{}) return "not within " + years_words(w.days);
      if (o.*member == DaySpread{0, 0, 0}) return "now";
      return "after " + spread_words(o.*member, w.days) + " years";
    };
  };
  const auto order = [](DaySpread CaseOutcome::*member) {
    return [member](const CaseOutcome& a, const CaseOutcome& b) {
      return sooner(a.*member, b.*member);
    };
  };
  lines.push_back(outcome_line(w, "Overflow", "Soonest", "Latest", years(&CaseOutcome::overflow),
                               order(&CaseOutcome::overflow)));
  lines.push_back(outcome_line(w, "First full", "Soonest", "Latest",
                               years(&CaseOutcome::first_full), order(&CaseOutcome::first_full)));
  lines.push_back(outcome_line(
      w, "Pump-out", "Most often", "Least often",
      [](const CaseOutcome& o) { return "every " + interval_words(o.pump_interval_day); },
      [](const CaseOutcome& a, const CaseOutcome& b) {
        return more_often(a.pump_interval_day, b.pump_interval_day);
      }));
  return lines;
}

// ---- tables ----------------------------------------------------------------------------------
ReportTable compared_table(const WhatIf& w) {
  ReportTable t{"cases_compared", "The cases side by side", {}, {}, ""};
  t.columns = {{"case", "case"},
               {"water", "water"},
               {"solids", "solids"},
               {"pump_out_every", "pump due every"},
               {"first_full", "first full"},
               {"overflow", "overflow"}};
  std::vector<std::size_t> fed;  // by an outlet, in any of the cases
  for (std::size_t p = 0; p < base(w).pits.size(); ++p) {
    const bool any = std::any_of(w.outcomes.begin(), w.outcomes.end(), [&](const CaseOutcome& o) {
      return p < o.pits.size() && o.pits[p].share.has_value();
    });
    if (any) fed.push_back(p);
  }
  if (fed.size() < 2) fed.clear();
  for (const std::size_t p : fed)
    t.columns.push_back({fmt::format("share_pit_{}", p + 1), base(w).pits[p].name});
  for (std::size_t i = 0; i < w.outcomes.size(); ++i) {
    const CaseOutcome& o = w.outcomes[i];
    std::vector<Cell> row{w.cases[i].asked.name,
                          Amount{o.flow_m3_per_day, Quantity::flow},
                          Amount{o.solids_kg_per_day, Quantity::mass_per_year},
                          interval_words(o.pump_interval_day),
                          o.first_full,
                          o.overflow};
    for (const std::size_t p : fed) {
      const bool has = p < o.pits.size() && o.pits[p].share.has_value();
      row.push_back(has ? Cell(Share{*o.pits[p].share}) : Cell());
    }
    t.rows.push_back(std::move(row));
  }
  t.note = fmt::format(
      "First full: the first pit with water at its inlet; overflow: water leaves other than into "
      "the soil. Both in years from {}, early | expected | late case of clogging (once if they "
      "agree; >: not within the years looked at). Water and solids (suspended, dry): into the "
      "tank, mean of the first year. Pump due: from a pump-out to the solids mark, at the use of "
      "the start.",
      iso_date(base(w).scenario.start));
  if (!fed.empty()) t.note += " Pits: share of a typical week's water with none backed up.";
  return t;
}

ReportTable settings_table(const WhatIf& w) {
  ReportTable t{"cases_set", "What each case sets", {}, {}, ""};
  t.columns = {
      {"case", "case"}, {"path", "path"}, {"file", "the file says"}, {"set", "the case says"}};
  std::vector<std::string> dropped;
  for (const WhatIf::Case& c : w.cases) {
    for (std::size_t i = 0; i < c.asked.set.size(); ++i) {
      t.rows.push_back({c.asked.name, c.asked.set[i].path,
                        c.was[i].empty() ? Cell() : Cell(c.was[i]), c.asked.set[i].text});
    }
    for (const std::string& d : c.dropped)
      if (std::find(dropped.begin(), dropped.end(), d) == dropped.end()) dropped.push_back(d);
  }
  if (!dropped.empty())
    t.note = "Made way in these cases, since a set value says it in another way: " +
             list_words(dropped) + ". ";
  t.note +=
      "A household or box that changes does so on the first day: tank and pits start as the file's "
      "household left them. Tank, pits, soil and assumptions are taken as if they had always been "
      "so.";
  return t;
}

ReportTable explained(const WhatIf& w, std::size_t i) {
  const Explanation e = explain(base(w), w.outcomes[i], base(w).scenario.units);
  const std::string& name = w.cases[i].asked.name;
  ReportTable t{
      fmt::format("change_{}", i),
      fmt::format("{}: what changes, down the chain from house to soil", sentence_case(name)),
      {},
      {},
      ""};
  t.columns = {{"link", "link"}, {"before", base_name}, {"after", "then"}, {"why", "change"}};
  for (const Link& link : e.links) t.rows.push_back({link.what, link.before, link.after, link.why});
  if (t.rows.empty())
    t.rows.push_back({std::string("nothing that is worth telling"), Cell(), Cell(), Cell()});
  if (!e.unchanged.empty()) t.note = "Not changed: " + list_words(e.unchanged) + ".";
  return t;
}

std::vector<std::size_t> to_explain(const WhatIf& w) {
  std::vector<std::size_t> all;
  for (std::size_t i = 1; i < w.outcomes.size(); ++i)
    if (!w.cases[i].same_as_file) all.push_back(i);
  if (all.size() > (w.axis.empty() ? most_explained : most_explained_on_axis))
    all = {all.front(), all.back()};
  return all;
}

std::size_t same_as_file(const WhatIf& w) {
  return static_cast<std::size_t>(std::count_if(
      w.cases.begin(), w.cases.end(), [](const WhatIf::Case& c) { return c.same_as_file; }));
}

ReportTable thresholds_table() {
  ReportTable t{"worth_telling", "Assumed: from where on a difference is told", {}, {}, ""};
  t.columns = {{"of", "of"}, {"from", "from"}};
  const auto percent = [](double part) { return fmt::format("{:.0f} %", 100.0 * part); };
  t.rows = {{std::string("flows, masses, intervals"), percent(WorthTelling::part)},
            {std::string("the busiest day over the mean"), percent(WorthTelling::busiest_day)},
            {std::string("shares of the box"), percent(WorthTelling::share) + " of the water"},
            {std::string("levels"), Amount{WorthTelling::level_m, Quantity::small_length}},
            {std::string("weekdays' levels told apart: rises differ by"),
             percent(WorthTelling::uneven_rise) + " of their mean"},
            {std::string("dates"),
             fmt::format("{:.0f} days, {} of the time to them, and the digits shown",
                         WorthTelling::days, percent(WorthTelling::part))}};
  return t;
}

}  // namespace

Report whatif_report(const WhatIf& w) {
  const Scenario& scenario = base(w).scenario;
  Report report;
  report.site = scenario.name;
  report.question = scenario.question;
  report.start = scenario.start;
  report.days = w.days;
  report.units = scenario.units;
  report.answer = answer(w);
  const std::size_t cases = w.cases.size() - 1;
  report.setting = fmt::format(
      "({} {} besides the file as it is: {}, {}. Years from {}, early | expected | late, over {}; "
      "{}.)",
      cases, cases == 1 ? "case" : "cases", people_words(scenario.household.occupants),
      show_text(base(w).flow_m3_per_day, Quantity::flow, report.units), iso_date(report.start),
      years_words(report.days), mode_words(scenario));
  report.notes = w.notes;
  report.tables.push_back(compared_table(w));
  report.tables.push_back(settings_table(w));
  const std::vector<std::size_t> told = to_explain(w);
  for (const std::size_t i : told) report.tables.push_back(explained(w, i));
  const bool all_told = told.size() + 1 + same_as_file(w) == w.outcomes.size();
  if (!all_told)
    report.tables.back().note += fmt::format(
        " The first and the last of {} cases are explained; all stand in the table above.", cases);
  report.assumptions = {thresholds_table(), cases_table(clogging_cases(scenario.biomat)),
                        clogging_parameters_table(scenario), other_parameters_table(scenario)};
  report.simplifications = model_simplifications(scenario);
  report.cautions = safety_cautions();
  return report;
}

}  // namespace restwell
