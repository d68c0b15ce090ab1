#include "sim/report_tables.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "models/constants.hpp"
#include "models/pipe.hpp"
#include "models/us_units.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// Design flow of US codes: 150 gal/day per bedroom (common practice, range 90-200).
constexpr double code_gal_per_bedroom_day = 150;
// Line between tank and box: a fall of an eighth of an inch per foot, old pipe (common practice).
constexpr double line_slope = 1.0 / 96.0;
constexpr double line_roughness = 0.013;

// Years worth a row: all of the first five, then fewer.
std::vector<int> shown_years(int days) {
  std::vector<int> years;
  const int last = static_cast<int>(std::floor(days / days_per_year + 0.01));
  for (const int y : {1, 2, 3, 4, 5, 7, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100}) {
    if (y <= last) years.push_back(y);
  }
  if (years.empty() || years.back() != last) {
    if (last > 0) years.push_back(last);
  }
  return years;
}

// Mean over the days [from, to) of what `get` reads.
template <typename Get>
double mean(const RunResult& r, int from, int to, Get get) {
  double sum = 0.0;
  for (int d = from; d < to; ++d) sum += get(r.tank[static_cast<std::size_t>(d)]);
  return to > from ? sum / (to - from) : 0.0;
}

}  // namespace

std::string outlet_label(const Scenario& scenario, std::size_t outlet) {
  const BoxOutletConfig& config = scenario.box.outlets[outlet];
  return config.name.empty() ? pit_label(scenario, config.pit) : config.name;
}

std::vector<std::size_t> outlets_used(const RunResult& r) {
  std::set<std::size_t> used;
  for (const Phase& phase : r.phases) {
    used.insert(phase.site.outlet_config.begin(), phase.site.outlet_config.end());
  }
  return {used.begin(), used.end()};
}

ReportTable household_table(const RunResult& r) {
  const int days = r.days();
  const int year = days_to_year_end(r.scenario.start, 1, days);
  const int from_last = days - year;
  ReportTable t{"household", "Household: what goes down the drain", {}, {}, ""};
  t.columns = {{"what", "what"}, {"first_year", "first year"}, {"last_year", "last year"}};
  const auto add = [&](const char* what, auto get, Quantity q) {
    t.rows.push_back({std::string(what), Amount{mean(r, 0, year, get), q},
                      Amount{mean(r, from_last, days, get), q}});
  };
  t.rows.push_back(
      {std::string("people living there, mean over the year"),
       Number{mean(r, 0, year, [](const TankRecord& d) { return d.residents; }), 1},
       Number{mean(r, from_last, days, [](const TankRecord& d) { return d.residents; }), 1}});
  add(
      "water, mean", [](const TankRecord& d) { return d.inflow_m3; }, Quantity::flow);
  const auto foreign = [](const TankRecord& d) { return d.foreign_m3; };
  if (mean(r, 0, days, foreign) > 0.0) {
    add("  of it water that does not belong there", foreign, Quantity::flow);
  }
  const auto busiest = [&](int from, int to) {
    double most = 0.0;
    for (int d = from; d < to; ++d) {
      most = std::max(most, r.tank[static_cast<std::size_t>(d)].inflow_m3);
    }
    return Amount{most, Quantity::flow};
  };
  t.rows.push_back(
      {std::string("water on the busiest day"), busiest(0, year), busiest(from_last, days)});
  add(
      "solids into the tank (suspended, dry)", [](const TankRecord& d) { return d.tss_in_kg; },
      Quantity::mass_per_year);
  if (r.scenario.household.bedrooms > 0) {
    const Amount design{r.scenario.household.bedrooms * code_gal_per_bedroom_day * us::gallon_m3,
                        Quantity::flow};
    t.rows.push_back(
        {fmt::format("codes' design flow for {} bedrooms", r.scenario.household.bedrooms), design,
         design});
    const bool metric = r.scenario.units == UnitSystem::metric;
    const auto flow = [metric](double gal_per_day) {
      return std::lround(gal_per_day * (metric ? us::gallon_m3 * 1000 : 1));
    };
    t.note = fmt::format(
        "Design flow: {} {unit} per bedroom, common practice, {} to {} {unit} by code; it does not "
        "enter the run.",
        flow(code_gal_per_bedroom_day), flow(90), flow(200),
        fmt::arg("unit", metric ? "L/day" : "gal/day"));
  }
  return t;
}

