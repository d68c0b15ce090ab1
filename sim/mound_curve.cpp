#include "sim/mound_curve.hpp"

#include <cmath>

namespace restwell {
namespace {
constexpr double cell_ratio = 1.05;
}

double MoundCurve::height_m(double intake_m3_per_day) {
  const double q = intake_m3_per_day;
  if (!(q > 0.0)) return 0.0;
  if (!(q >= low_m3_per_day_ && q < high_m3_per_day_)) {
    // Cells lie at fixed places: the mound does not hang on what was asked before.
    const double cell = std::floor(std::log(q) / std::log(cell_ratio));
    low_m3_per_day_ = std::pow(cell_ratio, cell);
    high_m3_per_day_ = std::pow(cell_ratio, cell + 1.0);
    const auto mound_m = [this](double rate) {
      return mound_height_m(groundwater_, rate, bottom_area_m2_, conductivity_m_per_day_);
    };
    low_m_ = mound_m(low_m3_per_day_);
    high_m_ = mound_m(high_m3_per_day_);
  }
  return low_m_ + (high_m_ - low_m_) * (q - low_m3_per_day_) / (high_m3_per_day_ - low_m3_per_day_);
}

}  // namespace restwell
