#include "plots/thin.hpp"

#include <algorithm>
#include <cmath>

namespace restwell::plots {

Run thinned(const Run& run, double low, double high, bool x_log, int columns) {
  const auto by_x = [](const Point& a, const Point& b) { return a.x < b.x; };
  if (run.size() <= 4 * static_cast<std::size_t>(columns) || !(high > low) ||
      !std::is_sorted(run.begin(), run.end(), by_x)) {
    return run;
  }
  const auto scaled = [x_log](double x) { return x_log ? std::log(x) : x; };
  const auto column = [&](const Point& point) {
    return std::floor((scaled(point.x) - scaled(low)) / (scaled(high) - scaled(low)) * columns);
  };
  Run kept;
  for (auto begin = run.begin(); begin != run.end();) {
    const double here = column(*begin);
    const auto end =
        std::find_if(begin, run.end(), [&](const Point& point) { return column(point) != here; });
    auto [lowest, highest] =
        std::minmax_element(begin, end, [](const Point& a, const Point& b) { return a.y < b.y; });
    if (lowest > highest) std::swap(lowest, highest);
    auto last_kept = run.end();
    for (const auto keep : {begin, lowest, highest, end - 1}) {
      if (keep != last_kept) kept.push_back(*keep);
      last_kept = keep;
    }
    begin = end;
  }
  return kept;
}

}  // namespace restwell::plots
