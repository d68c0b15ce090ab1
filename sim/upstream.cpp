#include "sim/upstream.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace restwell {
namespace {

// Head change that a surge step may always make, whatever the head: far below what a box feels.
constexpr double small_head_m = 2e-4;
// The trailing mean of the flow, for the retention criterion.
constexpr int flow_memory_day = 30;
// The clear zone never shrinks to nothing, and carry-over takes at most this of a layer in a day:
// both keep a day's step sound in a tank that is nearly full of sludge.
constexpr double least_clear_share = 0.1;
constexpr double most_torn_share = 0.5;

constexpr double gauss_point = 0.5 / std::numbers::sqrt3;  // from the middle, of the whole

StateVector pack(const SolidsState& s) {
  return {s.biodegradable_kg, s.inert_kg, s.inert_age_kg_day, s.activity, s.scum_kg, 0.0};
}

SolidsState unpack(const StateVector& x, const SolidsState& like) {
  SolidsState s = like;
  s.biodegradable_kg = x[0];
  s.inert_kg = x[1];
  s.inert_age_kg_day = x[2];
  s.activity = x[3];
  s.scum_kg = x[4];
  return s;
}

// One day of sludge and scum; returns the mass digested.
double advance_solids(Integrator& integrator, const Tank& tank, const TankParameters& p,
                      SolidsState& state, double deposit_kg_per_day, double temperature_c,
                      StateVector& x) {
  const double retained = scum_retained(tank, p);
  x = pack(state);
  integrator.advance(
      [&](const StateVector& s, StateVector& rate) {
        const SolidsRates r =
            solids_rates(p, unpack(s, state), deposit_kg_per_day, temperature_c, retained);
        rate[0] = r.biodegradable_kg;
        rate[1] = r.inert_kg;
        rate[2] = r.inert_age_kg_day;
        rate[3] = r.activity;
        rate[4] = r.scum_kg;
        rate[5] = r.digested_kg;
      },
      x, 1.0);
  state = unpack(x, state);
  return x[5];
}

// The flow's root goes as the head. Gauss's two points between its ends, sharing the volume so that
// the time is right too: dt = (first/a^2 + (1 - first)/b^2) V. Where the flow lingers so long
// near its end that they cannot, the end instead of the second.
EffluentStep step_between(double root_from, double root_to, double dt_day, double volume_m3) {
  const double middle = 0.5 * (root_from + root_to);
  const double half = gauss_point * (root_to - root_from);
  const double a = middle - half, gauss_b = middle + half;
  const double mean_flow = volume_m3 / dt_day;
  const double beyond = (mean_flow - gauss_b * gauss_b) * (root_to - root_from);
  const double b = beyond > 0.0 ? root_to : gauss_b;
  const double a2 = a * a, b2 = b * b;
  const double first = a2 * (b2 - mean_flow), whole = mean_flow * (b2 - a2);
  return {dt_day, mean_flow, {a, b}, whole != 0.0 ? std::clamp(first / whole, 0.0, 1.0) : 0.5};
}

// Of SurgeSteps::for_the_solids: fine where the flow tears at a layer.
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

double held_solids_kg(const SolidsState& s) { return s.biodegradable_kg + s.inert_kg + s.scum_kg; }

}  // namespace

EffluentStep constant_step(double dt_day, double flow_m3_per_day) {
  const double root = std::sqrt(flow_m3_per_day);
  return {dt_day, flow_m3_per_day, {root, root}, 0.5};
}

bool met_when_clean(Criterion c, const Scenario& scenario, double mean_flow_m3_per_day) {
  const PumpOutReadings clean =
      pump_out_readings(scenario.tank.tank, scenario.tank_parameters,
                        pumped(scenario.tank_parameters, SolidsState{}), mean_flow_m3_per_day);
  return criterion_met(c, clean, scenario.tank.limits);
}

bool criterion_met(Criterion c, const PumpOutReadings& r, const PumpOutLimits& limits) {
  switch (c) {
    case Criterion::solids:
      return r.solids_share_of_depth >= limits.solids_share_of_depth;
    case Criterion::sludge_clearance:
      return r.sludge_clearance_m <= limits.sludge_clearance_m;
    case Criterion::scum_clearance:
      return r.scum_clearance_m <= limits.scum_clearance_m;
    case Criterion::retention:
      return r.retention_day <= limits.retention_day;
  }
  return false;
}

