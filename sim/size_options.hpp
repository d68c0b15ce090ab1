// The question `size` is asked, from the words of the command line.
#pragma once

#include <optional>
#include <vector>

#include "sim/commands.hpp"

namespace restwell {

// Money has no name: a bare number.
struct UnitCosts {
  double per_pit = 0.0;
  double per_m3 = 0.0;
};

struct SizeQuestion {
  std::vector<double> diameters_m, depths_m;  // rising, at least one
  std::vector<int> pits;                      // rising, at least one
  double life_day = 0.0;
  double service_day = 0.0;  // an old pit put back must last this long
  OldPits old_pits = OldPits::leave;
  Basis basis = Basis::both;
  LifeBy by = LifeBy::expected;
  std::optional<UnitCosts> costs;  // else the volume dug counts
};

// Throws QuestionError with all problems at once. The scenario says which defaults fit: units, a
// box to keep old pits on.
[[nodiscard]] SizeQuestion size_question(const SizeArguments& arguments, const Scenario& scenario);

}  // namespace restwell
