// Assumed parameters by name: one table drives the keys under `assumptions:` and the list a run
// prints.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "sim/scenario.hpp"
#include "sim/units.hpp"

namespace restwell {

// One assumed parameter. unit empty: a bare number.
struct Assumption {
  std::string_view key;
  Dimension dimension;
  std::string_view unit;             // shown in
  std::string_view lowest, highest;  // limits as a user would write them
  std::string_view note;             // meaning, usual range, source
  double& (*parameter)(Scenario&);
};
[[nodiscard]] std::span<const Assumption> assumptions();

struct AssumptionInfo {
  std::string key;         // "clogging_per_load"
  std::string value_text;  // "6 day m2/kg", as it could be written in a scenario
  std::string note;
};
// Every assumed parameter with its value in this scenario, in the table's order.
[[nodiscard]] std::vector<AssumptionInfo> assumption_list(const Scenario& scenario);

}  // namespace restwell
