#include "sim/pump_study.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/occupancy.hpp"
#include "sim/parallel.hpp"

namespace restwell {
namespace {

Date end_of(const Scenario& scenario) {
  return date_of(scenario.start, days_of_years(scenario.years));
}

// The household as on a date, for good.
Scenario settled_on(const Scenario& scenario, Date date) {
  Scenario then = scenario;
  then.start = std::max(date, scenario.start);
  return as_today(then);
}

enum class Keep { all_days, dates_only };

Outlook look_ahead(const PumpStudy& s, double factor, Keep keep) {
  const Scenario& scenario = s.scenario;
  const TankStory& story = s.story;
  Outlook o;
  o.factor = factor;
  const Scenario fitted = with_solids(scenario, factor);
  for (std::size_t i = 0; i < story.stretches.size(); ++i) {
    const Stretch& stretch = story.stretches[i];
    const bool last = i + 1 == story.stretches.size();
    if (!last && keep == Keep::dates_only) continue;
    TankCourse course(fitted, stretch, s.mean_flow_m3_per_day);
    const Date until = last ? s.tank_end() : story.stretches[i + 1].begin;
    while (course.next_date() < until) {
      const Date date = course.next_date();
      if (last && date == scenario.start) o.at_start = course.state();
      if (last && date == story.now) o.at_now = course.state();
      const TankDay& day = course.next_day();
      if (keep == Keep::all_days) o.points.push_back({date, day.layers, day.readings});
      if (!last) continue;
      for (const Criterion c : s.criteria) {
        std::optional<Date>& met = o.met[static_cast<std::size_t>(c)];
        if (met || !criterion_met(c, day.readings, scenario.tank.limits)) continue;
        met = date;
        if (o.next) continue;
        o.next = date;
        o.by = c;
      }
      if (keep == Keep::dates_only && o.next) break;
    }
  }
  const Scenario today = settled_on(fitted, story.now);
  o.interval = first_mark(today, emptied_tank(today), longest_interval_day);
  return o;
}

Scenario with_people(const Scenario& today, double people, bool disposer) {
  Scenario other = today;
  HouseholdConfig& h = other.household;
  const double share = h.occupants > 0.0 ? people / h.occupants : 1.0;
  if (h.home_by_day) *h.home_by_day *= share;
  if (h.laundry.loads_per_week) *h.laundry.loads_per_week *= share;
  h.occupants = people;
  h.disposer = disposer;
  return other;
}

// One to eight, or around a larger household; the household's own number among them.
std::set<double> numbers_around(double people) {
  std::set<double> numbers = {people};
  const double first = std::max(1.0, std::floor(people) - 4.0);
  const double from = people <= 8.0 ? 1.0 : first;
  for (int k = 0; k < 8; ++k) numbers.insert(from + k);
  numbers.erase(0.0);
  return numbers;
}

void study_others(PumpStudy& s) {
  const HouseholdConfig& own = s.today.household;
  for (const double people : numbers_around(own.occupants)) {
    for (const bool disposer : {false, true}) {
      s.others.push_back({people, disposer, people == own.occupants && disposer == own.disposer,
                          std::nullopt, std::nullopt});
    }
  }
  for_each_parallel(s.others.size(), [&](std::size_t i) {
    OtherHousehold& o = s.others[i];
    const Scenario other = with_people(s.today, o.people, o.disposer);
    if (const auto next = first_mark(other, s.corrected.at_now, longest_other_day)) {
      o.next_day = next->day;
    }
    o.interval = o.as_given ? s.corrected.interval
                            : first_mark(other, emptied_tank(other), longest_other_day);
  });
}

PumpPlan run_plan(const PumpStudy& s, const std::string& name, const PumpOutPolicy& policy) {
  Scenario scenario = s.fitted;
  scenario.tank.pump_out = policy;
  for (const Date d : s.story.pumped) {
    if (d >= scenario.start) scenario.tank.pump_out.dates.push_back(d);
  }
  return {name, run(scenario, main_cases(scenario.biomat), {}, {0, nullptr, s.corrected.at_start})};
}

void study_plans(PumpStudy& s, const Progress& progress) {
  PumpOutPolicy when;
  when.kind = PumpOutPolicy::Kind::when;
  when.criteria = s.criteria;
  s.plans.resize(3);
  for_each_parallel(2, [&](std::size_t i) {
    if (i == 0) s.plans[0] = run_plan(s, "on time", when);
    if (i == 1) s.plans[2] = run_plan(s, "never", {});
  });
  progress.tell(0.8);
  PumpOutPolicy second;
  int due = 0;
  for (const int day : s.plans.front().run.pumped) {
    const Date date = date_of(s.scenario.start, day);
    const bool known =
        std::find(s.story.pumped.begin(), s.story.pumped.end(), date) != s.story.pumped.end();
    if (!known && ++due % 2 == 0) second.dates.push_back(date);
  }
  s.plans[1] = run_plan(s, "every second time", second);
}

}  // namespace

Date PumpStudy::end() const { return end_of(scenario); }

Date PumpStudy::tank_end() const {
  return std::max(end(), story.now + std::chrono::days(longest_interval_day));
}

PumpStudy study_dates(const Scenario& scenario, const TankStory& story, const Progress& progress) {
  PumpStudy s;
  s.scenario = scenario;
  s.story = story;
  s.mean_flow_m3_per_day = typical_week(scenario).mean_flow_m3_per_day;
  s.criteria = criteria_kept_when_clean(scenario, s.mean_flow_m3_per_day);
  const std::vector<Stretch>& stretches = story.stretches;  // as told
  progress.tell(0.0);
  if (tells_rate(stretches)) {
    s.fit = fit_solids(scenario, stretches);
    progress.tell(0.08);
    if (s.fit->found()) {
      SolidsFit off[2];  // the reading too low, too high
      for_each_parallel(2, [&](std::size_t i) {
        off[i] = fit_solids(scenario, stretches, i == 0 ? reading_error_m : -reading_error_m,
                            s.fit->factor);
      });
      progress.tell(0.15);
      struct Look {
        Outlook* to;
        double factor;
        Keep keep;
      };
      const Look looks[] = {{&s.prior, 1.0, Keep::all_days},
                            {&s.corrected, s.fit->factor, Keep::all_days},
                            {&s.earliest, off[0].factor, Keep::dates_only},
                            {&s.latest, off[1].factor, Keep::dates_only}};
      for_each_parallel(std::size(looks), [&](std::size_t i) {
        *looks[i].to = look_ahead(s, looks[i].factor, looks[i].keep);
      });
    } else {
      s.prior = look_ahead(s, 1.0, Keep::all_days);
      s.from_reading = true;
      const TankReading last = s.fit->fitted.back().measured;
      // A drop may follow the last reading that is fitted.
      if (s.story.stretches.back().begin <= last.date) {
        s.story.stretches.push_back({Stretch::From::reading, last.date, last, {}});
      }
      s.corrected = look_ahead(s, 1.0, Keep::all_days);
    }
  } else {
    s.prior = look_ahead(s, 1.0, Keep::all_days);
    s.corrected = s.prior;
  }
  progress.tell(0.25);
  s.fitted = with_solids(scenario, s.corrected.factor);
  s.today = settled_on(s.fitted, story.now);
  return s;
}

PumpStudy study_pumping(const Scenario& scenario, const TankStory& story,
                        const Progress& progress) {
  PumpStudy s = study_dates(scenario, story, progress);
  study_others(s);
  progress.tell(0.4);
  study_plans(s, progress);
  progress.tell(1.0);
  return s;
}

}  // namespace restwell
