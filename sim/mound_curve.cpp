#include "sim/mound_curve.hpp"

#include <cmath>

namespace restwell {
namespace {
constexpr double cell_ratio = 1.05;
double node_m3_per_day(int k) { return std::pow(cell_ratio, k); }
}  // namespace

double MoundCurve::at_node_m(int k) {
  const auto [known, is_new] = known_m_.try_emplace(k, 0.0);
  if (is_new) {
    known->second =
        mound_height_m(groundwater_, node_m3_per_day(k), bottom_area_m2_, conductivity_m_per_day_);
  }
  return known->second;
}

double MoundCurve::height_m(double intake_m3_per_day) {
  const double q = intake_m3_per_day;
  if (!(q > 0.0)) return 0.0;
  if (!(q >= low_m3_per_day_ && q < high_m3_per_day_)) {
    // Cells lie at fixed places: the mound does not hang on what was asked before.
    const int cell = static_cast<int>(std::floor(std::log(q) / std::log(cell_ratio)));
    low_m3_per_day_ = node_m3_per_day(cell);
    high_m3_per_day_ = node_m3_per_day(cell + 1);
    low_m_ = at_node_m(cell);
    high_m_ = at_node_m(cell + 1);
  }
  return low_m_ + (high_m_ - low_m_) * (q - low_m3_per_day_) / (high_m3_per_day_ - low_m3_per_day_);
}

}  // namespace restwell
