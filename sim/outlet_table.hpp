// The tank's outlet for the many steps of its surge: Q/h^2 by head, straight between 2048 nodes up
// to two diameters, the rating itself above. Within 1e-6 of it (tests/unit/outlet_table.cpp).
#pragma once

#include <cstddef>
#include <vector>

#include "models/rating.hpp"

namespace restwell {

class OutletTable {
 public:
  explicit OutletTable(const CircularOpening& outlet)
      : outlet_(outlet), per_m_(cells / (2.0 * outlet.diameter_m)) {
    for (std::size_t i = 0; i <= cells; ++i) {
      k_m_per_day_.push_back(
          free_flow_coefficient_m_per_day(outlet, static_cast<double>(i) / per_m_));
    }
  }

  // head_m >= 0.
  [[nodiscard]] double k_m_per_day(double head_m) const {
    const double place = head_m * per_m_;
    if (!(place < cells)) return free_flow_coefficient_m_per_day(outlet_, head_m);
    const auto cell = static_cast<std::size_t>(place);
    const double share = place - static_cast<double>(cell);
    return k_m_per_day_[cell] + share * (k_m_per_day_[cell + 1] - k_m_per_day_[cell]);
  }

 private:
  static constexpr std::size_t cells = 2048;
  CircularOpening outlet_;
  double per_m_;
  std::vector<double> k_m_per_day_;
};

}  // namespace restwell
