#include "sim/start_state.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>

#include "sim/occupancy.hpp"
#include "sim/units.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// The clear zone of a big tank with one person forgets its start in months.
constexpr int warm_up_day = 16 * 7;
// A tank pumped longer ago than this is taken as pumped then: it has long been in balance.
constexpr int longest_history_day = 15 * 365;
// Resistance of a pit that takes in nothing [day]: at a meter of water .01 mm a day.
constexpr double dead_resistance_day = 1e5;

// The site as it was day_ago days before the start: pits built later are not there, their outlets
// capped.
Scenario site_before(const Scenario& scenario, double day_ago) {
  Scenario past = scenario;
  const auto missing = [&](const std::string& name) {
    for (const PitConfig& p : scenario.pits) {
      if (p.name != name) continue;
      return p.start.kind == PitStart::Kind::brand_new ||
             (p.start.kind == PitStart::Kind::in_service && p.start.service_day < day_ago);
    }
    return true;
  };
  for (BoxOutletConfig& outlet : past.box.outlets) {
    if (!outlet.capped && missing(outlet.pit)) outlet.capped = true;
  }
  for (PitConfig& p : past.pits) {
    if (p.when_full.kind == WhenFull::Kind::pit && missing(p.when_full.pit)) {
      p.when_full = {WhenFull::Kind::surface, ""};
    }
  }
  return past;
}

// Runs the pits from one age to the next with the typical week.
void run_past(const Scenario& past, const BiomatParameters& biomat, const TypicalWeek& week,
              int from_day_ago, int to_day_ago, std::vector<PitState>& pits) {
  const SiteLayout site = lay_out(past);
  if (site.outlets.empty()) return;
  const std::unique_ptr<FreeSplit> split = free_split(site);
  const BoxInUse box = {site.outlets.size(), split.get(), false};
  std::vector<BinnedEffluent> effluent(week.days.size());
  for (std::size_t d = 0; d < week.days.size(); ++d) {
    bin_effluent(week.days[d], past.limits.pit_step_day, box, effluent[d]);
  }
  TankDay quiet;
  quiet.steps = DaySteps({constant_step(1.0, week.empty_house_m3_per_day)});
  quiet.outflow_m3 = week.empty_house_m3_per_day;
  BinnedEffluent empty_house;
  bin_effluent(quiet, past.limits.pit_step_day, box, empty_house);
  Downstream downstream(past, site, biomat, std::move(pits));
  for (int ago = from_day_ago; ago > to_day_ago; --ago) {
    const Date date = past.start - std::chrono::days(ago);
    const bool lived_in = in_season(past.household, date);
    downstream.day(lived_in ? effluent[weekday_of(date)] : empty_house, date);
  }
  pits = downstream.pits();
}

