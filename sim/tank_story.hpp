// What is known of the tank's past: pump-outs and readings of the file and of the command line, put
// in order.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "sim/scenario.hpp"
#include "sim/tank_course.hpp"

namespace restwell {

// A reading lower than the one before by more than this was not made by digestion: pumped since
// (assumed; as far as a reading may be off).
inline constexpr double drop_means_pumped_m = 0.0254;

// Longer ago than this the tank has long been in balance, and is taken as pumped then.
inline constexpr int longest_story_day = 30 * 365;

struct TankStory {
  std::vector<Stretch> stretches;  // by date, at least one; the last is the one that goes on
  std::vector<Date> pumped;        // known pump-outs up to the last reading, by date
  // Pairs of readings, the later one lower, without a known pump-out between.
  std::vector<std::pair<TankReading, TankReading>> drops;
  Date now{};                    // of the start and the last reading the later
  bool only_found = false;       // from a reading alone, whose date of pumping is not known
  bool taken_as_pumped = false;  // nothing is known: taken as pumped on the start date
  std::vector<std::string> notes;
};

// readings and pumped: of the command line; a reading overrules one of the file on the same date,
// pumped overrules the file's last pump-out. Throws QuestionError with all that does not fit.
[[nodiscard]] TankStory tank_story(const Scenario& scenario,
                                   const std::vector<TankReading>& readings,
                                   const std::vector<Date>& pumped);

}  // namespace restwell