ReportTable pump_out_table(const RunResult& r) {
  const PumpOutLimits& limits = r.scenario.tank.limits;
  const PumpOutReadings& now = r.tank.front().readings;
  ReportTable t{"pump_out", "Tank: when to pump, by four criteria", {}, {}, ""};
  t.columns = {{"criterion", "criterion"},
               {"mark", "pump at"},
               {"at_start", "at the start"},
               {"reached", "first reached"},
               {"interval", "then every"}};
  const auto interval = [](const CriterionDates& c) -> Cell {
    if (c.met.size() < 2) return std::monostate{};
    const double years = (c.met.back() - c.met.front()) / days_per_year;
    return fmt::format("{:.1f} years", years / static_cast<double>(c.met.size() - 1));
  };
  const auto days_text = [](double day) -> Cell {
    if (!std::isfinite(day)) return std::monostate{};
    return fmt::format("{:.1f} days", day);
  };
  const auto clearance = [](double m) -> Cell {
    if (!std::isfinite(m)) return std::string("no baffle");
    return Amount{m, Quantity::small_length};
  };
  const auto or_less = [&](double m) {
    return show_text(m, Quantity::small_length, r.scenario.units) + " or less";
  };
  for (const CriterionDates& c : r.criteria) {
    const DayPoint reached{c.met.empty() ? never : c.met.front()};
    Cell mark, value;
    switch (c.criterion) {
      case Criterion::solids:
        mark = fmt::format("{:.0f} % or more", 100.0 * limits.solids_share_of_depth);
        value = Share{now.solids_share_of_depth};
        break;
      case Criterion::sludge_clearance:
        mark = or_less(limits.sludge_clearance_m);
        value = clearance(now.sludge_clearance_m);
        break;
      case Criterion::scum_clearance:
        mark = or_less(limits.scum_clearance_m);
        value = clearance(now.scum_clearance_m);
        break;
      case Criterion::retention:
        mark = fmt::format("{:.3g} hours or less", 24.0 * limits.retention_day);
        value = days_text(now.retention_day);
        break;
    }
    std::string name = criterion_words(c.criterion);
    if (c.criterion == Criterion::solids) name += ", part of the liquid depth";
    if (met_when_clean(c.criterion, r.scenario, r.week.mean_flow_m3_per_day)) {
      t.rows.push_back({name, mark, value, std::string("not kept even when clean"), Cell()});
      continue;
    }
    t.rows.push_back({name, mark, value, reached, interval(c)});
  }
  if (!r.pumped.empty()) {
    std::vector<std::string> dates;
    for (std::size_t i = 0; i < std::min<std::size_t>(r.pumped.size(), 6); ++i) {
      dates.push_back(iso_date(date_of(r.scenario.start, r.pumped[i])));
    }
    if (r.pumped.size() > dates.size()) {
      dates.push_back(fmt::format("{} more", r.pumped.size() - dates.size()));
    }
    int dry = 0;
    const auto first = static_cast<std::size_t>(r.pumped.front());
    for (std::size_t d = first; d < r.tank.size() && r.tank[d].refilling; ++d) ++dry;
    const bool refills = first + static_cast<std::size_t>(dry) < r.tank.size();
    t.note = fmt::format(
        "Pumped in this run on {}. After a pump-out nothing leaves the tank until it has refilled: "
        "{}.",
        list_words(dates),
        refills ? fmt::format("about {} days the first time", dry) : "not within these years");
  } else {
    t.note = "The tank is not pumped in this run.";
  }
  t.note +=
      r.pump_interval_day == never
          ? std::string(" From one pump-out to the next mark: more than 15 years at today's use.")
          : fmt::format(" From a pump-out to {} at today's use: {:.1f} years.",
                        fmt::format("{:.0f} % of the depth", 100.0 * limits.solids_share_of_depth),
                        r.pump_interval_day / days_per_year);
  return t;
}

