// Root of a function of one variable (Alefeld, Potra & Shi 1995, TOMS 748, by Boost.Math), compiled
// once for all who ask.
#pragma once

#include <functional>

namespace restwell {

struct RootEnd {
  double at, value;  // the function's
};
// Within what the root is found: high - low <= max(absolute, relative |low|).
struct RootTolerance {
  double absolute = 0.0, relative = 0.0;
};
// Precondition: the values at the ends differ in sign, low.at < high.at.
[[nodiscard]] double root_between(const std::function<double(double)>& function, const RootEnd& low,
                                  const RootEnd& high, const RootTolerance& tolerance);

}  // namespace restwell