Upstream::Upstream(const Scenario& scenario, Mode mode, const TankState& start, bool pump,
                   double mean_flow_m3_per_day, SurgeSteps steps)
    : scenario_(scenario),
      generator_(scenario.household, scenario.household_parameters, mode, scenario.seed,
                 scenario.start),
      integrator_(1e-9, 1e-9),
      outlet_(scenario.tank.tank.outlet),
      state_(start),
      liquid_m3_(scenario.tank.tank.plan_area_m2 * scenario.tank.tank.liquid_depth_m),
      mean_flow_m3_per_day_(mean_flow_m3_per_day),
      flow_known_(mean_flow_m3_per_day > 0.0),
      steps_(steps),
      surge_head_change_(steps == SurgeSteps::for_the_solids ? near_step
                                                             : scenario.limits.surge_head_change),
      counted_from_(scenario.tank.start.pumped.value_or(scenario.start)),
      pumping_(pump) {
  if (mode == Mode::steady) flow_of_week_.resize(7);
  day_.layers = layers(scenario.tank.tank, scenario.tank_parameters, state_.solids);
  ledger_.water_held_start = water_held_m3();
  ledger_.solids_held_start = solids_held_kg();
}

double Upstream::water_held_m3() const {
  return liquid_m3_ - state_.missing_m3 + scenario_.tank.tank.plan_area_m2 * state_.surge_head_m;
}

double Upstream::solids_held_kg() const {
  return held_solids_kg(state_.solids) + state_.suspended_tss_kg;
}

Date Upstream::next_by_interval() const {
  return intervals_later(counted_from_, scenario_.tank.pump_out.every_day, intervals_ + 1);
}

bool Upstream::pump_today(Date today) {
  const PumpOutPolicy& policy = scenario_.tank.pump_out;
  if (std::find(policy.dates.begin(), policy.dates.end(), today) != policy.dates.end()) return true;
  if (policy.kind == PumpOutPolicy::Kind::when) return pump_due_;
  if (policy.kind == PumpOutPolicy::Kind::every) {
    return today >= next_by_interval() && day_index_ > 0;
  }
  return false;
}

// On time it goes on from the first date, so that months of unequal length add up to no drift.
void Upstream::count_intervals(Date pumped) {
  if (scenario_.tank.pump_out.kind == PumpOutPolicy::Kind::every && pumped == next_by_interval()) {
    ++intervals_;
  } else {
    counted_from_ = pumped;
    intervals_ = 0;
  }
}

void Upstream::pump_out() {
  const TankParameters& p = scenario_.tank_parameters;
  const double water_before = water_held_m3();
  const double solids_before = solids_held_kg();
  state_.solids = pumped(p, state_.solids);
  state_.surge_head_m = 0.0;
  state_.suspended_tss_kg = 0.0;
  state_.suspended_bod_kg = 0.0;
  state_.missing_m3 =
      liquid_m3_ - sludge_volume_m3(p, state_.solids) - scum_volume_m3(p, state_.solids);
  ledger_.water_pumped += water_before - water_held_m3();
  ledger_.solids_pumped += solids_before - solids_held_kg();
  day_.layers = layers(scenario_.tank.tank, p, state_.solids);
  pump_due_ = false;
}

bool Upstream::flows_as_last_week() {
  if (flow_of_week_.empty() || state_.missing_m3 > 0.0) return false;
  const FlowOfDay& then = flow_of_week_[static_cast<std::size_t>(day_index_ % 7)];
  if (then.head_before_m != state_.surge_head_m || then.head_change != surge_head_change_ ||
      then.inflow != load_->segments)
    return false;
  day_.steps = then.day.steps;
  day_.course = then.day.course;
  day_.outflow_m3 = then.day.outflow_m3;
  day_.peak_outflow_m3_per_day = then.day.peak_outflow_m3_per_day;
  state_.surge_head_m = then.head_after_m;
  return true;
}

void Upstream::remember_flow(double head_before_m) {
  if (flow_of_week_.empty() || day_.refilling) return;
  FlowOfDay& now = flow_of_week_[static_cast<std::size_t>(day_index_ % 7)];
  now = {load_->segments, head_before_m, state_.surge_head_m, surge_head_change_, day_};
}

