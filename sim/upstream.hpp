// House and tank, day by day: what people send, what the tank keeps, what leaves for the box.
// Nothing below the tank acts back on it, so one upstream run serves every clogging case.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "models/tank.hpp"
#include "sim/integrate.hpp"
#include "sim/load.hpp"
#include "sim/outlet_table.hpp"
#include "sim/scenario.hpp"

namespace restwell {

// A part of the day in which the tank's outflow rises, falls or stays.
struct EffluentStep {
  double dt_day, flow_m3_per_day;  // the mean
  // Two points that stand for the step: the root of the flow there, and the volume's share of the
  // first. What hangs smoothly on the flow is summed over them.
  double root_flow[2];
  double first_share;
};
[[nodiscard]] EffluentStep constant_step(double dt_day, double flow_m3_per_day);

// A day's steps, from midnight to midnight. Copies share them: a steady household's weeks are
// alike.
class DaySteps {
 public:
  DaySteps() = default;
  explicit DaySteps(std::shared_ptr<const std::vector<EffluentStep>> steps)
      : steps_(std::move(steps)) {}
  explicit DaySteps(std::vector<EffluentStep> steps)
      : DaySteps(std::make_shared<const std::vector<EffluentStep>>(std::move(steps))) {}
  [[nodiscard]] auto begin() const { return all().begin(); }
  [[nodiscard]] auto end() const { return all().end(); }

 private:
  [[nodiscard]] std::span<const EffluentStep> all() const {
    return steps_ ? std::span<const EffluentStep>(*steps_) : std::span<const EffluentStep>();
  }
  std::shared_ptr<const std::vector<EffluentStep>> steps_;
};

// One day of the tank.
struct TankDay {
  DaySteps steps;
  int course = 0;  // of the same number: the same steps
  double inflow_m3 = 0.0, outflow_m3 = 0.0;
  double foreign_m3 = 0.0;  // part of the inflow that does not belong there
  double peak_outflow_m3_per_day = 0.0;
  double tss_in_kg = 0.0, bod_in_kg = 0.0, tss_out_kg = 0.0, bod_out_kg = 0.0;
  double carried_over_kg = 0.0;  // part of tss_out torn from sludge and scum
  double residents = 0.0;
  Layers layers;             // at the day's end
  PumpOutReadings readings;  // at the day's end
  bool pumped = false;       // at the day's start
  bool refilling = false;    // nothing left the tank for part of the day at least
};

struct TankLedger {  // since the start; water in m3, solids in kg
  double water_in = 0.0, water_out = 0.0, water_pumped = 0.0, water_held_start = 0.0;
  double solids_in = 0.0, solids_out = 0.0, solids_digested = 0.0, solids_pumped = 0.0,
         solids_held_start = 0.0;
};

struct TankState {
  SolidsState solids;
  double surge_head_m = 0.0;
  double missing_m3 = 0.0;  // liquid below the outlet invert still to be refilled
  double suspended_tss_kg = 0.0, suspended_bod_kg = 0.0;
};

// How finely the surge in the tank is followed.
enum class SurgeSteps {
  for_the_box,    // as the scenario's limits say: the outlets' shares hang on the flow
  for_the_solids  // one step for each discharge while the outlet is clear: dates of the tank move
                  // by less than a day
};

class Upstream {
 public:
  // Pumping is done by the scenario's policy only if pump is true. mean_flow is what the household
  // has been sending, for the retention criterion; 0: found out as the run goes.
  Upstream(const Scenario& scenario, Mode mode, const TankState& start, bool pump = true,
           double mean_flow_m3_per_day = 0.0, SurgeSteps steps = SurgeSteps::for_the_box);

  // Runs the next day. The reference stays good until the next call.
  const TankDay& next_day();

  [[nodiscard]] const TankState& state() const { return state_; }
  [[nodiscard]] const TankLedger& ledger() const { return ledger_; }
  [[nodiscard]] double water_held_m3() const;   // liquid in the tank
  [[nodiscard]] double solids_held_kg() const;  // sludge, scum and suspended
  [[nodiscard]] const std::vector<Segment>& last_inflow() const { return load_->segments; }

 private:
  [[nodiscard]] Date next_by_interval() const;
  [[nodiscard]] bool pump_today(Date today);
  void count_intervals(Date pumped);
  void pump_out();
  void route_water();
  void carry_over_layers();
  [[nodiscard]] bool flows_as_last_week();
  void remember_flow(double head_before_m);
  void settle(double day_of_year);

  const Scenario& scenario_;
  LoadGenerator generator_;
  Integrator integrator_;
  OutletTable outlet_;
  TankState state_;
  TankLedger ledger_;
  TankDay day_;
  const DayLoad* load_ = nullptr;
  StateVector solids_vector_;
  double liquid_m3_;             // of the full tank
  double mean_flow_m3_per_day_;  // trailing mean of the inflow
  bool flow_known_;
  double carried_sludge_kg_ = 0.0, carried_scum_kg_ = 0.0;
  // How the water ran through the full tank on the last of every weekday. A steady household's
  // weeks are alike to the last digit once the tank's surge is.
  struct FlowOfDay {
    std::vector<Segment> inflow;
    double head_before_m = 0.0, head_after_m = 0.0, head_change = 0.0;
    TankDay day;  // of it: steps, course, outflow, peak
  };
  std::vector<FlowOfDay> flow_of_week_;  // empty in random mode
  int courses_ = 0;
  std::shared_ptr<std::vector<EffluentStep>> routed_;
  SurgeSteps steps_;
  double surge_head_change_;  // in one step, at most
  Date counted_from_;         // of a pump-out every so often: the first date, and how many since
  int intervals_ = 0;
  bool pumping_;
  bool pump_due_ = false;  // a criterion was met yesterday
  int day_index_ = 0;
};

[[nodiscard]] bool criterion_met(Criterion c, const PumpOutReadings& r,
                                 const PumpOutLimits& limits);

// A mark that even a clean tank of this shape does not keep: pumping cannot help, so it is no
// reason to pump.
[[nodiscard]] bool met_when_clean(Criterion c, const Scenario& scenario,
                                  double mean_flow_m3_per_day);

}  // namespace restwell