// The state behind a level and an observed fall. What the pit has raised in the ground hangs on the
// mean of a season, which is no more than came to it.
PitState measured_pit(const Scenario& scenario, const PitConfig& config, const PitLayout& layout,
                      const BiomatParameters& biomat, double mean_inflow_m3_per_day,
                      std::vector<std::string>& notes) {
  const Pit& pit = layout.pit;
  const PitStart& start = config.start;
  const double area = storage_area_m2(pit.geometry);
  const double level = std::min(start.level_m, layout.brim_m);
  PitState state = clean_pit(pit, biomat);
  state.water_m3 = area * level;
  const double intake =
      area * start.drop_m_per_day + (start.observed_in_use ? mean_inflow_m3_per_day : 0.0);
  state.mean_intake_m3_per_day = std::min(intake, mean_inflow_m3_per_day);
  const double table_m = water_table_m(scenario.soil.water_table, layout, scenario.start);
  const auto resistance_in = [&](const GroundOfDay& ground) {
    return uniform_resistance_for_intake(pit, level, intake, felt_at(ground, level));
  };
  GroundOfDay ground{.table_m = table_m};
  const std::optional<double> alone = resistance_in(ground);  // if the pit had raised nothing
  if (scenario.soil.water_table) {
    ground.mound_m = mound_height_m(scenario.groundwater, state.mean_intake_m3_per_day,
                                    bottom_area_m2(pit.geometry), pit.bottom_soil.kfs_m_per_day);
  }
  std::optional<double> found = resistance_in(ground);
  // What comes down on a boundary hangs on what the walls take, and the other way round.
  std::vector<double> flow(pit.rings.size() + 1);
  constexpr int most_rounds = 8;
  for (int i = 0; i < most_rounds && !layout.boundaries.empty(); ++i) {
    const double tried = std::min(found.value_or(biomat.clean_resistance_day), dead_resistance_day);
    const std::vector<double> resistance(flow.size(), tried);
    const double takes =
        pit_intake_m3_per_day(pit, resistance, level, felt_at(ground, level), flow);
    const double share = takes > 0.0 ? state.mean_intake_m3_per_day / takes : 0.0;
    for (double& part : flow) part *= std::min(1.0, share);
    state.mean_onto_m3_per_day.clear();
    for (const SoilBoundary& boundary : layout.boundaries) {
      state.mean_onto_m3_per_day.push_back(flow_onto_m3_per_day(pit, boundary, flow));
    }
    ground.perched = perched_water(pit, layout.boundaries, state.mean_onto_m3_per_day);
    found = resistance_in(ground);
  }
  double resistance = biomat.clean_resistance_day;
  if (level <= 0.0) {
    notes.push_back(fmt::format("{}: a dry pit tells nothing of its walls; taken as clean",
                                sentence_case(pit_label(config))));
  } else if (table_m >= level) {
    notes.push_back(fmt::format(
        "{}: the water table as given stands over the water found in it on the start date, so the "
        "fall tells nothing of its walls; taken as clean. Check the water table",
        sentence_case(pit_label(config))));
  } else if (found && *found > dead_resistance_day) {
    resistance = dead_resistance_day;
    notes.push_back(fmt::format("{}: the level does not fall, the pit is taken as dead up to there",
                                sentence_case(pit_label(config))));
  } else if ((!found || *found < biomat.clean_resistance_day) && alone &&
             *alone >= biomat.clean_resistance_day) {
    notes.push_back(fmt::format(
        "{}: a fall of {} at {} of water is more than the pit keeps up over the {}; the wall is "
        "taken as clean. The fall may have been faster than usual; else check the {}",
        sentence_case(pit_label(config)),
        show_text(start.drop_m_per_day, Quantity::conductivity, scenario.units),
        show_text(level, Quantity::level, scenario.units),
        ground.perched.empty() ? "mound it raises on the water table"
                               : "water held where its soils meet",
        ground.perched.empty() ? "water table" : "layer's depth and conductivity"));
  } else if (!found || *found < biomat.clean_resistance_day) {
    notes.push_back(fmt::format(
        "{}: a fall of {} at {} of water is more than the soil as given takes in when clean; the "
        "wall is taken as clean, and the soil's conductivity should be checked",
        sentence_case(pit_label(config)),
        show_text(start.drop_m_per_day, Quantity::conductivity, scenario.units),
        show_text(level, Quantity::level, scenario.units)));
  } else {
    resistance = *found;
  }
  // The reading is taken as what the pit takes in at length: its soil carries as much.
  state.soil_flow_m3_per_day = std::clamp(
      intake, 0.0,
      std::max(0.0, uniform_intake_m3_per_day(pit, resistance, level, felt_at(ground, level))));
  const double clogged_to = start.high_water_m.value_or(level);
  const double residual =
      biomat.start_residual_share * std::max(0.0, resistance - biomat.clean_resistance_day);
  for (std::size_t j = 0; j < state.biomat.size(); ++j) {
    if (j < pit.rings.size() && pit.rings[j].bottom_m >= clogged_to) continue;
    state.biomat[j].labile_day = resistance - residual;
    state.biomat[j].residual_day = residual;
  }
  return state;
}

}  // namespace

Scenario as_today(const Scenario& scenario) {
  Scenario now = scenario;
  now.household = household_on(scenario.household, scenario.start);
  now.household.changes.clear();
  now.household.guests.clear();
  now.household.away.clear();
  std::erase_if(now.household.other_water,
                [](const ExtraWater& w) { return w.from || w.to || !w.dates.empty(); });
  return now;
}

TankState tank_at_start(const Scenario& scenario) {
  const TankParameters& p = scenario.tank_parameters;
  const TankStart& found = scenario.tank.start;
  const Tank& tank = scenario.tank.tank;
  TankState state;
  state.solids = brand_new(p);
  if (found.brand_new) return state;
  state.solids = pumped(p, SolidsState{});
  state.missing_m3 = tank.plan_area_m2 * tank.liquid_depth_m;
  if (!found.pumped && !found.sludge_m) return state;

  // The reading is taken through the inlet compartment's lid.
  const double area_m2 = tank.compartments < 2
                             ? tank.plan_area_m2
                             : tank.plan_area_m2 * p.area_share_first / p.sludge_share_first;
  const double measured_m3 = found.sludge_m.value_or(0.0) * area_m2;
  int days = longest_history_day;
  if (found.pumped) {
    days = std::min(days, days_between(*found.pumped, scenario.start));
  }
  Scenario past = as_today(scenario);
  past.start = scenario.start - std::chrono::days(days);
  Upstream history(past, Mode::steady, state, false, 0.0, SurgeSteps::for_the_solids);
  for (int d = 0; d < days; ++d) {
    const bool grown = sludge_volume_m3(p, history.state().solids) >= measured_m3;
    if (!found.pumped && grown && d >= warm_up_day) break;
    history.next_day();
  }
  state = history.state();
  if (found.sludge_m) {
    SolidsState& s = state.solids;
    const double modelled_m3 = sludge_volume_m3(p, s);
    const double factor = modelled_m3 > 0.0 ? measured_m3 / modelled_m3 : 0.0;
    s.biodegradable_kg *= factor;
    s.inert_kg *= factor;
    s.inert_age_kg_day *= factor;
    s.scum_kg = found.scum_m.value_or(0.0) * area_m2 * p.scum_kg_per_m3;
    state.missing_m3 = 0.0;  // there was something to measure in
  }
  return state;
}

