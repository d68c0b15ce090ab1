#include "sim/start_state.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>

#include "sim/occupancy.hpp"
#include "sim/units.hpp"

namespace restwell {
namespace {

constexpr int warm_up_day = 28;  // the surge layer and the clear zone forget their start in days

PitState clean_pit(const Pit& pit, const BiomatParameters& biomat) {
  return {0.0, std::vector<BiomatState>(pit.rings.size() + 1, clean_biomat(biomat))};
}

// The site as it was `years_ago`: pits built later are not there, their outlets capped.
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
  std::unique_ptr<FreeSplit> split;
  if (site.box_present) split = std::make_unique<FreeSplit>(site.outlets, site.lid);
  std::vector<BinnedEffluent> effluent(week.days.size());
  for (std::size_t d = 0; d < week.days.size(); ++d) {
    bin_effluent(week.days[d], past.limits.pit_step_day, site.outlets.size(), split.get(),
                 effluent[d]);
  }
  TankDay quiet;
  quiet.steps = {{1.0, week.empty_house_m3_per_day}};
  quiet.outflow_m3 = week.empty_house_m3_per_day;
  BinnedEffluent empty_house;
  bin_effluent(quiet, past.limits.pit_step_day, site.outlets.size(), split.get(), empty_house);
  Downstream downstream(past, site, biomat, std::move(pits));
  for (int ago = from_day_ago; ago > to_day_ago; --ago) {
    const Date date = past.start - std::chrono::days(ago);
    const bool lived_in = in_season(past.household, date);
    downstream.day(lived_in ? effluent[weekday_of(date)] : empty_house, day_of_year(date));
  }
  pits = downstream.pits();
}

// The state behind a level and an observed fall.
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
  const std::optional<double> found = uniform_resistance_for_intake(pit, level, intake);
  double resistance = biomat.clean_resistance_day;
  if (!found || *found < biomat.clean_resistance_day) {
    notes.push_back(fmt::format(
        "{} pit: a fall of {} at {} of water is more than the soil as given takes in when clean; "
        "the wall is taken as clean, and the soil's conductivity should be checked",
        config.name, show_text(start.drop_m_per_day, Quantity::conductivity, scenario.units),
        show_text(level, Quantity::level, scenario.units)));
  } else {
    resistance = *found;
  }
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

TypicalWeek typical_week(const Scenario& scenario) {
  Scenario now = scenario;
  now.household = household_on(scenario.household, scenario.start);
  now.household.changes.clear();
  now.household.guests.clear();
  now.household.away.clear();
  now.household.season.reset();
  std::erase_if(now.household.other_water,
                [](const ExtraWater& w) { return w.from || w.to || !w.dates.empty(); });
  TypicalWeek week;
  week.empty_house_m3_per_day =
      now.household.leak_m3_per_day + extra_water_m3_per_day(now.household, now.start);
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
    for (const EffluentStep& step : day.steps) {
      split.add_volume(step.flow_m3_per_day, step.dt_day, volume, lid);
    }
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
  for (auto age = ages.begin(); age != ages.end(); ++age) {
    const auto next = std::next(age);
    const int until = next == ages.end() ? 0 : *next;
    run_past(site_before(scenario, *age - 0.5), biomat, week, *age, until, result.pits);
  }
  const std::vector<double> share = free_shares(week, site);
  for (std::size_t p = 0; p < site.pits.size(); ++p) {
    const PitConfig& config = scenario.pits[p];
    if (config.start.kind == PitStart::Kind::brand_new) {
      result.pits[p] = clean_pit(site.pits[p].pit, biomat);
    }
    if (config.start.kind != PitStart::Kind::measured) continue;
    double inflow = 0.0;
    for (std::size_t i = 0; i < share.size(); ++i) {
      if (site.outlet_pit[i] == p) inflow += share[i] * week.mean_flow_m3_per_day;
    }
    result.pits[p] = measured_pit(scenario, config, site.pits[p], biomat, inflow, result.notes);
  }
  return result;
}

}  // namespace restwell
