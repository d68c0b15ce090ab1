#include "sim/pits_run.hpp"

#include "sim/calendar.hpp"

namespace restwell {

TankHistory tank_history(const Scenario& scenario, int days) {
  TankHistory history;
  history.week = typical_week(scenario);
  const TankState start = tank_at_start(scenario);
  Upstream upstream(scenario, scenario.mode, start, true, history.week.mean_flow_m3_per_day);
  history.days.reserve(static_cast<std::size_t>(days));
  for (int d = 0; d < days; ++d) history.days.push_back(upstream.next_day());
  return history;
}

PlannedBox planned_box(const Scenario& scenario, const FreeSplits& made) {
  PlannedBox box;
  box.phases = phases(scenario);
  box.splits = free_splits(box.phases, made);
  return box;
}

PitsRun::PitsRun(const Scenario& scenario, const TankHistory& history, const PlannedBox& plan,
                 const BiomatParameters& biomat, std::vector<PitState> start)
    : scenario_(&scenario),
      history_(&history),
      plan_(&plan),
      downstream_(scenario, plan.phases.front().site, biomat, std::move(start)),
      biomat_(biomat) {
  set_strength(history.week.days.back(), week_.back().effluent);
}

void PitsRun::follow(const PlannedBox& plan) {
  plan_ = &plan;
  phase_ = 0;
  downstream_.lay_out_as(plan.phases.front().site);
  for (BinnedDay& day : week_) day.course = 0;  // another plan's boxes
}

bool PitsRun::at_end() const { return day_ >= static_cast<int>(history_->days.size()); }

const DownstreamDay& PitsRun::next_day() {
  while (phase_ + 1 < plan_->phases.size() && plan_->phases[phase_ + 1].first_day <= day_) {
    downstream_.lay_out_as(plan_->phases[++phase_].site);
  }
  const Phase& phase = plan_->phases[phase_];
  BinnedDay& binned = week_[static_cast<std::size_t>(day_ % 7)];
  const BinnedEffluent& before = week_[static_cast<std::size_t>((day_ + 6) % 7)].effluent;
  binned.effluent.tss_kg_per_m3 = before.tss_kg_per_m3;
  binned.effluent.bod_kg_per_m3 = before.bod_kg_per_m3;
  renew_bins(history_->days[static_cast<std::size_t>(day_)], scenario_->limits.pit_step_day,
             {phase.site.outlets.size(), plan_->splits[phase_].get(), phase.hauled}, binned);
  const Date date = date_of(scenario_->start, day_);
  ++day_;
  return downstream_.day(binned.effluent, date);
}

std::optional<int> days_until_full(PitsRun run, const PlannedBox& plan, std::size_t pit,
                                   int most_days) {
  run.follow(plan);
  for (int d = 0; d < most_days && !run.at_end(); ++d) {
    if (run.next_day().pits[pit].full) return d;
  }
  return std::nullopt;
}

PitsRun PitsRun::with_pits(std::vector<PitState> pits) const {
  PitsRun other(*scenario_, *history_, *plan_, biomat_, std::move(pits));
  other.week_ = week_;
  other.day_ = day_;
  return other;
}

}  // namespace restwell
