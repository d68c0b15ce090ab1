// New pits of one size: what they are built like, and how long they last on what the tank sends.
//
// Equal pits on a level box share equally as long as none of them backs up into it, so one pit with
// its part of the water stands for all of them until they are full.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/downstream.hpp"
#include "sim/pits_run.hpp"
#include "sim/scenario.hpp"

namespace restwell {

struct PitSize {
  double diameter_m = 0.0;  // of the hole, outside of the gravel
  double depth_m = 0.0;     // below the inlet
  int count = 1;
};

// New pits are built like the file's first one: the same wall, the same ring of gravel around it
// (or filled with stone), inlet and cover at the same depth. Where the file has drain fields only:
// filled with stone, 3 ft under the ground.
struct PitPattern {
  std::string like;  // that pit, in words; empty: there is none
  UnitSystem units = UnitSystem::us;
  PitConfig config;
  double gravel_ring_m = 0.0, wall_m = 0.0;  // no lining: both 0
  [[nodiscard]] bool filled_with_stone() const;
  // The least diameter that leaves room inside of the lining.
  [[nodiscard]] double least_diameter_m() const;
};
// Precondition: the scenario has a pit.
[[nodiscard]] PitPattern pit_pattern(const Scenario& scenario);
[[nodiscard]] PitConfig new_pit(const PitPattern& pattern, double diameter_m, double depth_m,
                                const std::string& name);

// Volume dug for all pits of a size, from the ground down.
[[nodiscard]] double dug_m3(const PitPattern& pattern, const PitSize& size);

// What one of `count` equal pits gets, day by day.
struct PitFeed {
  Date start{};
  std::vector<BinnedEffluent> days;
};
// Of the history's first `days`.
[[nodiscard]] PitFeed pit_feed(const Scenario& scenario, const TankHistory& history, int days,
                               int count);

// The first day on which the pit, new on the first day of the feed, is full to its inlet; nothing
// if the feed ends before. Soil, water table and limits are the scenario's.
[[nodiscard]] std::optional<int> life_day(const Scenario& scenario, const PitConfig& pit,
                                          const PitFeed& feed, const BiomatParameters& biomat);

// A length with six digits in the user's unit, and the length that says: what is sized with it runs
// to the same result once written to a file.
[[nodiscard]] std::string length_text(double length_m, UnitSystem units);
[[nodiscard]] double as_written_m(double length_m, UnitSystem units);

}  // namespace restwell