// Routes the day's inflow through the surge layer in steps that the two points of each stand for.
void Upstream::route_water() {
  if (flows_as_last_week()) return;
  const double area = scenario_.tank.tank.plan_area_m2;
  const double shortest_day_per_m2 = 1e-9 / area;  // a tenth of a millisecond is no step
  const double head_before = state_.surge_head_m;
  double head = head_before;
  // What nobody has kept is written over.
  if (routed_.use_count() != 1) routed_ = std::make_shared<std::vector<EffluentStep>>();
  std::vector<EffluentStep>& steps = *routed_;
  steps.clear();
  day_.course = ++courses_;
  OutletTable::Tangent k = outlet_.at(head);
  double outflow = k.k_m_per_day * head * head;
  double root = std::sqrt(outflow);
  for (const Segment& segment : load_->segments) {
    double left = segment.to_day - segment.from_day;
    const double inflow = segment.flow_m3_per_day;
    if (state_.missing_m3 > 0.0) {
      day_.refilling = true;
      const double fill_time = inflow > 0.0 ? state_.missing_m3 / inflow : left;
      if (fill_time >= left) {
        state_.missing_m3 = std::max(0.0, state_.missing_m3 - inflow * left);
        steps.push_back(constant_step(left, 0.0));
        continue;
      }
      steps.push_back(constant_step(fill_time, 0.0));
      state_.missing_m3 = 0.0;
      left -= fill_time;
    }
    // Time over the tank's area: all that the head asks for, and a division less in a chain of
    // them.
    double left_day_per_m2 = left / area;
    while (left_day_per_m2 > 0.0) {
      day_.peak_outflow_m3_per_day = std::max(day_.peak_outflow_m3_per_day, outflow);
      const double net = std::abs(inflow - outflow);
      const double change = std::max(small_head_m, surge_head_change_ * head);
      double day_per_m2 = net * left_day_per_m2 > change ? change / net : left_day_per_m2;
      if (left_day_per_m2 - day_per_m2 < shortest_day_per_m2) day_per_m2 = left_day_per_m2;
      left_day_per_m2 -= day_per_m2;
      const double before_m = head, root_before = root, dt = day_per_m2 * area;
      // Of second order along the tangent too, and that needs no second look into the table.
      const auto along = [&](double middle_m) {
        return k.k_m_per_day + k.slope_per_day * (middle_m - before_m);
      };
      head = surge_head_m(along, k.k_m_per_day, head, inflow, day_per_m2);
      k = outlet_.at(head);
      outflow = k.k_m_per_day * head * head;
      root = std::sqrt(outflow);
      const double volume_m3 = std::max(0.0, inflow * dt - area * (head - before_m));
      steps.push_back(step_between(root_before, root, dt, volume_m3));
      day_.outflow_m3 += volume_m3;
    }
  }
  day_.peak_outflow_m3_per_day = std::max(day_.peak_outflow_m3_per_day, outflow);
  day_.steps = DaySteps(routed_);
  state_.surge_head_m = head;
  remember_flow(head_before);
}

// What the day's flow tears off sludge and scum.
void Upstream::carry_over_layers() {
  const Tank& tank = scenario_.tank.tank;
  const TankParameters& p = scenario_.tank_parameters;
  const double calm_m3_per_day = calm_outflow_m3_per_day(tank, p, day_.layers);
  carried_sludge_kg_ = 0.0;
  carried_scum_kg_ = 0.0;
  if (day_.peak_outflow_m3_per_day <= calm_m3_per_day) return;
  for (const EffluentStep& step : day_.steps) {
    for (const int point : {0, 1}) {
      const double flow = step.root_flow[point] * step.root_flow[point];
      if (flow <= calm_m3_per_day) continue;
      const CarryOver carried = carry_over(tank, p, day_.layers, flow);
      const double volume = step.flow_m3_per_day * step.dt_day *
                            (point == 0 ? step.first_share : 1.0 - step.first_share);
      carried_sludge_kg_ += carried.sludge_kg_per_m3 * volume;
      carried_scum_kg_ += carried.scum_kg_per_m3 * volume;
    }
  }
}

