#include "sim/live.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>

#include "sim/text_parts.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr double most_people = 10.0, more_than_live_here = 4.0;

struct Tried {
  Scenario scenario, past;  // past: whose household lived here until today
  std::vector<std::string> names;
};

Tried tried_on(const Scenario& as_it_is, const LiveQuestion& q) {
  Tried t{as_it_is, as_it_is, {}};
  if (q.people != as_it_is.household.occupants) {
    add_people(t.scenario.household, q.people - as_it_is.household.occupants);
    t.names.push_back(fmt::format("{} instead of {}", people_words(q.people),
                                  people_words(as_it_is.household.occupants)));
  }
  for (const PageCase& offered : live_controls(as_it_is).changes) {
    if (std::ranges::find(q.changes, offered.key) == q.changes.end()) continue;
    if (auto c = default_case(t.scenario, offered.key)) t.scenario = std::move(c->scenario);
    // Work on the first day is part of what the past's household had around it.
    if (!offered.keeps_past) t.past = offered.scenario;
    std::string name = offered.name;
    name.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(name.front())));
    t.names.push_back(std::move(name));
  }
  return t;
}

std::string lead_of(const Scenario& as_it_is, const LiveQuestion& q, const Tried& t) {
  if (t.names.empty()) return as_it_stays;
  const bool people = q.people != as_it_is.household.occupants;
  const bool changes = t.names.size() > (people ? 1 : 0);
  return fmt::format("With {}{}", people_words(q.people), changes ? " and what is ticked" : "");
}

// ---- as text ---------------------------------------------------------------------------------

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\')
      out += fmt::format("\\{}", c);
    else if (static_cast<unsigned char>(c) < 0x20)
      out += fmt::format("\\u{:04x}", static_cast<int>(c));
    else
      out += c;
  }
  return out + '"';
}

std::string numbers_json(const CaseOutcome& o) {
  std::string text;
  const auto add = [&](const std::string& name, double value) {
    text += fmt::format("{}{}:{}", text.empty() ? "" : ",", quoted(name), value);
  };
  const auto spread = [&](const std::string& name, const DaySpread& d) {
    add(name + " early day", d.early);
    add(name + " expected day", d.expected);
    add(name + " late day", d.late);
  };
  add("flow m3/day", o.flow_m3_per_day);
  add("solids kg/day", o.solids_kg_per_day);
  add("bod kg/day", o.bod_kg_per_day);
  add("outflow m3/day", o.outflow_m3_per_day);
  add("pump interval day", o.pump_interval_day);
  add("pump due day", o.pump_due_day);
  spread("first full", o.first_full);
  spread("overflow", o.overflow);
  for (const PitOutcome& p : o.pits) {
    add(p.name + " clean m3/day", p.clean_m3_per_day);
    add(p.name + " now m3/day", p.now_m3_per_day);
    spread(p.name + " full", p.full);
    for (std::size_t d = 0; d < p.highest_m.size(); ++d)
      add(fmt::format("{} highest m, weekday {}", p.name, d + 1), p.highest_m[d]);
  }
  for (const CaseOutcome::Takes& t : o.takes)
    add(fmt::format("takes m3/day, day {}", t.day), t.m3_per_day);
  return "{" + text + "}";
}

}  // namespace

LiveControls live_controls(const Scenario& s) {
  LiveControls controls;
  const double people = s.household.occupants, part = people - std::floor(people);
  controls.people = people;
  // The slider's steps hit today's number, and one person unless nobody lives there.
  controls.least = std::min(people, part > 0.0 ? part : 1.0);
  controls.most = std::max(most_people, people + more_than_live_here) + part;
  controls.changes = default_cases(s);
  std::erase_if(controls.changes, [](const PageCase& c) { return c.key == people_case; });
  return controls;
}

std::optional<LiveQuestion> live_question(std::string_view text) {
  const std::size_t end = text.find(';');
  const auto people = bare_number(text.substr(0, end));
  if (!people || *people < 0.0 || end == std::string_view::npos) return std::nullopt;
  LiveQuestion q{*people, {}};
  for (std::size_t at = end + 1; at < text.size();) {
    const std::size_t stop = std::min(text.find(',', at), text.size());
    q.changes.emplace_back(text.substr(at, stop - at));
    at = stop + 1;
  }
  return q;
}

LiveAnswer live_answer(const LiveSite& site, const LiveQuestion& q, const Progress& progress) {
  const Tried tried = tried_on(site.scenario, q);
  PageStudy s{run(tried.scenario, main_cases_for_dates(tried.scenario.biomat), progress,
                  {0, &tried.past, {}}),
              {},
              {},
              {},
              {}};
  // Of the report only what the words below read.
  s.report.start = tried.scenario.start;
  s.report.days = s.result.days();
  s.report.units = tried.scenario.units;
  LiveAnswer a;
  a.outcome = outcome_of(s.result);
  std::string names;
  for (const std::string& name : tried.names) names += (names.empty() ? "" : "; ") + name;
  a.tried = tried.names.empty() ? fmt::format("As it is: {}.", people_words(q.people))
                                : fmt::format("Tried: {}.", names);
  a.answer = happens_answer(s, lead_of(site.scenario, q, tried));
  if (!tried.names.empty()) a.change = case_words(s.report, site.as_it_is, a.outcome);
  a.items = happens_items(s);
  a.figure = level_course_figure(s.result);
  return a;
}

std::string live_json(const LiveAnswer& a) {
  std::string items;
  for (const PageItem& item : a.items)
    items +=
        fmt::format("{}[{},{}]", items.empty() ? "" : ",", quoted(item.lead), quoted(item.text));
  return fmt::format(
      "{{\"tried\":{},\"answer\":{},\"change\":{},\"items\":[{}],\"wide\":{},\"narrow\":{},"
      "\"caption\":{},\"numbers\":{}}}",
      quoted(a.tried), quoted(a.answer), quoted(a.change), items, quoted(a.figure.wide),
      quoted(a.figure.narrow), quoted(a.figure.caption), numbers_json(a.outcome));
}

}  // namespace restwell
