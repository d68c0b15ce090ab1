#include "sim/pump_tables.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/answer.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

std::string key_of(std::string name) {
  std::replace(name.begin(), name.end(), ' ', '_');
  return name;
}

DatePoint date_point(const PumpStudy& s, std::optional<Date> date) {
  return {date, days_between(s.scenario.start, s.tank_end())};
}

Cell years_cell(const std::optional<MarkMet>& interval, int most_day = longest_interval_day) {
  if (!interval) return fmt::format("over {} years", most_day / 365);
  return fmt::format("{:.1f} years", interval->day / days_per_year);
}

}  // namespace

ReportTable next_table(const PumpStudy& s) {
  ReportTable t{"next_pump_out", "Next pump-out by each criterion", {}, {}, ""};
  t.columns = {{"mark", "when"}};
  if (s.fit) {
    t.columns.push_back({"prior", "household as given"});
    t.columns.push_back({"corrected", s.from_reading ? "from the reading on" : "by the reading"});
  } else {
    t.columns.push_back({"reached", "household as given"});
  }
  const auto cells = [&](const Outlook& o, Criterion c) -> Cell {
    if (std::find(s.criteria.begin(), s.criteria.end(), c) == s.criteria.end()) {
      return std::string("not kept even when clean");
    }
    return date_point(s, o.met[static_cast<std::size_t>(c)]);
  };
  for (const Criterion c : all_criteria) {
    std::vector<Cell> row = {criterion_reached(s.scenario, c), cells(s.prior, c)};
    if (s.fit) row.push_back(cells(s.corrected, c));
    t.rows.push_back(std::move(row));
  }
  std::vector<Cell> first = {std::string("the first of them"), date_point(s, s.prior.next)};
  std::vector<Cell> interval = {std::string("from a pump-out to the first of them"),
                                years_cell(s.prior.interval)};
  if (s.fit) {
    first.push_back(date_point(s, s.corrected.next));
    interval.push_back(years_cell(s.corrected.interval));
  }
  t.rows.push_back(std::move(first));
  t.rows.push_back(std::move(interval));
  t.note =
      "Dates if nothing is pumped until then. The last line: an emptied tank with the "
      "household of today.";
  return t;
}

ReportTable spread_table(const PumpStudy& s) {
  ReportTable t{"reading_error",
                fmt::format("If the reading is {} off (assumed)", stick_words(s, reading_error_m)),
                {},
                {},
                ""};
  t.columns = {{"reading", "sludge and scum"},
               {"rate", "solids per person"},
               {"like_people", "like people"},
               {"next", "next pump-out"},
               {"by", "by"},
               {"interval", "then every"}};
  const auto add = [&](const std::string& name, const Outlook& o) {
    t.rows.push_back({name,
                      fmt::format("{:.0f} g/day", 1e3 * solids_kg_per_person_day(s, o.factor)),
                      Number{like_people(s, o.factor), 1}, date_point(s, o.next),
                      o.next ? Cell(short_name(o.by)) : Cell(), years_cell(o.interval)});
  };
  add("as measured", s.corrected);
  add(stick_words(s, reading_error_m) + " more", s.earliest);
  add(stick_words(s, reading_error_m) + " less", s.latest);
  add("no reading", s.prior);
  t.note = fmt::format(
      "Solids per person: suspended, dry, without a disposer's part{}; published {:.0f} to {:.0f} "
      "g/day (US EPA 2002, table 3-7, quoted from memory). To let `restwell run` go on with the "
      "fitted rate, write into the file: assumptions: {{solids_per_person: {:.1f} g/day{}}}, and "
      "leave out found.",
      s.scenario.household.disposer ? ", which is scaled alike" : "",
      1e3 * published_least_kg_per_day, 1e3 * published_most_kg_per_day,
      1e3 * solids_kg_per_person_day(s, s.corrected.factor),
      s.scenario.household.disposer
          ? fmt::format(", disposer_solids_per_person: {:.1f} g/day",
                        1e3 * s.fitted.household_parameters.disposer_tss_kg_per_person_day)
          : std::string());
  return t;
}

