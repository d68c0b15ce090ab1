// Boxes and pits tried again and again on one tank: the tank's outflow is kept, and a run of the
// pits can be copied at any day and continued in another way. What `run` does in one pass for one
// plan, step by step and to the same numbers.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <vector>

#include "sim/box_split.hpp"
#include "sim/downstream.hpp"
#include "sim/layout.hpp"
#include "sim/start_state.hpp"
#include "sim/upstream.hpp"

namespace restwell {

// The tank day by day. Holds the hydrographs: some tens of MB for twenty years.
struct TankHistory {
  TypicalWeek week;
  std::vector<TankDay> days;
};
[[nodiscard]] TankHistory tank_history(const Scenario& scenario, int days);

// The phases of a plan, ready to use; shared by the runs that pass through them.
struct PlannedBox {
  std::vector<Phase> phases;
  FreeSplits splits;  // by phase
};
// made: those of other plans, to share.
[[nodiscard]] PlannedBox planned_box(const Scenario& scenario, const FreeSplits& made = {});

// One clogging case of box and pits, from some day on. Copies go on on their own. History, scenario
// and plan must outlive it.
class PitsRun {
 public:
  PitsRun(const Scenario& scenario, const TankHistory& history, const PlannedBox& plan,
          const BiomatParameters& biomat, std::vector<PitState> start);

  // Another plan from the next day on.
  void follow(const PlannedBox& plan);
  // The next day of the history. The reference stays good until the next call, not beyond a copy.
  const DownstreamDay& next_day();

  [[nodiscard]] int day() const { return day_; }  // the next one to run
  [[nodiscard]] bool at_end() const;
  [[nodiscard]] const std::vector<PitState>& pits() const { return downstream_.pits(); }
  // The same day with these pits instead.
  [[nodiscard]] PitsRun with_pits(std::vector<PitState> pits) const;

 private:
  const Scenario* scenario_;
  const TankHistory* history_;
  const PlannedBox* plan_;
  std::size_t phase_ = 0;
  Downstream downstream_;
  std::array<BinnedDay, 7> week_;  // by day of the history
  BiomatParameters biomat_;
  int day_ = 0;
};

// Days under a plan from where the run stands until the pit is full to its inlet; nothing if it is
// not within most_days, or within the history.
[[nodiscard]] std::optional<int> days_until_full(PitsRun run, const PlannedBox& plan,
                                                 std::size_t pit, int most_days);

}  // namespace restwell
