// What has to be done at the box so that a pit rests, and where its water goes meanwhile.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/scenario.hpp"

namespace restwell {

// Index of a pit by name; throws QuestionError that lists the pits.
[[nodiscard]] std::size_t pit_of_name(const Scenario& scenario, const std::string& name);

// The way as wished; else what the file says of this pit; else the other open outlets, a pit behind
// a capped outlet, the next pit in series: the first of these that there is on that date. Throws
// QuestionError with what would be accepted if the water has nowhere to go.
[[nodiscard]] WhileResting where_water_goes(const Scenario& scenario, std::size_t pit, Date from,
                                            const std::optional<WhileResting>& wish);

// Work at the beginning and at the end of the rest. A pit that was opened for it stays open.
struct RestWorks {
  std::vector<PlannedWork> begin, end;
  [[nodiscard]] std::vector<PlannedWork> all() const;  // in order
};
// Precondition: `to` comes from where_water_goes for the same date.
[[nodiscard]] RestWorks rest_works(const Scenario& scenario, std::size_t pit,
                                   const WhileResting& to, Date from, Date until);

// The scenario with more work in its plan, in the order of dates.
[[nodiscard]] Scenario with_works(const Scenario& scenario, const std::vector<PlannedWork>& more);

// "the other pits on the box", "a tank truck", "the west pit".
[[nodiscard]] std::string resting_words(const Scenario& scenario, const WhileResting& to);

// Pits that the box's open outlets lead to on a date.
[[nodiscard]] std::vector<std::size_t> pits_in_service(const Scenario& scenario, Date date);

}  // namespace restwell