ReportTable readings_table(const PumpStudy& s) {
  ReportTable t{"readings", "Readings and the model", {}, {}, ""};
  t.columns = {{"date", "date"},
               {"sludge", "sludge"},
               {"scum", "scum"},
               {"together", "together"},
               {"share", "of depth"},
               {"prior", "as given"},
               {"corrected", "fitted"},
               {"sludge_fitted", "sludge, fitted"},
               {"scum_fitted", "scum, fitted"},
               {"marks", "marks it meets"}};
  const auto length = [](double m) { return Amount{m, Quantity::small_length}; };
  const double depth = s.scenario.tank.tank.liquid_depth_m;
  const auto marks = [&](const TankReading& r) {
    std::vector<std::string> met;
    for (const Criterion c : marks_met_by(s, r)) {
      met.push_back(short_name(c));
    }
    return met.empty() ? std::string("none") : list_words(met);
  };
  const auto begun = [&](const TankReading& r) {
    t.rows.push_back({iso_date(r.date), length(r.sludge_m), length(r.scum_m), length(r.total_m()),
                      Share{r.total_m() / depth}, Cell(), Cell(), Cell(), Cell(), marks(r)});
  };
  std::size_t i = 0;
  for (const Stretch& stretch : s.story.stretches) {
    const bool added = s.from_reading && &stretch == &s.story.stretches.back();
    if (stretch.from == Stretch::From::reading && !added) begun(stretch.first);
    for (const TankReading& r : stretch.readings) {
      const double prior_m = s.fit->as_given[i].total_m();
      const ModelledReading& fitted = s.fit->fitted[i++];
      const auto if_found = [&](double m) { return s.fit->found() ? Cell(length(m)) : Cell(); };
      t.rows.push_back({iso_date(r.date), length(r.sludge_m), length(r.scum_m), length(r.total_m()),
                        Share{r.total_m() / depth}, length(prior_m), if_found(fitted.total_m()),
                        if_found(fitted.sludge_m), if_found(fitted.scum_m), marks(r)});
    }
  }
  t.note =
      "As given and fitted: sludge and scum together in the model on that morning. A reading "
      "without them is where a calculation starts. The fit meets sludge and scum together, not "
      "each: the model's scum is thin.";
  return t;
}

ReportTable others_table(const PumpStudy& s) {
  ReportTable t{"people", "How the date moves: people and a disposer, from now on", {}, {}, ""};
  t.columns = {{"people", "people"},
               {"next", "next pump-out"},
               {"interval", "then every"},
               {"next_disposer", "with a disposer"},
               {"interval_disposer", "then every "},
               {"as_given", ""}};
  const int now = days_between(s.scenario.start, s.story.now);
  const auto next = [&](const OtherHousehold& o) -> Cell {
    if (!o.next_day) return fmt::format("over {} years", longest_other_day / 365);
    if (*o.next_day == 0) return std::string("due now");
    return DayPoint{now + *o.next_day};
  };
  for (std::size_t i = 0; i + 1 < s.others.size(); i += 2) {
    const OtherHousehold& without = s.others[i];
    const OtherHousehold& with = s.others[i + 1];
    std::string as_given;
    if (without.as_given) as_given = "as now, without";
    if (with.as_given) as_given = "as now, with";
    t.rows.push_back({Number{without.people, without.people == std::floor(without.people) ? 0 : 1},
                      next(without), years_cell(without.interval, longest_other_day), next(with),
                      years_cell(with.interval, longest_other_day), as_given});
  }
  const HouseholdParameters& p = s.fitted.household_parameters;
  t.note = fmt::format(
      "From {} on, as full as the tank is then, with {:.0f} g of solids per person and day and "
      "{:.0f} g more with a disposer{}. Without changes, guests and absences that the file plans.",
      iso_date(s.story.now), 1e3 * p.tss_kg_per_person_day, 1e3 * p.disposer_tss_kg_per_person_day,
      s.fit ? " (fitted)" : "");
  return t;
}