std::optional<int> pump_interval(const Scenario& scenario) {
  TankState empty;
  empty.solids = pumped(scenario.tank_parameters, SolidsState{});
  empty.missing_m3 = scenario.tank.tank.plan_area_m2 * scenario.tank.tank.liquid_depth_m;
  const Scenario now = as_today(scenario);
  Upstream upstream(now, Mode::steady, empty, false, 0.0, SurgeSteps::for_the_solids);
  for (int d = 0; d < longest_pump_interval_year * 365; ++d) {
    if (criterion_met(Criterion::solids, upstream.next_day().readings, scenario.tank.limits)) {
      return d;
    }
  }
  return std::nullopt;
}

TypicalWeek typical_week(const Scenario& scenario) {
  Scenario now = as_today(scenario);
  now.household.season.reset();
  TypicalWeek week;
  week.empty_house_m3_per_day =
      now.household.leak_m3_per_day + extra_water_m3_per_day(now.household, now.start);
  // A softener that regenerates every other week is in no single week as it is on the mean.
  if (const std::optional<Softener>& softener = now.household.softener) {
    ExtraWater mean;
    mean.name = "softener";
    mean.flow_m3_per_day = softener->volume_m3 / softener->every_day;
    now.household.other_water.push_back(mean);
    now.household.softener.reset();
  }
  // Start on a Monday so that the kept days are Monday to Sunday.
  now.start -= std::chrono::weekday(now.start) - std::chrono::Monday;
  TankState clean;
  clean.solids = pumped(scenario.tank_parameters, SolidsState{});
  Upstream upstream(now, Mode::steady, clean, false);
  for (int d = 0; d < warm_up_day + 7; ++d) {
    const TankDay& day = upstream.next_day();
    if (d < warm_up_day) continue;
    week.days.push_back(day);
    week.inflow.push_back(upstream.last_inflow());
    week.mean_flow_m3_per_day += day.outflow_m3 / 7.0;
  }
  return week;
}

std::vector<double> free_shares(const TypicalWeek& week, const SiteLayout& site) {
  std::vector<double> volume(site.outlets.size(), 0.0);
  if (!site.box_present) return {1.0};
  const FreeSplit split(site.outlets, site.lid);
  double lid = 0.0;
  double total = 0.0;
  for (const TankDay& day : week.days) {
    for (const EffluentStep& step : day.steps) split.add_step(step, step.dt_day, volume, lid);
  }
  for (const double v : volume) total += v;
  for (double& v : volume) v = total > 0.0 ? v / total : 1.0 / static_cast<double>(volume.size());
  return volume;
}

PitsAtStart pits_at_start(const Scenario& scenario, const BiomatParameters& biomat,
                          const TypicalWeek& week) {
  const SiteLayout site = lay_out(scenario);
  PitsAtStart result;
  std::set<int, std::greater<>> ages;
  for (std::size_t p = 0; p < site.pits.size(); ++p) {
    result.pits.push_back(clean_pit(site.pits[p].pit, biomat));
    if (scenario.pits[p].start.kind == PitStart::Kind::in_service) {
      ages.insert(static_cast<int>(std::lround(scenario.pits[p].start.service_day)));
    }
  }
  const bool share_asked = std::ranges::any_of(scenario.pits, [](const PitConfig& pit) {
    return pit.start.kind == PitStart::Kind::measured;
  });
  const std::vector<double> share =
      share_asked ? free_shares(week, site) : std::vector<double>(site.outlets.size(), 0.0);
  const double mean_flow = in_season(scenario.household, scenario.start)
                               ? week.mean_flow_m3_per_day
                               : week.empty_house_m3_per_day;
  const auto read_pits = [&] {
    result.notes.clear();
    for (std::size_t p = 0; p < site.pits.size(); ++p) {
      const PitConfig& config = scenario.pits[p];
      if (config.start.kind != PitStart::Kind::measured) continue;
      double inflow = 0.0;
      for (std::size_t i = 0; i < share.size(); ++i) {
        if (site.outlet_pit[i] == p) inflow += share[i] * mean_flow;
      }
      result.pits[p] = measured_pit(scenario, config, site.pits[p], biomat, inflow, result.notes);
    }
  };
  // A measured pit lives through its neighbours' history from its reading on, not from new: what it
  // could not take was theirs.
  read_pits();
  for (auto age = ages.begin(); age != ages.end(); ++age) {
    const auto next = std::next(age);
    const int until = next == ages.end() ? 0 : *next;
    run_past(site_before(scenario, *age - 0.5), biomat, week, *age, until, result.pits);
  }
  for (std::size_t p = 0; p < site.pits.size(); ++p) {
    if (scenario.pits[p].start.kind == PitStart::Kind::brand_new) {
      result.pits[p] = clean_pit(site.pits[p].pit, biomat);
    }
  }
  read_pits();
  return result;
}

}  // namespace restwell
