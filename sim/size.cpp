#include "sim/size.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "models/constants.hpp"
#include "sim/parallel.hpp"
#include "sim/water_table.hpp"

namespace restwell {
namespace {

int whole_days(double days) { return static_cast<int>(std::lround(days)); }

// Feeds of one household, by number of pits.
using Feeds = std::map<int, PitFeed>;

Feeds feeds_of(const Scenario& scenario, const TankHistory& history, int days,
               const std::vector<int>& counts) {
  Feeds feeds;
  for (const int n : counts) feeds.emplace(n, pit_feed(scenario, history, days, n));
  return feeds;
}

FlowBasis flow_basis(double people, const TankHistory& history, int days) {
  FlowBasis basis;
  basis.people = people;
  basis.flow_m3_per_day = history.week.mean_flow_m3_per_day;
  for (int d = 0; d < days; ++d)
    basis.mean_flow_m3_per_day += history.days[static_cast<std::size_t>(d)].outflow_m3 / days;
  return basis;
}

// The sizes on one site, under the cases of clogging.
class Trials {
 public:
  Trials(const Scenario& site, const PitPattern& pattern)
      : site_(site), pattern_(pattern), cases_(main_cases(site.biomat)) {}

  [[nodiscard]] std::optional<int> life(const PitSize& size, const Feeds& feeds,
                                        std::size_t which) const {
    return life_day(site_, new_pit(pattern_, size.diameter_m, size.depth_m, "new"),
                    feeds.at(size.count), cases_[which].biomat);
  }
  // tried: the same size as tried by the case `which`, or nothing.
  [[nodiscard]] Lives lives(const PitSize& size, const Feeds& feeds,
                            const TriedSize* tried = nullptr, std::size_t which = 0) const {
    Lives all;
    for (const std::size_t c : {Cases::expected, Cases::early})
      all[c] = tried != nullptr && which == c ? tried->life_day : life(size, feeds, c);
    // Late clogs less and decays more: it outlives what outlives the years looked at.
    if (all[Cases::expected]) all[Cases::late] = life(size, feeds, Cases::late);
    return all;
  }

