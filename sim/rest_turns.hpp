// Two pits taking turns: their plan of works, and one such plan run through.
#pragma once

#include <cstddef>
#include <optional>

#include "sim/rest.hpp"

namespace restwell {

// Months between changes that are looked at.
inline constexpr double turn_months[] = {1, 2, 3, 4, 6, 9, 12, 18, 24};

// The pit that can take turns with the resting one, if there is exactly one.
[[nodiscard]] std::optional<std::size_t> turning_partner(const Scenario& scenario,
                                                         const RestQuestion& q);

// The partner's outlet as it stands when the turns begin, if it has one of its own.
[[nodiscard]] std::optional<std::size_t> partner_outlet(const Scenario& scenario,
                                                        const RestQuestion& q, std::size_t partner);

// The scenario with the works of all turns until last_day. The pit of the question rests first; a
// turn's works move the water over and back again. months 0: no turns, both
// pits in service from the first day on, if each has an outlet.
[[nodiscard]] Scenario with_turns(const Scenario& scenario, const RestQuestion& q,
                                  std::size_t partner, double months, int last_day);

// Days count from `from`; highest_share as in Turns.
struct TurnRun {
  int first_full = never, first_leaves = never;
  double highest_share = 0.0;
};
// One plan of turns under one case, up to the first overflow.
[[nodiscard]] TurnRun run_turns(const Scenario& planned, const TankHistory& history,
                                const ClogCase& clog_case, int from, int last_day);

}  // namespace restwell
