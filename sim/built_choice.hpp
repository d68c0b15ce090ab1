// A choice of new pits as a scenario of its own, written as a file that `run` takes: the rest as
// the user wrote it, the new pits on the box, the old ones left or kept, the work by date.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "sim/new_pits.hpp"
#include "sim/scenario_yaml.hpp"
#include "sim/size_options.hpp"

namespace restwell {

// Work on an outlet of the file's box.
struct OutletWork {
  Date date{};
  std::size_t outlet = 0;                    // index into the file's outlets
  bool capped_word = false, capped = false;  // says capped: yes or no
  std::optional<double> raised_m;
};

struct BuiltChoice {
  std::string text;  // YAML
  Scenario scenario;
  std::vector<std::size_t> new_pits, new_outlets;  // indices
};

// years: how far the written file runs. Precondition: what size_question accepted.
[[nodiscard]] BuiltChoice build_choice(const LoadedScenario& site, const PitPattern& pattern,
                                       const PitSize& size, OldPits old_pits,
                                       const std::vector<OutletWork>& work, double years);

}  // namespace restwell
