// Old pits that stay on the box beside newer ones: how far their outlets are raised so that the
// newer ones (pits, or a drain field) get the water first, and when each old pit has recovered
// enough to go back into service.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "models/us_units.hpp"
#include "sim/built_choice.hpp"
#include "sim/cases.hpp"
#include "sim/pits_run.hpp"

namespace restwell {

// The new pits come first once they get this part of a typical week's water (assumed).
inline constexpr double first_share = 0.95;
// Levelers are set in steps of an eighth of an inch, and no lip comes nearer to the lid than this.
inline constexpr double leveler_step_m = us::inch_m / 8;
// An old pit is put back no sooner than after this ("several months", US EPA 1980; 6-12 months, US
// EPA 2002, from memory) and looked at for no longer than that (assumed).
inline constexpr int shortest_rest_day = 182, longest_rest_day = 5 * 365;
// It is looked at once a month.
inline constexpr int rest_step_day = 30;

struct LevelerSetting {
  std::vector<std::size_t> outlets;  // of the box: the old pits' open outlets
  double lift_m = 0.0;               // over the heights found
  bool capped = false;               // no lift below the lid does it: they are capped instead
  double new_share_found = 0.0;      // of the typical week's water, as found
  double new_share = 0.0;            // and once raised
};
// first: the outlets that are to get the water first, all open; all other open outlets are raised.
// The box counts as found, without planned work.
[[nodiscard]] LevelerSetting find_leveler_setting(const Scenario& scenario,
                                                  const std::vector<std::size_t>& first,
                                                  const TypicalWeek& week);
// "3/8 in", "9.5 mm".
[[nodiscard]] std::string lift_words(double lift_m, UnitSystem units);

// The work of raising (or capping) them on a date, and of setting one back as found.
[[nodiscard]] std::vector<PlannedWork> raising_work(const Scenario& site,
                                                    const LevelerSetting& setting, Date date);
[[nodiscard]] PlannedWork back_work(const Scenario& site, const LevelerSetting& setting,
                                    std::size_t outlet, Date date);

// When an old pit, its outlet back at the height found and the others still raised, would last
// `service_day` until it is full to its inlet. By case, in the order of Cases; nothing: not within
// longest_rest_day.
struct OldPitBack {
  std::size_t outlet = 0, pit = 0;  // indices in the file
  std::array<std::optional<int>, Cases::first_partial> ready_day;
};
// raised: the choice built with the raising work on the start. history: of its household, at least
// longest_rest_day and service_day long.
[[nodiscard]] std::vector<OldPitBack> find_ready_days(const BuiltChoice& raised,
                                                      const LevelerSetting& setting,
                                                      const TankHistory& history,
                                                      double service_day);

}  // namespace restwell
