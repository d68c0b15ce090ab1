#include "sim/page_cases.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "models/us_units.hpp"
#include "sim/new_pits.hpp"
#include "sim/old_pits_plan.hpp"
#include "sim/spoken.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr double more_people = 2.0;
constexpr double pump_every_year = 3.0;  // the usual advice is 3 to 5 years (common practice)
constexpr unsigned saturday = 5;
// A new pit needs a permit and a digger first (assumed); old ones are then given the "6-12 months"
// of US EPA 2002 (from memory).
constexpr int new_pit_ready_day = 180, old_pits_rest_day = 365;
constexpr double median_leak_m3_per_day = 0.0162773;  // 4.3 gal/day, the file's default

std::string flow(const Scenario& s, double m3_per_day) {
  return spoken(m3_per_day, Quantity::flow, s.units);
}

PageCase more_people_case(const Scenario& s) {
  PageCase c{people_case, "Two more people", "", s, true};
  add_people(c.scenario.household, more_people);
  c.says = fmt::format("{} instead of {}.", people_words(c.scenario.household.occupants),
                       people_words(s.household.occupants));
  return c;
}

PageCase leak_case(const Scenario& s) {
  const bool leaks = leak_worth_fixing(s);
  PageCase c{"leak", leaks ? "The leak is fixed" : "A toilet runs", "", s, true};
  const double leak = leaks ? median_leak_m3_per_day : running_toilet_gal_per_day * us::gallon_m3;
  c.scenario.household.leak_m3_per_day = leak;
  for (HouseholdChange& change : c.scenario.household.changes)
    if (change.leak_m3_per_day) change.leak_m3_per_day = leak;
  c.says = leaks ? fmt::format("{} leak today; a sound house still drips {}.",
                               flow(s, s.household.leak_m3_per_day), flow(s, leak))
                 : fmt::format("It lets {} through, day and night.", flow(s, leak));
  return c;
}

PageCase laundry_case(const Scenario& s) {
  const bool spread = !s.household.laundry.days.empty() && s.household.laundry.days.size() < 3;
  PageCase c{"laundry", spread ? "Laundry spread over the week" : "All laundry on Saturday", "", s,
             true};
  const std::vector<unsigned> days =
      spread ? std::vector<unsigned>{} : std::vector<unsigned>{saturday};
  c.scenario.household.laundry.days = days;
  for (HouseholdChange& change : c.scenario.household.changes)
    if (change.laundry_days) change.laundry_days = days;
  c.says = "As many loads as now, on other days.";
  return c;
}

PageCase pumping(const Scenario& s) {
  const bool pumps = pumped_as_planned(s);
  PageCase c{pumping_case, pumps ? "The tank is never pumped again" : "The tank is pumped on time",
             "", s, true};
  PumpOutPolicy& other = c.scenario.tank.pump_out;
  other = {};
  if (!pumps) {
    other.kind = PumpOutPolicy::Kind::every;
    other.every_day = pump_every_year * 365.25;
  }
  c.says = pumps
               ? "The file has it pumped as planned."
               : fmt::format("Every {:.0f} years; the file has it never pumped.", pump_every_year);
  return c;
}

std::optional<PageCase> fixtures_case(const Scenario& s) {
  const HouseholdConfig& h = s.household;
  const auto same = [&](FixtureSetName name) {
    const FixtureSet set = fixture_set(name);
    return std::equal(h.fixtures.begin(), h.fixtures.end(), set.begin(),
                      [](const FixtureUse& a, const FixtureUse& b) {
                        return a.events_per_person_day == b.events_per_person_day &&
                               a.volume_m3 == b.volume_m3;
                      });
  };
  const bool later =
      std::ranges::any_of(h.changes, [](const HouseholdChange& c) { return bool(c.fixtures); });
  if (later || (!same(FixtureSetName::typical) && !same(FixtureSetName::old))) return {};
  PageCase c{"fixtures", "Water-saving toilets, showers and washer",
             "Fixtures of the efficient kind in place of today's.", s, true};
  c.scenario.household.fixtures = fixture_set(FixtureSetName::efficient);
  return c;
}

std::optional<PageCase> no_plan_case(const Scenario& s) {
  if (s.plan.empty()) return {};
  PageCase c{"no_plan", "Nothing is done at the box",
             "The work planned in the file is left undone.", s, true};
  c.scenario.plan.clear();
  return c;
}

