#include "models/root.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

namespace restwell {

double root_between(const std::function<double(double)>& function, const RootEnd& low,
                    const RootEnd& high, const RootTolerance& tolerance) {
  std::uintmax_t most_calls = 200;
  const auto [from, to] = boost::math::tools::toms748_solve(
      std::cref(function), low.at, high.at, low.value, high.value,
      [&](double l, double h) {
        return h - l <= std::max(tolerance.absolute, tolerance.relative * std::abs(l));
      },
      most_calls);
  return 0.5 * (from + to);
}

}  // namespace restwell
