// Clogging futures: the parameters nobody can measure, set three ways.
#pragma once

#include <string>
#include <vector>

#include "models/biomat.hpp"

namespace restwell {

struct Future {
  std::string name;  // "early", "expected", "late"
  std::string says;  // which parameters differ, in words
  BiomatParameters biomat;
};

// expected, early, late; and, last, the parts of early and late by one parameter each, for telling
// which unknown drives the spread.
[[nodiscard]] std::vector<Future> clogging_futures(const BiomatParameters& expected);

}  // namespace restwell
