#include "sim/rest_works.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "sim/diagnostic.hpp"
#include "sim/layout.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

using Kind = WhileResting::Kind;

std::optional<std::size_t> outlet_to(const BoxConfig& box, const std::string& pit, bool capped) {
  for (std::size_t i = 0; i < box.outlets.size(); ++i) {
    if (box.outlets[i].pit == pit && box.outlets[i].capped == capped) return i;
  }
  return std::nullopt;
}

std::size_t open_outlets(const BoxConfig& box) {
  return static_cast<std::size_t>(
      std::ranges::count_if(box.outlets, [](const BoxOutletConfig& o) { return !o.capped; }));
}

// What can take the water of this pit, as it would be asked for.
std::vector<std::string> ways(const Scenario& scenario, std::size_t pit, const BoxConfig& box) {
  std::vector<std::string> names = {"haul"};
  if (open_outlets(box) > 1) names.push_back("others");
  for (const PitConfig& p : scenario.pits) {
    if (p.name != scenario.pits[pit].name && !outlet_to(box, p.name, false)) {
      names.push_back(p.name);
    }
  }
  return names;
}

void refuse(const Scenario& scenario, std::size_t pit, const BoxConfig& box,
            const std::string& message) {
  throw QuestionError(
      message, "--flow-to takes " + list_words(ways(scenario, pit, box)) +
                   "; the same can stand in the file as while_resting of the pit (others, haul or "
                   "{to: a pit}); a new pit needs a place in pits and, on a box, a capped outlet");
}

}  // namespace

std::size_t pit_of_name(const Scenario& scenario, const std::string& name) {
  std::vector<std::string> names;
  for (const PitConfig& p : scenario.pits) names.push_back(p.name);
  for (std::size_t p = 0; p < names.size(); ++p) {
    if (names[p] == name) return p;
  }
  const std::string near = nearest(name, names);
  throw QuestionError(fmt::format("there is no pit '{}'", printable(name)),
                      near.empty() ? "pits: " + list_words(names) : "did you mean " + near + "?");
}

std::vector<std::size_t> pits_in_service(const Scenario& scenario, Date date) {
  std::vector<std::size_t> pits;
  for (const BoxOutletConfig& o : box_on(scenario, date).box.outlets) {
    if (!o.capped) pits.push_back(pit_of_name(scenario, o.pit));
  }
  return pits;
}

WhileResting where_water_goes(const Scenario& scenario, std::size_t pit, Date from,
                              const std::optional<WhileResting>& wish) {
  const PitConfig& resting = scenario.pits[pit];
  const BoxConfig box = box_on(scenario, from).box;
  if (!outlet_to(box, resting.name, false)) {
    refuse(scenario, pit, box,
           fmt::format("no open outlet leads to the {} on {}: it gets no water that could be kept "
                       "from it at the box",
                       pit_label(resting), iso_date(from)));
  }
  const bool others = open_outlets(box) > 1;
  if (wish || resting.while_resting) {
    const WhileResting to = wish ? *wish : *resting.while_resting;
    if (to.kind == Kind::others && !others) {
      refuse(scenario, pit, box,
             fmt::format("no other outlet of the box is open on {}: the water has nowhere to go",
                         iso_date(from)));
    }
    if (to.kind == Kind::pit) {
      static_cast<void>(pit_of_name(scenario, to.pit));
      if (to.pit == resting.name) {
        refuse(scenario, pit, box, "a pit cannot take its own water while it rests");
      }
      if (outlet_to(box, to.pit, false)) {
        refuse(
            scenario, pit, box,
            fmt::format("the {} is on the box already: say others", pit_label(scenario, to.pit)));
      }
    }
    return to;
  }
  if (others) return {Kind::others, ""};
  for (const BoxOutletConfig& o : box.outlets) {
    if (o.capped && !o.pit.empty()) return {Kind::pit, o.pit};
  }
  if (resting.when_full.kind == WhenFull::Kind::pit) return {Kind::pit, resting.when_full.pit};
  refuse(scenario, pit, box,
         fmt::format("the {} is the only pit that takes water on {}: while it rests the water has "
                     "nowhere to go",
                     pit_label(resting), iso_date(from)));
  return {};
}

std::vector<PlannedWork> RestWorks::all() const {
  std::vector<PlannedWork> works = begin;
  works.insert(works.end(), end.begin(), end.end());
  return works;
}

RestWorks rest_works(const Scenario& scenario, std::size_t pit, const WhileResting& to, Date from,
                     Date until) {
  const BoxConfig box = box_on(scenario, from).box;
  const std::string& name = scenario.pits[pit].name;
  const std::size_t own = outlet_to(box, name, false).value();
  const auto work = [](Date date, std::size_t outlet) {
    PlannedWork w;
    w.date = date;
    w.outlet = outlet;
    return w;
  };
  PlannedWork begin = work(from, own);
  PlannedWork end = work(until, own);
  if (to.kind == Kind::haul) {
    begin.haul = true;
    end.haul = false;
    return {{begin}, {end}};
  }
  const std::optional<std::size_t> opened =
      to.kind == Kind::pit ? outlet_to(box, to.pit, true) : std::nullopt;
  if (to.kind == Kind::pit && !opened) {
    begin.to = to.pit;
    end.to = name;
    return {{begin}, {end}};
  }
  begin.capped = true;
  end.capped = false;
  RestWorks works = {{begin}, {end}};
  if (opened) {
    PlannedWork open = work(from, *opened);
    open.capped = false;
    works.begin.push_back(open);
  }
  return works;
}

Scenario with_works(const Scenario& scenario, const std::vector<PlannedWork>& more) {
  Scenario changed = scenario;
  changed.plan.insert(changed.plan.end(), more.begin(), more.end());
  std::ranges::stable_sort(changed.plan, {}, &PlannedWork::date);
  return changed;
}

std::string resting_words(const Scenario& scenario, const WhileResting& to) {
  switch (to.kind) {
    case Kind::others:
      return "the other pits on the box";
    case Kind::haul:
      return "a tank truck";
    case Kind::pit:
      return "the " + pit_label(scenario, to.pit);
  }
  return "";
}

}  // namespace restwell
