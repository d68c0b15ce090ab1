#include "sim/tank_course.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "sim/occupancy.hpp"
#include "sim/start_state.hpp"

namespace restwell {
namespace {

// The surge's fine steps matter to the box. For a tank alone it takes fine ones only where the flow
// tears at a layer, else one for each discharge: dates move by less than a day.
constexpr double near_step = 0.50, far_step = 50.0;  // change of head in a step, at most
constexpr double near_radii = 2.0;                   // of the intake cone; one step cuts the peak

double surge_step_after(const TankParameters& p, const TankDay& day) {
  const auto near = [&](double clearance_m, double velocity_m_per_day) {
    const double cone_m =
        std::sqrt(day.peak_outflow_m3_per_day / (2.0 * std::numbers::pi * velocity_m_per_day));
    return clearance_m < near_radii * cone_m;
  };
  return near(day.readings.sludge_clearance_m, p.carry_sludge_fall_m_per_day) ||
                 near(day.readings.scum_clearance_m, p.carry_scum_rise_m_per_day)
             ? near_step
             : far_step;
}

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
  scenario_.limits.surge_head_change = near_step;
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
  upstream_ = std::make_unique<Upstream>(now, Mode::steady, from, false, mean_flow_m3_per_day_);
}

const TankDay& TankCourse::next_day() {
  if (in_past_ && next_ >= scenario_.start) start_upstream();
  try {
    const TankDay& day = upstream_->next_day();
    // Both, since the upstream reads the one or the other.
    scenario_.limits.surge_head_change = surge_step_after(scenario_.tank_parameters, day);
    past_.limits.surge_head_change = scenario_.limits.surge_head_change;
    next_ += std::chrono::days(1);
    return day;
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
  Scenario now = as_today(scenario);
  now.limits.surge_head_change = near_step;
  const double flow = typical_week(now).mean_flow_m3_per_day;
  const std::vector<Criterion> criteria = criteria_kept_when_clean(now, flow);
  Upstream upstream(now, Mode::steady, from, false, flow);
  for (int d = 0; d < most_day; ++d) {
    const TankDay& day = upstream.next_day();
    for (const Criterion c : criteria) {
      if (criterion_met(c, day.readings, now.tank.limits)) return MarkMet{c, d};
    }
    now.limits.surge_head_change = surge_step_after(now.tank_parameters, day);
  }
  return std::nullopt;
}

}  // namespace restwell
