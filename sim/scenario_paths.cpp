// What leads where, and how deep it is: checks over outlets, pits and the water table.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "sim/scenario_parts.hpp"
#include "sim/water_table.hpp"

namespace restwell {
namespace {

// Pits and drain fields alike; one that is unsound as a list counts as not there.
std::vector<const Record*> pit_records(const Record& top) {
  std::vector<const Record*> all;
  for (const char* list : {"pits", "trenches"})
    for (const Record& r : entries(top, list)) all.push_back(&r);
  return all;
}

// Nothing if a pit's name is not known: then no other name is surely wrong.
std::optional<std::vector<std::string>> pit_names(const Record& top) {
  for (const char* key : {"pits", "trenches"}) {
    const Record* list = find(top, key);
    if (list != nullptr && !list->sound) return std::nullopt;
  }
  std::vector<std::string> names;
  for (const Record* r : pit_records(top)) {
    const auto name = r->sound ? word(*r, "name") : std::nullopt;
    if (!name) return std::nullopt;
    names.push_back(*name);
  }
  if (names.empty()) return std::nullopt;
  return names;
}

// The record that names an existing pit; notes a pit that does not exist.
const Record* pit_named_at(const Record& map, const std::vector<std::string>& names,
                           Findings& findings) {
  const Record* to = find(map, "to");
  if (to == nullptr || !to->sound) return nullptr;
  if (std::ranges::find(names, to->text) != names.end()) return to;
  const std::string near = nearest(to->text, names);
  std::string all;
  for (const std::string& n : names) all.append(all.empty() ? "" : ", ").append(n);
  add_problem(findings, *to, fmt::format("there is no pit {}", to->text),
              near.empty() ? "pits: " + all : fmt::format("did you mean {}?", near));
  return nullptr;
}

// The pit a full pit spills to, by name; unsound ones left out.
std::map<std::string, const Record*> spills(const Record& top,
                                            const std::vector<std::string>& names,
                                            Findings& findings) {
  std::map<std::string, const Record*> next;
  for (const Record* r : pit_records(top)) {
    const auto name = word(*r, "name");
    const Record* when_full = find(*r, "when_full");
    if (!name || when_full == nullptr || !when_full->sound || when_full->items.empty()) continue;
    if (const Record* to = pit_named_at(*when_full, names, findings)) next[*name] = to;
  }
  return next;
}

void check_loops(const std::map<std::string, const Record*>& next, Findings& findings) {
  std::set<std::string> done;
  for (const auto& [first, unused] : next) {
    std::vector<std::string> path;
    std::string at = first;
    while (!done.contains(at)) {
      done.insert(at);
      path.push_back(at);
      const auto to = next.find(at);
      if (to == next.end()) break;
      at = to->second->text;
      const auto again = std::ranges::find(path, at);
      if (again == path.end()) continue;
      std::string loop;
      for (auto it = again; it != path.end(); ++it) loop += *it + " -> ";
      add_problem(findings, *to->second, fmt::format("the pits spill in a circle: {}{}", loop, at),
                  "the last pit in a series needs box, surface or house");
      break;
    }
  }
}

// Outside of its dates a series only holds its ends, and that looks like measured.
void note_dates_of_readings(const Record& table, const Scenario& scenario, Findings& findings) {
  const auto& all = scenario.soil.water_table->readings;
  if (all.empty()) return;
  const Date start = scenario.start, end = date_of(start, days_of_years(scenario.years));
  const std::string first = iso_date(all.front().date), last = iso_date(all.back().date);
  if (std::ranges::none_of(
          all, [&](const auto& reading) { return reading.date >= start && reading.date <= end; })) {
    add_warning(
        findings, table,
        fmt::format("no reading lies within the run, {} to {}; {}", iso_date(start), iso_date(end),
                    all.front().date > end    ? "the depth of " + first + " is held throughout"
                    : all.back().date < start ? "the depth of " + last + " is held throughout"
                                              : "the depth goes straight from one to the "
                                                "next across it"));
    return;
  }
  if (all.front().date > start)
    add_warning(
        findings, table,
        fmt::format("the first reading is of {}; that depth is taken before it too", first));
  if (all.back().date < end)
    add_warning(findings, table,
                fmt::format("readings end on {}; that depth is held from then on", last));
}

void check_water_table(const Record& top, const Scenario& scenario, Findings& findings) {
  const Record* soil = find(top, "soil");
  const Record* table = soil == nullptr ? nullptr : find(*soil, "water_table");
  if (table == nullptr || !table->sound || !scenario.soil.water_table) return;
  note_dates_of_readings(*table, scenario, findings);
  // In the unit the table is given in; the season and the readings have theirs inside. One without
  // its depth has its own problem.
  const Record* depth = table->field->kind == FieldKind::maps ? find(table->items.front(), "depth")
                        : table->items.empty()                ? table
                                                              : find(*table, "mean");
  if (depth == nullptr || !depth->sound || depth->text.empty()) return;
  const auto shown = [&](double m) {
    return quantity_in_unit_of(m, Dimension::length, depth->text);
  };
  const double highest = shallowest_table_m(*scenario.soil.water_table);
  for (const PitConfig& p : scenario.pits) {
    const double bottom = p.inlet_depth_m + p.geometry.depth_m;
    const double between = highest - bottom;
    if (between < 0)
      add_warning(findings, *table,
                  fmt::format("{} stands in groundwater: its bottom is {} below ground, the water "
                              "table {} at its highest; sewage then enters the groundwater "
                              "untreated, and codes forbid it",
                              p.name, shown(bottom), shown(highest)));
    else if (between < scenario.separation_m * (1 - 1e-9))
      add_warning(
          findings, *table,
          fmt::format("only {} between the bottom of {} and the water table without the mound "
                      "under the pit, less than {}",
                      shown(between), p.name, shown(scenario.separation_m)));
  }
}

}  // namespace

void check_site(const Record& top, const Scenario& scenario, Findings& findings) {
  check_water_table(top, scenario, findings);
  const auto names = pit_names(top);
  if (!names) return;
  std::map<std::string, const Record*> fed;  // by a pipe
  bool all_known = true;                     // only then a pit is surely fed by nothing
  const auto lead_to = [&](const Record& map) {
    const Record* to = pit_named_at(map, *names, findings);
    if (to == nullptr)
      all_known = false;
    else if (!fed.emplace(to->text, to).second)
      add_problem(findings, *to, fmt::format("a second outlet to {} is not yet modelled", to->text),
                  "let one outlet lead there, with the diameter of both together");
  };
  const Record* box = find(top, "box");
  const Record* single = find(top, "single_outlet");
  if (box != nullptr) {
    const Record* outlets = box->sound ? find(*box, "outlets") : nullptr;
    all_known = outlets != nullptr && outlets->sound;
    for (const Record& r : box->sound ? entries(*box, "outlets") : std::vector<Record>{})
      if (!r.sound || find(r, "to") != nullptr || find(r, "capped") == nullptr) lead_to(r);
  } else if (single != nullptr && single->sound) {
    lead_to(*single);
  } else {
    all_known = false;
  }
  for (const Record* r : pit_records(top)) {
    const Record* resting = r->sound ? find(*r, "while_resting") : nullptr;
    if (resting != nullptr && resting->sound && !resting->items.empty())
      static_cast<void>(pit_named_at(*resting, *names, findings));
  }
  const auto next = spills(top, *names, findings);
  check_loops(next, findings);

  std::set<std::string> reached;
  for (const auto& [name, at] : fed) reached.insert(name);
  for (const auto& [name, to] : next) reached.insert(to->text);
  for (const Record& r : entries(top, "plan"))
    if (const auto to = r.sound ? word(r, "to") : std::nullopt) reached.insert(*to);
  for (const Record* r : pit_records(top)) {
    const std::string name = word(*r, "name").value_or("");
    if (all_known && !reached.contains(name))
      add_problem(findings, *find(*r, "name"), fmt::format("nothing leads to {}", name),
                  "give it an outlet of the box, or when_full: {to: " + name + "} of another pit");
  }
}

}  // namespace restwell