ReportTable tank_by_year_table(const RunResult& r) {
  ReportTable t{"tank_by_year", "Tank: what is in it and what leaves it", {}, {}, ""};
  t.columns = {{"year", "after years"},
               {"sludge", "sludge"},
               {"scum", "scum"},
               {"solids_share", "part of depth"},
               {"effluent_tss", "solids out"},
               {"effluent_bod", "BOD out"},
               {"carried_over", "scoured from layers"}};
  const auto row = [&](int from, int to, double year) {
    const TankRecord& end = r.tank[static_cast<std::size_t>(to - 1)];
    const double water = mean(r, from, to, [](const TankRecord& d) { return d.outflow_m3; });
    const auto strength = [&](auto get) -> Cell {
      if (!(water > 0.0)) return std::monostate{};
      return Amount{mean(r, from, to, get) / water, Quantity::concentration};
    };
    t.rows.push_back(
        {Number{year, 0}, Amount{end.layers.sludge_first_m, Quantity::small_length},
         Amount{end.layers.scum_first_m, Quantity::small_length},
         Share{end.readings.solids_share_of_depth},
         strength([](const TankRecord& d) { return d.tss_out_kg; }),
         strength([](const TankRecord& d) { return d.bod_out_kg; }),
         Amount{mean(r, from, to, [](const TankRecord& d) { return d.carried_over_kg; }),
                Quantity::mass_per_year}});
  };
  for (const int y : shown_years(r.days())) {
    const auto end = [&](int year) { return days_to_year_end(r.scenario.start, year, r.days()); };
    row(end(y - 1), end(y), y);
  }
  t.note = "Depths at the year's end, in the inlet compartment; what leaves is the year's mean.";
  return t;
}

ReportTable outlet_flow_table(const RunResult& r) {
  ReportTable t{"outlet_flow", "Tank outlet: flow through the day", {}, {}, ""};
  t.columns = {{"what", "what"}, {"flow", "flow"}};
  const FlowHistogram& h = r.effluent;
  int commonest = 0;
  double volume = 0.0;
  for (int b = 0; b < FlowHistogram::bins; ++b) {
    if (h.day[b] > h.day[commonest]) commonest = b;
    volume += h.day[b] * h.bin_middle_m3_per_day(b);
  }
  int median = 0;
  double below = 0.0;
  for (int b = 0; b < FlowHistogram::bins; ++b) {
    below += h.day[b] * h.bin_middle_m3_per_day(b);
    if (below >= 0.5 * volume) {
      median = b;
      break;
    }
  }
  double peak = 0.0;
  for (const TankRecord& d : r.tank) peak = std::max(peak, d.peak_outflow_m3_per_day);
  if (!(volume > 0.0)) return t;
  t.rows.push_back({std::string("most of the time"),
                    Amount{h.bin_middle_m3_per_day(commonest), Quantity::minute_flow}});
  t.rows.push_back({std::string("half of the water leaves faster than"),
                    Amount{h.bin_middle_m3_per_day(median), Quantity::minute_flow}});
  t.rows.push_back({std::string("highest in the run"), Amount{peak, Quantity::minute_flow}});
  const double diameter = r.scenario.tank.tank.outlet.diameter_m;
  const double full = full_pipe_flow_m3_per_day(diameter, line_slope, line_roughness);
  t.note = peak < full
               ? fmt::format(
                     "At the peak a {} line with a fall of 1 in 96 (an eighth of an inch per foot) "
                     "runs {:.0f} % deep.",
                     show_text(diameter, Quantity::small_length, r.scenario.units),
                     100.0 * normal_depth_ratio(peak / full))
               : std::string("The peak is more than the line carries at a fall of 1 in 96.");
  return t;
}

std::vector<double> shares_with_lift(const RunResult& r, std::size_t moved, double lift_m) {
  SiteLayout site = r.site;
  site.outlets[moved].lip_m += lift_m;
  return free_shares(r.week, site);
}

