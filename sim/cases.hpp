// Clogging cases: the parameters nobody can measure, set three ways.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "models/biomat.hpp"

namespace restwell {

struct ClogCase {
  std::string name;  // "expected", "early", "late"; partial cases: name of the unknown
  std::string says;  // which parameters differ, in words
  BiomatParameters biomat;
  bool until_overflow = false;  // only the first dates are asked for: its run ends at an overflow
};

// In this order. The partial ones, in pairs of the same name, move one unknown alone to the end it
// has in `early` and in `late`.
struct Cases {
  static constexpr std::size_t expected = 0, early = 1, late = 2, first_partial = 3;
  static constexpr std::array<std::size_t, 3> early_to_late = {early, expected, late};
};

[[nodiscard]] std::vector<ClogCase> clogging_cases(const BiomatParameters& expected);
// Those before the partial ones: expected, early, late.
[[nodiscard]] std::vector<ClogCase> main_cases(const BiomatParameters& expected);

}  // namespace restwell
