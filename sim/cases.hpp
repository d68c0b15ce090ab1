// Clogging cases: the parameters nobody can measure, set three ways.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "models/biomat.hpp"

namespace restwell {

// How far a case is followed.
enum class Follow {
  to_the_end,
  until_overflow,      // only the first date is asked for
  until_all_happened,  // only dates are: until water has left and every pit has been full
};

struct ClogCase {
  std::string name;  // "expected", "early", "late"; partial cases: name of the unknown
  std::string says;  // which parameters differ, in words
  BiomatParameters biomat;
  Follow follow = Follow::to_the_end;
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
// The same; early and late only until all has happened.
[[nodiscard]] std::vector<ClogCase> main_cases_for_dates(const BiomatParameters& expected);

}  // namespace restwell
