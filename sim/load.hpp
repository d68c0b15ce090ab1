// The household's load, day by day: from habits and dates to the water of one calendar day as
// pulses and as a piecewise constant inflow. Resolved at the scale of single discharges, because
// the split of a distribution box depends on it.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "models/household.hpp"
#include "sim/occupancy.hpp"
#include "sim/scenario.hpp"

namespace restwell {

// ---- chance ----------------------------------------------------------------------------------
struct UseEvent {
  double start_day;  // within the day, 0..1
  double volume_m3;
};

// Household's multiplier of one day, Gamma with mean 1. Depends on its arguments only.
[[nodiscard]] double daily_multiplier(std::uint64_t seed, Date date, double cv);

// Replaces `events` by one fixture's random uses on one day: their number Poisson(mean), times by
// the hourly pattern, volumes lognormal (Buchberger & Wu 1995; Buchberger & Wells 1996, with the
// volume drawn instead of the duration). Depends on its arguments only, so that another fixture's
// change leaves it as it was; the volumes' scale does not move the times.
void random_events(std::uint64_t seed, Date date, Fixture f, const FixtureUse& use, double mean,
                   const std::array<double, 24>& hourly_pattern, std::vector<UseEvent>& events);

// ---- the day ---------------------------------------------------------------------------------
// One discharge to the drain at constant flow, or the part of it that falls on this day.
struct Pulse {
  double start_day;  // within the day, 0..1; start and duration end within the day
  double duration_day;
  double flow_m3_per_day;
  [[nodiscard]] bool operator==(const Pulse&) const = default;
};

// Constant inflow. A day's segments join without gap from 0 to 1.
struct Segment {
  double from_day, to_day;
  double flow_m3_per_day;
  [[nodiscard]] bool operator==(const Segment&) const = default;
};

struct DayLoad {
  Date date{};
  DayPeople people;
  SolidsLoad solids{};
  std::vector<Pulse> pulses;          // in no order, without the base flow
  std::vector<Segment> segments;      // pulses and base flow together
  double base_flow_m3_per_day = 0.0;  // leaks and extra water, all day
  double volume_m3 = 0.0;             // reaches the drain on this day
  double leak_m3 = 0.0;               // part of the volume
  double foreign_m3 = 0.0;            // part of the volume: extra water
  double carried_m3 = 0.0;            // begun on this day, reaches the drain on later ones
  std::array<double, fixture_count> fixture_m3{};  // uses begun on this day, carried part included
  double softener_m3 = 0.0;                        // likewise
};

// Steady mode repeats a typical week without chance: of each fixture the expected number of uses,
// rounded, at fixed times, with the volume scaled so that the week's total is exact. On days with
// other people, the same weekday of those people's week.
// Random mode: daily_multiplier and random_events.
// Fixtures in use need a flow over 0 and at least one drain, or their water is lost; laundry days
// are 0 to 6, else std::out_of_range.
class LoadGenerator {
 public:
  LoadGenerator(HouseholdConfig household, const HouseholdParameters& parameters, Mode mode,
                std::uint64_t seed, Date start);

  // The load of start + day_index. Days are asked for in order 0, 1, 2, ..., since a discharge may
  // run past midnight; else std::logic_error. Valid until the next call.
  const DayLoad& day(int day_index);

 private:
  struct FixtureEvent {
    Fixture fixture;
    UseEvent event;
  };
  struct Week {
    DayPeople people;  // of a weekday
    std::array<std::vector<FixtureEvent>, 7> days;
  };

  void apply_changes(Date date);
  const Week& week_of(const DayPeople& people);
  void add_steady(unsigned weekday);
  void add_random(unsigned weekday);
  void add_softener(int day_index);
  void add_use(Fixture f, const UseEvent& event);
  void add_pulse(Pulse pulse);
  void join_pulses(unsigned weekday);
  void sort_edges();
  void build_segments();

  HouseholdConfig household_;  // as of the current day
  HouseholdParameters parameters_;
  Mode mode_;
  std::uint64_t seed_;
  Date start_;
  std::vector<HouseholdChange> changes_;  // by date
  std::size_t next_change_ = 0;
  int next_day_ = 0;
  std::vector<Week> weeks_;  // of the current household, one for each company met
  DayLoad load_;
  std::vector<Pulse> carried_;  // start counted from the next midnight

  // Of the last of every weekday: in steady mode the same again and again.
  struct Joined {
    std::vector<Pulse> pulses;
    std::vector<Segment> segments;
    double base_flow_m3_per_day = 0.0;
  };
  std::array<Joined, 7> joined_;

  struct Edge {
    double at_day;
    double flow_m3_per_day;  // positive: a pulse begins
  };
  std::vector<Pulse> arrived_;  // buffers, reused
  std::vector<UseEvent> events_;
  std::vector<Edge> edges_, sorted_edges_;
};

}  // namespace restwell
