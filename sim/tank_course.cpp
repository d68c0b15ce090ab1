#include "sim/tank_course.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <new>
#include <stdexcept>

#include "sim/occupancy.hpp"
#include "sim/start_state.hpp"

namespace restwell {
namespace {

TankState state_at_begin(const Scenario& scenario, const Stretch& stretch) {
  switch (stretch.from) {
    case Stretch::From::pumped:
      return emptied_tank(scenario);
    case Stretch::From::brand_new: {
      TankState state;
      state.solids = brand_new(scenario.tank_parameters);
      return state;
    }
    case Stretch::From::reading:
      break;
  }
  Scenario then = scenario;
  then.household = household_on(scenario.household, std::max(stretch.begin, scenario.start));
  then.household.changes.clear();
  then.start = stretch.begin;
  then.tank.start = TankStart{};
  then.tank.start.sludge_m = stretch.first.sludge_m;
  then.tank.start.scum_m = stretch.first.scum_m;
  return tank_at_start(then);
}

}  // namespace

Scenario with_solids(Scenario scenario, double factor) {
  scenario.household_parameters.tss_kg_per_person_day *= factor;
  scenario.household_parameters.disposer_tss_kg_per_person_day *= factor;
  return scenario;
}

TankState emptied_tank(const Scenario& scenario) {
  TankState state;
  state.solids = pumped(scenario.tank_parameters, SolidsState{});
  state.missing_m3 = scenario.tank.tank.plan_area_m2 * scenario.tank.tank.liquid_depth_m;
  return state;
}

TankCourse::TankCourse(const Scenario& scenario, const Stretch& stretch,
                       double mean_flow_m3_per_day)
    : scenario_(scenario), mean_flow_m3_per_day_(mean_flow_m3_per_day), next_(stretch.begin) {
  past_ = as_today(scenario_);
  past_.start = stretch.begin;
  begin_ = state_at_begin(scenario_, stretch);
  start_upstream();
}

void TankCourse::start_upstream() {
  in_past_ = next_ < scenario_.start;
  const TankState from = state();
  Scenario& now = in_past_ ? past_ : scenario_;
  // What began before the day at hand is part of the household as it is then.
  if (!in_past_) now.start = next_;
  upstream_ = std::make_unique<Upstream>(now, Mode::steady, from, false, mean_flow_m3_per_day_,
                                         SurgeSteps::for_the_solids);
}

const TankDay& TankCourse::next_day() {
  if (in_past_ && next_ >= scenario_.start) start_upstream();
  try {
    const TankDay& day = upstream_->next_day();
    next_ += std::chrono::days(1);
    return day;
  } catch (const std::bad_alloc&) {
    throw;
  } catch (const std::exception& e) {
    throw std::runtime_error(fmt::format("tank, {}: {}", iso_date(next_), e.what()));
  }
}

const TankState& TankCourse::state() const { return upstream_ ? upstream_->state() : begin_; }

Layers TankCourse::layers() const {
  return restwell::layers(scenario_.tank.tank, scenario_.tank_parameters, state().solids);
}

std::vector<Criterion> criteria_kept_when_clean(const Scenario& scenario,
                                                double mean_flow_m3_per_day) {
  std::vector<Criterion> kept;
  for (const Criterion c : all_criteria) {
    if (!met_when_clean(c, scenario, mean_flow_m3_per_day)) kept.push_back(c);
  }
  return kept;
}

std::optional<MarkMet> first_mark(const Scenario& scenario, const TankState& from, int most_day) {
  const Scenario now = as_today(scenario);
  const double flow = typical_week(now).mean_flow_m3_per_day;
  const std::vector<Criterion> criteria = criteria_kept_when_clean(now, flow);
  Upstream upstream(now, Mode::steady, from, false, flow, SurgeSteps::for_the_solids);
  for (int d = 0; d < most_day; ++d) {
    const TankDay& day = upstream.next_day();
    for (const Criterion c : criteria) {
      if (criterion_met(c, day.readings, now.tank.limits)) return MarkMet{c, d};
    }
  }
  return std::nullopt;
}

}  // namespace restwell
