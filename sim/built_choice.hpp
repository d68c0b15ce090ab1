// A choice of new pits as a scenario of its own, written as a file that `run` takes: the rest as
// the user wrote it, the new pits on the box, the old ones left or kept, the work by date.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "sim/new_pits.hpp"
#include "sim/scenario_yaml.hpp"
#include "sim/size_options.hpp"

namespace restwell {

struct BuiltChoice {
  std::string text;  // YAML
  Scenario scenario;
  std::vector<std::size_t> new_pits, new_outlets;  // indices
};

// work: capping and raising of the file's outlets, by date. years: how far the written file runs.
// Precondition: what size_question accepted.
[[nodiscard]] BuiltChoice build_choice(const LoadedScenario& site, const PitPattern& pattern,
                                       const PitSize& size, OldPits old_pits,
                                       const std::vector<PlannedWork>& work, double years);

}  // namespace restwell
