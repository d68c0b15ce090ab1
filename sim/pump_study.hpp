// When to pump: by the household as given and as a reading corrects it, with other people in the
// house, and what it costs the pits if nobody does.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "sim/readings.hpp"
#include "sim/run.hpp"
#include "sim/tank_story.hpp"

namespace restwell {

// What suspended solids a person may send, kg/day: US EPA 2002, table 3-7, quoted from memory.
inline constexpr double published_least_kg_per_day = 0.035, published_most_kg_per_day = 0.075;
// Longest time from a pump-out to a mark that is looked for.
inline constexpr int longest_interval_day = 20 * 365;
// The same for other households, of which there are many.
inline constexpr int longest_other_day = 10 * 365;

struct CoursePoint {
  Date date;  // at the end of the day
  Layers layers;
  PumpOutReadings readings;
};

// The tank under one rate of solids, unpumped from the last pump-out known until the end.
struct Outlook {
  double factor = 1.0;
  std::vector<CoursePoint> points;  // of all stretches
  std::array<std::optional<Date>, std::size(all_criteria)> met =
      {};                    // by criterion, in the last stretch
  std::optional<Date> next;  // the first of them
  Criterion by{};
  std::optional<MarkMet> interval;    // from an empty tank, with the household of today
  std::optional<TankState> at_start;  // if the last stretch has begun by then
  TankState at_now;
};

struct OtherHousehold {
  double people;
  bool disposer;
  bool as_given;                // the household itself
  std::optional<int> next_day;  // from now on, as it stands now
  std::optional<MarkMet> interval;
};

// One way of pumping and what it does to the pits.
struct PumpPlan {
  std::string name;  // "on time", "every second time", "never"
  RunResult run;     // expected, early, late
};

struct PumpStudy {
  Scenario scenario;  // as given, at the published rate of solids
  Scenario fitted;    // at the fitted rate
  TankStory story;
  Scenario today;                     // fitted, with the household of `now`
  double mean_flow_m3_per_day = 0.0;  // of a typical week
  std::vector<Criterion> criteria;    // that a clean tank keeps
  Outlook prior;
  std::optional<SolidsFit> fit;
  Outlook corrected;         // the prior if there is nothing to fit
  Outlook earliest, latest;  // a reading too low, too high; without points
  // No rate gives what was measured: the tank goes on from the last reading, at the rate as given.
  // The story has a stretch more then.
  bool from_reading = false;
  std::vector<OtherHousehold> others;
  std::vector<PumpPlan> plans;     // on time, every second time, never
  [[nodiscard]] Date end() const;  // of the runs with pits
  // The tank alone is looked at for longer: what matters is the next date.
  [[nodiscard]] Date tank_end() const;
};

// The dates alone, without other households and the pits.
[[nodiscard]] PumpStudy study_dates(const Scenario& scenario, const TankStory& story,
                                    const Progress& progress = {});

// All of it. Throws as run() does.
[[nodiscard]] PumpStudy study_pumping(const Scenario& scenario, const TankStory& story,
                                      const Progress& progress = {});

}  // namespace restwell
