#include "sim/page_cases.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "models/us_units.hpp"
#include "sim/new_pits.hpp"
#include "sim/old_pits_plan.hpp"
#include "sim/parallel.hpp"
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
  PageCase c{"more_people", "Two more people", "", s, true};
  c.scenario.household.occupants += more_people;
  for (HouseholdChange& change : c.scenario.household.changes)
    if (change.occupants) *change.occupants += more_people;
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

PageCase no_plan_case(const Scenario& s) {
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
  PageCase c{"new_pit", "A new pit, the old ones rest a year", "", s, false};
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

std::vector<PageCase> default_cases(const Scenario& s) {
  std::vector<PageCase> cases = {more_people_case(s), leak_case(s), laundry_case(s)};
  if (auto c = fixtures_case(s)) cases.push_back(std::move(*c));
  cases.push_back(pumping(s));
  if (!s.plan.empty()) cases.push_back(no_plan_case(s));
  if (auto c = new_pit_case(s)) cases.push_back(std::move(*c));
  return cases;
}

std::optional<Recovery> shown_recovery(const RunResult& r) {
  constexpr double noticeably = 0.95;
  const CaseRun& expected = r.cases[Cases::expected];
  Recovery recovery;
  double least = noticeably;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const PitLayout& pit = r.site.pits[p];
    const std::vector<double>& now = expected.profiles.front().resistance_day[p];
    const std::vector<double> clean(now.size(), expected.clog_case.biomat.clean_resistance_day);
    const double most = intake_when_full_m3_per_day(pit, clean);
    if (!(most > 0.0)) continue;
    const double share = intake_when_full_m3_per_day(pit, now) / most;
    if (share >= least) continue;
    least = share;
    recovery.pit = p;
    recovery.clean_m3_per_day = most;
  }
  if (!(least < noticeably)) return {};

  Scenario alone = r.scenario;
  alone.plan.clear();
  RestQuestion q;
  q.pit = recovery.pit;
  q.from = alone.start;
  q.flow_to = {WhileResting::Kind::haul, ""};
  q.service_day = 0.0;  // how long it lasts is not asked
  q.longest_rest_day = shown_rest_day;
  q.look_ahead_day = 1;
  const TankHistory history = tank_history(alone, shown_rest_day + 2);
  recovery.takes_m3_per_day.resize(Cases::first_partial);
  for_each_parallel(Cases::first_partial, [&](std::size_t k) {
    const RestCurve curve = rest_curve(alone, history, q, r.cases[k].clog_case, false);
    std::vector<double>& takes = recovery.takes_m3_per_day[k];
    takes.push_back(curve.points.front().takes_m3_per_day);
    takes.insert(takes.end(), curve.takes_m3_per_day.begin(), curve.takes_m3_per_day.end());
  });
  return recovery;
}

}  // namespace restwell
