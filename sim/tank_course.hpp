// The tank's sludge and scum through the years from one known state to the next, without the pits.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "sim/scenario.hpp"
#include "sim/upstream.hpp"

namespace restwell {

// A time in which the tank was not pumped, and how it began.
struct Stretch {
  enum class From {
    pumped,     // empty, to be refilled
    brand_new,  // full of water, without the life that digests
    reading     // as measured on that morning; its history is that of a tank filled up to there
  } from = From::pumped;
  Date begin{};
  TankReading first{};                // From::reading
  std::vector<TankReading> readings;  // after the begin, by date
};

// The scenario's household with `factor` times the solids per person, the disposer's included. BOD
// stays: a depth of sludge says nothing of it.
[[nodiscard]] Scenario with_solids(Scenario scenario, double factor);

// One stretch, day by day, in steady mode. Before the scenario's start the household is that of the
// start date; from then on it changes as the file says. Nothing is pumped.
class TankCourse {
 public:
  // mean_flow is what the household sends, for the retention criterion; 0: found out on the way.
  TankCourse(const Scenario& scenario, const Stretch& stretch, double mean_flow_m3_per_day = 0.0);
  TankCourse(const TankCourse&) = delete;
  TankCourse& operator=(const TankCourse&) = delete;

  [[nodiscard]] Date next_date() const { return next_; }
  const TankDay& next_day();
  // The morning of next_date().
  [[nodiscard]] const TankState& state() const;
  [[nodiscard]] Layers layers() const;

 private:
  void start_upstream();

  Scenario scenario_, past_;
  double mean_flow_m3_per_day_;
  TankState begin_;
  Date next_;
  std::unique_ptr<Upstream> upstream_;  // holds a reference to one of the scenarios above
  bool in_past_ = false;
};

// State of an empty tank that has to refill.
[[nodiscard]] TankState emptied_tank(const Scenario& scenario);

struct MarkMet {
  Criterion criterion;
  int day;  // index of the day at whose end the mark is met
};
// The first mark that the tank meets from a state on, with the household of the scenario's start
// date; marks that not even a clean tank keeps are left out. Nothing if it takes more than
// most_day.
[[nodiscard]] std::optional<MarkMet> first_mark(const Scenario& scenario, const TankState& from,
                                                int most_day);

// All criteria that pumping can help with in this tank.
[[nodiscard]] std::vector<Criterion> criteria_kept_when_clean(const Scenario& scenario,
                                                              double mean_flow_m3_per_day);

}  // namespace restwell