ReportTable box_table(const RunResult& r) {
  ReportTable t{"box", "Box: who gets the water", {}, {}, ""};
  if (!r.site.box_present) {
    t.title = "No box: one pipe from the tank";
    t.columns = {{"outlet", "outlet"}, {"share", "share"}};
    t.rows.push_back({pit_label(r.scenario.pits[r.site.outlet_pit.front()]), Share{1.0}});
    return t;
  }
  const std::string eighth = r.scenario.units == UnitSystem::us ? "1/8 in" : "3.2 mm";
  t.columns = {{"outlet", "outlet"},
               {"pit", "leads to"},
               {"lip", "lip over lowest"},
               {"share", "share"},
               {"raised", "raised " + eighth},
               {"lowered", "lowered " + eighth},
               {"share_first_year", "first year"},
               {"share_last_year", "last year"}};
  double lowest = r.site.outlets.front().lip_m;
  for (const BoxOutlet& o : r.site.outlets) lowest = std::min(lowest, o.lip_m);
  const CaseRun& expected = r.cases[Cases::expected];
  const auto year_share = [&](std::size_t outlet, bool last) -> Cell {
    double all = 0.0;
    for (const auto& by_year : expected.outlet_m3_by_year) {
      all += last ? by_year.back() : by_year.front();
    }
    const auto& own = expected.outlet_m3_by_year[outlet];
    if (!(all > 0.0)) return std::monostate{};
    return Share{(last ? own.back() : own.front()) / all};
  };
  for (std::size_t i = 0; i < r.site.outlets.size(); ++i) {
    const std::size_t outlet = r.site.outlet_config[i];
    t.rows.push_back({outlet_label(r.scenario, outlet),
                      pit_label(r.scenario.pits[r.site.outlet_pit[i]]),
                      Amount{r.site.outlets[i].lip_m - lowest, Quantity::small_length},
                      Share{r.free_share[i]}, Share{shares_with_lift(r, i, eighth_inch_m)[i]},
                      Share{shares_with_lift(r, i, -eighth_inch_m)[i]}, year_share(outlet, false),
                      year_share(outlet, true)});
  }
  const std::vector<std::size_t> used = outlets_used(r);
  for (std::size_t i = 0; i < r.scenario.box.outlets.size(); ++i) {
    const BoxOutletConfig& o = r.scenario.box.outlets[i];
    if (!o.capped) continue;
    std::vector<Cell> row(t.columns.size());
    row[0] = o.name;
    row[1] = o.pit.empty() ? "capped" : pit_label(r.scenario, o.pit) + ", capped as found";
    if (std::ranges::find(used, i) != used.end()) {
      row[6] = year_share(i, false);
      row[7] = year_share(i, true);
    }
    t.rows.push_back(std::move(row));
  }
  t.note =
      "Share: of a typical week's water with no pit backed up. Raised and lowered: the same "
      "outlet's "
      "share if only its lip moves. First and last year: of the run, backwater from full pits "
      "included (expected clogging; negative: the pit fed the box).";
  return t;
}

ReportTable plan_table(const Scenario& scenario) {
  ReportTable t{"plan", "Plan: work on box and pits", {}, {}, ""};
  t.columns = {{"date", "date"}, {"work", "work"}};
  for (const PlannedWork& work : scenario.plan) {
    t.rows.push_back({iso_date(work.date), work_words(scenario, work)});
  }
  return t;
}

ReportTable cases_table(const std::vector<ClogCase>& cases) {
  ReportTable t{"cases", "Early, expected, late case: what is assumed of the clogging", {}, {}, ""};
  t.columns = {{"case", "case"}, {"says", "says"}};
  for (const std::size_t f : Cases::early_to_late) {
    t.rows.push_back({cases[f].name, cases[f].says});
  }
  return t;
}

ReportTable balance_table(const RunResult& r) {
  const TankLedger& k = r.tank_ledger;
  const CaseRun& f = r.cases[Cases::expected];
  ReportTable t{"balances", "Balances over the run (expected clogging)", {}, {}, ""};
  t.columns = {{"item", "item"},
               {"tank_water", "tank, water"},
               {"tank_solids", "tank, solids"},
               {"pit_water", "pits, water"}};
  const auto water = [](double m3) { return Amount{m3, Quantity::volume}; };
  const auto solids = [](double kg) { return Amount{kg, Quantity::mass}; };
  const Cell none = std::monostate{};
  t.rows = {
      {std::string("held at the start"), water(k.water_held_start), solids(k.solids_held_start),
       water(f.ledger.held_start)},
      {std::string("came in"), water(k.water_in), solids(k.solids_in), water(f.ledger.in)},
      {std::string("left for the pits"), water(k.water_out), solids(k.solids_out), none},
      {std::string("pumped out"), water(k.water_pumped), solids(k.solids_pumped), none},
      {std::string("digested to gas and water"), none, solids(k.solids_digested), none},
      {std::string("into the soil"), none, none, water(f.ledger.soil)},
      {std::string("to the surface"), none, none, water(f.ledger.surface)},
      {std::string("back to the house"), none, none, water(f.ledger.house)},
      {std::string("held at the end"), water(r.tank_water_end_m3), solids(r.tank_solids_end_kg),
       water(f.water_held_end_m3)},
  };
  if (f.ledger.ground > 0.0) {
    t.rows.insert(t.rows.begin() + 2,
                  {std::string("came in from the ground"), none, none, water(f.ledger.ground)});
  }
  if (f.ledger.hauled > 0.0) {
    t.rows.insert(t.rows.end() - 1,
                  {std::string("hauled away"), none, none, water(f.ledger.hauled)});
  }
  t.note =
      fmt::format("In less out less change held, relative to the largest entry: at most {:.0e}.",
                  worst_balance_error(r));
  return t;
}

}  // namespace restwell