std::string free_name(const Scenario& s) {
  std::string name = "new";
  const auto taken = [&](const std::string& n) {
    return std::ranges::any_of(s.pits, [&](const PitConfig& p) { return p.name == n; }) ||
           std::ranges::any_of(s.box.outlets,
                               [&](const BoxOutletConfig& o) { return o.name == n; });
  };
  for (int i = 2; taken(name); ++i) name = fmt::format("new {}", i);
  return name;
}

// A pit like the first one on an outlet of its own: first the old ones' outlets are raised, so that
// they rest and catch only what it cannot take, then all share.
std::optional<PageCase> new_pit_case(const Scenario& s) {
  const bool room = s.box.present && s.pits.size() < max_pits && s.box.outlets.size() < max_outlets;
  if (!room || !s.plan.empty() || s.years * 365.25 < new_pit_ready_day + old_pits_rest_day)
    return {};
  const auto round =
      std::ranges::find_if(s.pits, [](const PitConfig& p) { return !p.geometry.trench; });
  const auto open =
      std::ranges::find_if(s.box.outlets, [](const BoxOutletConfig& o) { return !o.capped; });
  if (round == s.pits.end() || open == s.box.outlets.end()) return {};
  const PitGeometry& g = round->geometry;
  PageCase c{new_pit_key, "A new pit, the old ones rest a year", "", s, false};
  Scenario& n = c.scenario;
  const std::string name = free_name(s);
  n.pits.push_back(new_pit(pit_pattern(s), 2.0 * g.radius_m, g.depth_m, name));
  BoxOutletConfig outlet = *open;
  outlet.name = name;
  outlet.pit = name;
  n.box.outlets.push_back(outlet);
  const std::size_t newest = s.box.outlets.size();
  const LevelerSetting setting = find_leveler_setting(n, {newest}, typical_week(n));
  n.box.outlets.back().capped = true;  // until it is built
  const Date ready = s.start + std::chrono::days(new_pit_ready_day);
  const Date back = ready + std::chrono::days(old_pits_rest_day);
  PlannedWork opened;
  opened.date = ready;
  opened.outlet = newest;
  opened.capped = false;
  n.plan.push_back(opened);
  for (const PlannedWork& work : raising_work(n, setting, ready)) n.plan.push_back(work);
  for (const std::size_t i : setting.outlets) n.plan.push_back(back_work(n, setting, i, back));
  c.says = fmt::format(
      "From {} on a pit as wide and deep as the {} gets the water first; the old ones rest and "
      "catch only what it cannot take. A year later all share.",
      month_and_year(ready), pit_label(*round));
  return c;
}

}  // namespace

bool leak_worth_fixing(const Scenario& s) {
  return s.household.leak_m3_per_day > 2.0 * median_leak_m3_per_day;
}

bool pumped_as_planned(const Scenario& s) {
  return s.tank.pump_out.kind != PumpOutPolicy::Kind::never || !s.tank.pump_out.dates.empty();
}

namespace {

struct NamedCase {
  const char* key;
  std::optional<PageCase> (*of)(const Scenario&);
};
constexpr NamedCase named_cases[] = {
    {people_case, [](const Scenario& s) { return std::optional(more_people_case(s)); }},
    {"leak", [](const Scenario& s) { return std::optional(leak_case(s)); }},
    {"laundry", [](const Scenario& s) { return std::optional(laundry_case(s)); }},
    {"fixtures", fixtures_case},
    {pumping_case, [](const Scenario& s) { return std::optional(pumping(s)); }},
    {"no_plan", no_plan_case},
    {new_pit_key, new_pit_case}};

}  // namespace

std::vector<PageCase> default_cases(const Scenario& s) {
  std::vector<PageCase> cases;
  for (const NamedCase& named : named_cases)
    if (auto c = named.of(s)) cases.push_back(std::move(*c));
  return cases;
}

std::optional<PageCase> default_case(const Scenario& s, const std::string& key) {
  for (const NamedCase& named : named_cases)
    if (named.key == key) return named.of(s);
  return std::nullopt;
}

void add_people(HouseholdConfig& household, double more) {
  double people = std::max(0.0, household.occupants + more);
  household.occupants = people;
  // Nobody is at home by day who does not live there.
  if (household.home_by_day) household.home_by_day = std::min(*household.home_by_day, people);
  for (HouseholdChange& change : household.changes) {
    if (change.occupants) change.occupants = people = std::max(0.0, *change.occupants + more);
    if (change.home_by_day) change.home_by_day = std::min(*change.home_by_day, people);
  }
}

}  // namespace restwell
