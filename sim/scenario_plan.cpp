// Planned work on box and pits: what is done when, and that every day has somewhere for the water
// to go.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sim/layout.hpp"
#include "sim/scenario_parts.hpp"

namespace restwell {
namespace {

std::vector<std::string> outlet_names(const BoxConfig& box) {
  std::vector<std::string> names;
  for (const BoxOutletConfig& o : box.outlets) names.push_back(o.name);
  return names;
}

std::vector<std::string> pit_names(const Scenario& scenario) {
  std::vector<std::string> names;
  for (const PitConfig& p : scenario.pits) names.push_back(p.name);
  return names;
}

std::string joined(const std::vector<std::string>& names) {
  std::string all;
  for (const std::string& n : names) all += (all.empty() ? "" : ", ") + n;
  return all;
}

// Index of a name; notes one that does not exist.
std::optional<std::size_t> known(const Record& at, const std::string& what,
                                 const std::vector<std::string>& names, Findings& findings) {
  const auto found = std::ranges::find(names, at.text);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  const std::string near = nearest(at.text, names);
  add_problem(findings, at, fmt::format("there is no {} {}", what, at.text),
              near.empty() ? what + "s: " + joined(names) : fmt::format("did you mean {}?", near));
  return std::nullopt;
}

// Nothing if the entry has a problem.
std::optional<PlannedWork> read_work(const Record& r, const Scenario& scenario, const RunDates& run,
                                     Findings& findings) {
  const std::size_t before = findings.problems.size();
  PlannedWork work;
  work.date = date(r, "date").value_or(Date{});
  work.capped = yes(r, "capped");
  work.raised_m = number(r, "raised");
  work.leveler_angle_rad = number(r, "leveler_angle");
  work.to = word(r, "to");
  work.haul = yes(r, "haul");
  if (run.start && work.date < *run.start)
    add_problem(findings, *find(r, "date"),
                fmt::format("must not be before the start, got {}", find(r, "date")->text),
                "what was done before stands in box and pits as found");
  if (run.end && work.date > *run.end)
    add_warning(findings, *find(r, "date"), "is after the end of the run: it has no effect");
  const Record* outlet = find(r, "outlet");
  const bool on_outlet = work.capped || work.raised_m || work.leveler_angle_rad || work.to;
  if (!on_outlet && !work.haul)
    add_problem(findings, r, "says nothing that is done",
                "one of capped, raised, leveler_angle, to, haul");
  if (on_outlet && work.haul)
    add_problem(findings, *find(r, "haul"), "stands beside work on an outlet",
                "give each its own line, with the same date");
  if (work.to) {
    if (!known(*find(r, "to"), "pit", pit_names(scenario), findings)) work.to.reset();
  }
  if (!scenario.box.present) {
    for (const char* key : {"outlet", "capped", "raised", "leveler_angle"}) {
      if (const Record* at = find(r, key))
        add_problem(findings, *at, "there is no box",
                    "with single_outlet the plan can say to or haul");
    }
  } else if (outlet == nullptr) {
    if (on_outlet)
      add_problem(findings, r, "needs outlet, the name of the box's outlet",
                  "outlets: " + joined(outlet_names(scenario.box)));
  } else if (const auto index = known(*outlet, "outlet", outlet_names(scenario.box), findings)) {
    work.outlet = *index;
    if (work.leveler_angle_rad &&
        scenario.box.outlets[*index].placement.leveler_eccentricity_m == 0.0)
      add_problem(findings, *find(r, "leveler_angle"),
                  fmt::format("outlet {} has no leveler", outlet->text),
                  "give it leveler: {eccentricity: ...}, or say raised");
  }
  if (findings.problems.size() > before) return std::nullopt;
  return work;
}

// What would not work on a day, or nothing.
std::optional<std::pair<std::string, std::string>> trouble(const BoxOnDate& now, bool box_present) {
  std::set<std::string> fed;
  double highest = -1e9;
  bool open = false;
  for (const BoxOutletConfig& o : now.box.outlets) {
    if (o.capped) continue;
    open = true;
    if (o.pit.empty())
      return {{fmt::format("outlet {} is opened but leads nowhere", o.name), "give it to"}};
    if (!fed.insert(o.pit).second)
      return {{fmt::format("two open outlets lead to {} then", o.pit),
               "cap one of them on the same date"}};
    highest =
        std::max(highest, effective_lip_m(o.placement, now.box.tilt_x_rad, now.box.tilt_y_rad));
  }
  if (!open && !now.hauled)
    return {{"every outlet is capped then, and nothing is hauled: the water has nowhere to go",
             "open an outlet on the same date, or add {date: ..., haul: yes}"}};
  if (box_present && open && now.box.lid.level_m <= highest)
    return {{"an outlet's lip is as high as the box's lid then", "raise it less"}};
  return std::nullopt;
}

}  // namespace

std::vector<PlannedWork> read_plan(const Record& top, const Scenario& scenario, const RunDates& run,
                                   Findings& findings) {
  struct Entry {
    PlannedWork work;
    const Record* record;
  };
  std::vector<Entry> plan;
  const std::size_t before = findings.problems.size();
  for (const Record& r : entries(top, "plan")) {
    if (!r.sound) continue;
    if (auto work = read_work(r, scenario, run, findings)) plan.push_back({*work, &r});
  }
  if (findings.problems.size() > before) return {};
  std::ranges::stable_sort(plan, {}, [](const Entry& e) { return e.work.date; });
  Scenario planned = scenario;
  for (const Entry& e : plan) planned.plan.push_back(e.work);
  for (std::size_t i = 0; i < plan.size(); ++i) {
    if (i + 1 < plan.size() && plan[i + 1].work.date == plan[i].work.date) continue;
    if (const auto what = trouble(box_on(planned, plan[i].work.date), scenario.box.present))
      add_problem(findings, *plan[i].record, what->first, what->second);
  }
  return std::move(planned.plan);
}

}  // namespace restwell