// What the day's solids do: settle, float, mix into the clear zone, are carried over, digest.
void Upstream::settle(double today) {
  const Tank& tank = scenario_.tank.tank;
  const TankParameters& p = scenario_.tank_parameters;
  const double tss = load_->solids.tss_kg_per_day;
  const double bod = load_->solids.bod_kg_per_day;
  const double share = settled_share(tank, p, day_.outflow_m3);
  const double held_back = 1.0 - pass_through_share(tank, day_.layers);
  const double deposit = tss * share * held_back;
  const double bod_deposit = bod * bod_settled_share(p, share * held_back);

  // The rest mixes into the clear zone and leaves with the flow: exact for a constant day.
  const double clear_m3 =
      std::max(least_clear_share * liquid_m3_, liquid_m3_ - state_.missing_m3 -
                                                   sludge_volume_m3(p, state_.solids) -
                                                   scum_volume_m3(p, state_.solids));
  const double exchange = day_.outflow_m3 / clear_m3;
  const auto leave = [exchange](double& suspended, double added) {
    const double decay = std::exp(-exchange);
    const double kept =
        suspended * decay + added * (exchange > 1e-12 ? (1.0 - decay) / exchange : 1.0);
    const double left = suspended + added - kept;
    suspended = kept;
    return left;
  };
  const double suspended_out = leave(state_.suspended_tss_kg, tss - deposit);
  day_.bod_out_kg = leave(state_.suspended_bod_kg, bod - bod_deposit);

  SolidsState& s = state_.solids;
  const double sludge = s.biodegradable_kg + s.inert_kg;
  const double sludge_torn = std::min(carried_sludge_kg_, most_torn_share * sludge);
  const double scum_torn = std::min(carried_scum_kg_, most_torn_share * s.scum_kg);
  if (sludge_torn > 0.0) {
    const double kept = 1.0 - sludge_torn / sludge;
    s.biodegradable_kg *= kept;
    s.inert_kg *= kept;
    s.inert_age_kg_day *= kept;
  }
  s.scum_kg -= scum_torn;
  day_.carried_over_kg = sludge_torn + scum_torn;
  day_.tss_out_kg = suspended_out + day_.carried_over_kg;
  day_.bod_out_kg += p.carry_bod_share * day_.carried_over_kg;

  ledger_.solids_digested += advance_solids(integrator_, tank, p, s, deposit,
                                            tank_temperature_c(p, today), solids_vector_);
}

const TankDay& Upstream::next_day() {
  const Date today = date_of(scenario_.start, day_index_);
  load_ = &generator_.day(day_index_);
  const Layers before = day_.layers;
  day_ = TankDay{};
  day_.layers = before;
  if (pumping_ && pump_today(today)) {
    pump_out();
    day_.pumped = true;
    count_intervals(today);
  }
  day_.inflow_m3 = load_->volume_m3;
  day_.foreign_m3 = load_->foreign_m3;
  day_.residents = load_->people.residents;
  day_.tss_in_kg = load_->solids.tss_kg_per_day;
  day_.bod_in_kg = load_->solids.bod_kg_per_day;
  route_water();
  carry_over_layers();
  settle(day_of_year(today));

  const int memory = flow_known_ ? flow_memory_day : std::min(day_index_ + 1, flow_memory_day);
  mean_flow_m3_per_day_ += (day_.inflow_m3 - mean_flow_m3_per_day_) / memory;
  day_.layers = layers(scenario_.tank.tank, scenario_.tank_parameters, state_.solids);
  day_.readings = pump_out_readings(scenario_.tank.tank, scenario_.tank_parameters, state_.solids,
                                    mean_flow_m3_per_day_);
  for (const Criterion c : scenario_.tank.pump_out.criteria) {
    if (criterion_met(c, day_.readings, scenario_.tank.limits) &&
        !met_when_clean(c, scenario_, mean_flow_m3_per_day_)) {
      pump_due_ = true;
    }
  }
  if (steps_ == SurgeSteps::for_the_solids) {
    surge_head_change_ = surge_step_after(scenario_.tank_parameters, day_);
  }
  ledger_.water_in += day_.inflow_m3;
  ledger_.water_out += day_.outflow_m3;
  ledger_.solids_in += day_.tss_in_kg;
  ledger_.solids_out += day_.tss_out_kg;
  ++day_index_;
  return day_;
}

}  // namespace restwell