 private:
  const Scenario& site_;
  const PitPattern& pattern_;
  std::vector<ClogCase> cases_;
};

bool lasts(const std::optional<int>& life, int days) { return !life || *life >= days; }

std::size_t case_asked(const SizeQuestion& q) {
  return q.by == LifeBy::early ? Cases::early : Cases::expected;
}

const TriedSize* find_tried(const SizeResult& r, const PitSize& size) {
  const auto found = std::ranges::find_if(r.tried, [&](const TriedSize& t) {
    return t.size.diameter_m == size.diameter_m && t.size.depth_m == size.depth_m &&
           t.size.count == size.count;
  });
  return found == r.tried.end() ? nullptr : &*found;
}

// One diameter and number: the sizes tried, the last of which lasts if any does.
struct Column {
  std::vector<TriedSize> tried;
  bool lasts = false;
};

Column search_depth(const SizeResult& r, const Trials& trials, const Feeds& feeds,
                    double diameter_m, int count) {
  const std::size_t which = case_asked(r.question);
  Column column;
  for (const double depth : r.depths_m) {
    const PitSize size{diameter_m, depth, count};
    column.tried.push_back({size, trials.life(size, feeds, which)});
    column.lasts = lasts(column.tried.back().life_day, r.life_day);
    if (column.lasts) break;
  }
  return column;
}

Choice priced(const SizeResult& r, const PitSize& size) {
  Choice c;
  c.size = size;
  c.dug_m3 = dug_m3(r.pattern, size);
  c.cost = r.question.costs
               ? r.question.costs->per_pit * size.count + r.question.costs->per_m3 * c.dug_m3
               : c.dug_m3;
  c.asks = code_ask(r.site.soil, r.pattern.config.inlet_depth_m, size, r.code_basis);
  return c;
}

void sort_by_cost(std::vector<Choice>& choices) {
  std::ranges::stable_sort(choices, {}, &Choice::cost);
}

template <typename T>
void keep_first(std::vector<T>& all, std::size_t count) {
  if (all.size() > count) all.erase(all.begin() + static_cast<std::ptrdiff_t>(count), all.end());
}

// The least depth from the one that lasts on at which the PHS table is met too.
std::optional<Choice> deep_enough_for_table(const SizeResult& r, const PitSize& size) {
  for (const double depth : r.depths_m) {
    if (depth < size.depth_m) continue;
    Choice c = priced(r, {size.diameter_m, depth, size.count});
    if (c.asks.meets_phs()) return c;
  }
  return std::nullopt;
}

void choose(SizeResult& r, const std::vector<Column>& columns) {
  for (const Column& column : columns) {
    r.tried.insert(r.tried.end(), column.tried.begin(), column.tried.end());
    if (column.tried.empty()) continue;
    Choice c = priced(r, column.tried.back().size);
    (column.lasts ? r.choices : r.nearest).push_back(c);
    if (!column.lasts) continue;
    if (const auto deeper = deep_enough_for_table(r, c.size)) r.table_choices.push_back(*deeper);
  }
  r.lasting = r.choices.size();
  sort_by_cost(r.choices);
  sort_by_cost(r.table_choices);
  keep_first(r.choices, most_choices_listed);
  keep_first(r.table_choices, most_table_choices);
  if (r.choices.empty()) {
    const auto life = [&](const Choice& c) {
      return -find_tried(r, c.size)->life_day.value_or(r.look_day);
    };
    std::ranges::stable_sort(r.nearest, {}, life);
    keep_first(r.nearest, most_nearest_listed);
  } else {
    r.nearest.clear();
    if (r.choices.front().asks.meets_phs()) r.table_choices.clear();
  }
}

void find_next_pump_out(SizeResult& r, const TankHistory& history) {
  const auto first = [&](auto is_it) -> std::optional<int> {
    const auto day = std::ranges::find_if(history.days, is_it);
    if (day == history.days.end()) return std::nullopt;
    return static_cast<int>(day - history.days.begin());
  };
  r.next_pump_out = first([](const TankDay& d) { return d.pumped; });
  r.pump_out_planned = r.next_pump_out.has_value();
  const std::optional<int> due = first([&](const TankDay& d) {
    return criterion_met(Criterion::solids, d.readings, r.site.tank.limits);
  });
  if (!r.pump_out_planned) {
    r.next_pump_out = due;
  } else if (due && *due < *r.next_pump_out - pump_out_late_day) {
    r.pump_out_due = due;
  }
}

// The plan of the old pits, and all of it run through.
BestChoice best_choice(const SizeResult& r, const LoadedScenario& site,
                       const TankHistory& history) {
  const PitSize& size = picked(r).size;
  const double years = r.question.life_day / days_per_year + look_beyond_years;
  const auto build = [&](const std::vector<PlannedWork>& work) {
    return build_choice(site, r.pattern, size, r.question.old_pits, work, years);
  };
  BestChoice best;
  best.built = build({});
  if (r.question.old_pits == OldPits::keep) {
    best.leveler = find_leveler_setting(best.built.scenario, best.built.new_outlets, history.week);
    best.work = raising_work(r.site, *best.leveler, r.site.start);
    best.built = build(best.work);
    best.old_pits = find_ready_days(best.built, *best.leveler, history, r.question.service_day);
    for (const OldPitBack& old : best.old_pits) {
      if (const auto day = old.ready_day[Cases::expected])
        best.work.push_back(
            back_work(r.site, *best.leveler, old.outlet, date_of(r.site.start, *day)));
    }
    std::ranges::stable_sort(best.work, {}, &PlannedWork::date);
    best.built = build(best.work);
  }
  best.run = run(best.built.scenario, main_cases_for_dates(best.built.scenario.biomat));
  return best;
}

// Before anything is run.
SizeResult asked(const LoadedScenario& site, const SizeQuestion& question) {
  SizeResult r;
  r.site = site.scenario;
  r.question = question;
  r.pattern = pit_pattern(r.site);
  r.life_day = whole_days(question.life_day);
  r.look_day = whole_days(question.life_day + look_beyond_years * days_per_year);
  r.code_basis = code_basis(r.site);
  for (const double depth : question.depths_m) {
    const bool clear =
        !r.site.soil.water_table || r.pattern.config.inlet_depth_m + depth + r.site.separation_m <=
                                        shallowest_table_m(*r.site.soil.water_table) * (1.0 + 1e-9);
    (clear ? r.depths_m : r.depths_too_deep_m).push_back(depth);
  }
  return r;
}

// What the tank sends, with the household and with the codes'.
struct Sent {
  TankHistory history;    // of the household, for the old pits' plan
  Feeds household, code;  // code: if asked for
};

Sent run_tanks(SizeResult& r) {
  const SizeQuestion& q = r.question;
  const int history_day =
      std::max(r.look_day, longest_rest_day + rest_step_day + whole_days(q.service_day));
  const Scenario code_site = under_code_flow(r.site, r.code_basis);
  Sent sent;
  for_each_parallel(q.basis == Basis::household ? 1 : 2, [&](std::size_t i) {
    if (i == 0) {
      sent.history = tank_history(r.site, history_day);
      sent.household = feeds_of(r.site, sent.history, r.look_day, q.pits);
      r.household = flow_basis(r.site.household.occupants, sent.history, r.life_day);
    } else {
      const TankHistory code_history = tank_history(code_site, r.look_day);
      sent.code = feeds_of(code_site, code_history, r.look_day, q.pits);
      r.code = flow_basis(r.code_basis.people, code_history, r.life_day);
    }
  });
  return sent;
}

// Lives of all that is listed, under all cases and both flows.
void find_lives(SizeResult& r, const Trials& trials, const Sent& sent, PieceCounter& counter,
                const std::vector<Choice*>& listed) {
  const bool by_code = r.question.basis == Basis::code;
  const std::size_t which = case_asked(r.question);
  for_each_parallel(listed.size(), [&](std::size_t i) {
    Choice& c = *listed[i];
    const TriedSize* tried = find_tried(r, c.size);
    c.household = trials.lives(c.size, sent.household, by_code ? nullptr : tried, which);
    if (r.question.basis != Basis::household)
      c.code = trials.lives(c.size, sent.code, by_code ? tried : nullptr, which);
    counter.one_done();
  });
}

// Days of the first overflow if nothing is built.
std::vector<int> overflow_untouched(const SizeResult& r) {
  Scenario untouched = r.site;
  untouched.years = r.question.life_day / days_per_year;
  std::vector<ClogCase> until_overflow = main_cases(untouched.biomat);
  for (ClogCase& c : until_overflow) c.follow = Follow::until_overflow;
  std::vector<int> days;
  for (const CaseRun& c : run(untouched, until_overflow).cases) days.push_back(c.first_leaves);
  return days;
}

void try_other_soils(SizeResult& r, const Feeds& feeds) {
  r.soil = {{0.5, {}}, {1.0, {}}, {2.0, {}}};
  for_each_parallel(r.soil.size(), [&](std::size_t i) {
    Scenario other = r.site;
    for (SoilLayer& layer : other.soil.layers) layer.soil.kfs_m_per_day *= r.soil[i].factor;
    r.soil[i].life = Trials(other, r.pattern).lives(picked(r).size, feeds);
  });
}

}  // namespace

const Choice& picked(const SizeResult& r) {
  const bool by_table = r.question.basis == Basis::both && !r.table_choices.empty();
  return by_table ? r.table_choices.front() : r.choices.front();
}

SizeResult size_pits(const LoadedScenario& loaded, const SizeQuestion& question,
                     const Progress& progress) {
  LoadedScenario site = loaded;
  site.scenario.plan.clear();  // the box starts as found
  SizeResult r = asked(site, question);
  r.plan_left_out = !loaded.scenario.plan.empty();
  const Sent sent = run_tanks(r);
  const Feeds& feeds = question.basis == Basis::code ? sent.code : sent.household;
  progress.tell(0.2);
  find_next_pump_out(r, sent.history);

  const Trials trials(r.site, r.pattern);
  const std::size_t diameters = question.diameters_m.size();
  std::vector<Column> columns(diameters * question.pits.size());
  PieceCounter searched(progress, 0.2, 0.6, columns.size());
  for_each_parallel(columns.size(), [&](std::size_t i) {
    columns[i] = search_depth(r, trials, feeds, question.diameters_m[i % diameters],
                              question.pits[i / diameters]);
    searched.one_done();
  });
  choose(r, columns);

  std::vector<Choice*> listed;
  for (auto* list : {&r.choices, &r.table_choices, &r.nearest})
    for (Choice& c : *list) listed.push_back(&c);
  PieceCounter lived(progress, 0.6, 0.75, std::max<std::size_t>(1, listed.size()));
  find_lives(r, trials, sent, lived, listed);
  // In layers a deeper pit may take less: what meets the table must last as well.
  std::erase_if(r.table_choices, [&](const Choice& c) {
    const Lives& life = question.basis == Basis::code ? *c.code : c.household;
    return !lasts(life[case_asked(question)], r.life_day);
  });
  // None of these needs another; the longest first.
  enum { plan, other_soils, untouched, all };
  const int first = r.choices.empty() ? untouched : plan;
  for_each_parallel(static_cast<std::size_t>(all - first), [&](std::size_t i) {
    switch (first + static_cast<int>(i)) {
      case plan:
        r.best = best_choice(r, site, sent.history);
        break;
      case other_soils:
        try_other_soils(r, feeds);
        break;
      default:
        r.as_it_is = overflow_untouched(r);
    }
  });
  progress.tell(1.0);
  return r;
}

}  // namespace restwell