ReportTable pit_life_table(const PumpStudy& s) {
  ReportTable t{"pit_life", "What skipping does to the pits", {}, {}, ""};
  t.columns = {{"event", "event"}, {"case", "case"}};
  for (const PumpPlan& p : s.plans) {
    t.columns.push_back({key_of(p.name), "pumped " + p.name});
  }
  t.columns.push_back({"lost", "life lost if never"});
  const int days = s.plans.front().run.days();
  const auto add = [&](const char* event, auto get) {
    for (const std::size_t k : Cases::early_to_late) {
      std::vector<Cell> row = {std::string(event), s.plans.front().run.cases[k].clog_case.name};
      for (const PumpPlan& p : s.plans) row.emplace_back(DayPoint{get(p.run.cases[k])});
      const std::string lost =
          lost_words(get(s.plans.front().run.cases[k]), get(s.plans.back().run.cases[k]), days);
      row.push_back(lost.empty() ? std::string("none") : lost);
      t.rows.push_back(std::move(row));
    }
  };
  add("first full pit", [](const CaseRun& c) { return first_pit_full(c); });
  add("overflow", [](const CaseRun& c) { return c.first_leaves; });
  for (const std::size_t k : Cases::early_to_late) {
    std::vector<Cell> row = {std::string("taken in when full, at the end"),
                             s.plans.front().run.cases[k].clog_case.name};
    for (const PumpPlan& p : s.plans) {
      row.push_back(Amount{capacity_at_end(p.run.cases[k]), Quantity::flow});
    }
    row.emplace_back();
    t.rows.push_back(std::move(row));
  }
  std::vector<std::string> times;
  for (const PumpPlan& p : s.plans) {
    times.push_back(fmt::format("{} {}", p.run.pumped.size(),
                                p.run.pumped.size() == 1 ? "pump-out" : "pump-outs"));
  }
  t.note = fmt::format(
      "On time: whenever a mark is met, {}. Every second time: at every second of those dates, {}. "
      "Never again: {}. Cases: of the clogging, as in `restwell run`. A reading tells solids, not "
      "BOD: the pits' load of BOD is as given.",
      times[0], times[1], times[2]);
  return t;
}

ReportTable leaving_table(const PumpStudy& s) {
  ReportTable t{"leaving_tank", "Solids that leave the tank for the pits", {}, {}, ""};
  t.columns = {{"year", "year"}};
  for (const PumpPlan& p : s.plans) {
    t.columns.push_back({key_of(p.name), p.name});
    t.columns.push_back({key_of(p.name) + "_scoured", "of it scoured"});
  }
  const int days = s.plans.front().run.days();
  const int years = static_cast<int>(std::floor(days / days_per_year + 0.01));
  for (const int year : {1, 2, 3, 5, 7, 10, 15, 20, 30, 40, 50, 70, 100}) {
    if (year > years) break;
    const int from = days_to_year_end(s.plans.front().run.scenario.start, year - 1, days);
    const int to = days_to_year_end(s.plans.front().run.scenario.start, year, days);
    std::vector<Cell> row = {Number{static_cast<double>(year), 0}};
    for (const PumpPlan& p : s.plans) {
      const SolidsLeaving sum = solids_leaving(p.run, from, to);
      row.push_back(Amount{sum.all_kg / (to - from), Quantity::mass_per_year});
      row.push_back(Amount{sum.scoured_kg / (to - from), Quantity::mass_per_year});
    }
    t.rows.push_back(std::move(row));
  }
  t.note = "Scoured: torn from sludge and scum that stand too near the outlet's mouth.";
  return t;
}

ReportTable assumed_table(const PumpStudy& s) {
  ReportTable t{"pump_assumptions", "Assumed for the readings and dates", {}, {}, ""};
  t.columns = {{"what", "what"}, {"value", "value"}, {"basis", "basis"}};
  const HouseholdParameters& p = s.scenario.household_parameters;
  t.rows = {
      {std::string("a reading of sludge and scum may be off by"), stick_words(s, reading_error_m),
       std::string("assumed")},
      {std::string("a reading that a calculation starts from"), std::string("exact"),
       std::string("assumed: only the readings after it are taken to be off")},
      {std::string("solids per person before the reading"),
       fmt::format("{:.0f} g/day", 1e3 * p.tss_kg_per_person_day),
       std::string("US EPA 2002, table 3-7: 35 to 75, from memory")},
      {std::string("more with a disposer"),
       fmt::format("{:.1f} g/day", 1e3 * p.disposer_tss_kg_per_person_day),
       std::string("US EPA 2002, table 3-8, from memory")},
      {std::string("sludge and scum at the mark"),
       fmt::format("{:.0f} %", 100.0 * s.scenario.tank.limits.solids_share_of_depth),
       std::string("30 % is common practice; marks: in the file")},
      {std::string("a later reading lower by more than this means: pumped since"),
       stick_words(s, drop_means_pumped_m), std::string("assumed")},
      {std::string("before the start the house was lived in as on"), iso_date(s.scenario.start),
       std::string("assumed: readings include what was otherwise")},
      {std::string("a pump-out leaves, of what was in the tank, at most"),
       fmt::format("{:.0f} %", 100.0 * s.scenario.tank_parameters.left_after_pumping),
       std::string("assumed; the last pump-out known is taken as complete")}};
  return t;
}

}  // namespace restwell
