// Points of a curve, and their thinning to what a picture can show.
#pragma once

#include <vector>

namespace restwell::plots {

struct Point {
  double x, y;
};
using Run = std::vector<Point>;  // unbroken, never empty

// A long run whose x never falls keeps first, lowest, highest and last point of each of columns
// equal slices of low..high, so that peaks stay. Other runs stay as they are.
[[nodiscard]] Run thinned(const Run& run, double low, double high, bool x_log, int columns);

}  // namespace restwell::plots
