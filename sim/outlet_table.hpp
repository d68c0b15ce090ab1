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
    const auto k_at = [&](std::size_t i) {
      return free_flow_coefficient_m_per_day(outlet, static_cast<double>(i) / per_m_);
    };
    for (std::size_t i = 0; i < cells; ++i) {
      const double rise = k_at(i + 1) - k_at(i);
      line_.push_back({k_at(i) - static_cast<double>(i) * rise, rise});
    }
  }

  // head_m >= 0.
  [[nodiscard]] double k_m_per_day(double head_m) const { return at(head_m).k_m_per_day; }
  struct Tangent {
    double k_m_per_day, slope_per_day;  // slope: by the head
  };
  [[nodiscard]] Tangent at(double head_m) const {
    const double place = head_m * per_m_;
    if (!(place < cells)) {
      const double step_m = 1e-3 * head_m, k = free_flow_coefficient_m_per_day(outlet_, head_m);
      return {k, (free_flow_coefficient_m_per_day(outlet_, head_m + step_m) - k) / step_m};
    }
    const Line& line = line_[static_cast<std::size_t>(static_cast<int>(place))];
    return {line.at_zero + line.rise * place, line.rise * per_m_};
  }

 private:
  static constexpr std::size_t cells = 2048;
  CircularOpening outlet_;
  double per_m_;
  struct Line {
    double at_zero, rise;  // by cells
  };
  std::vector<Line> line_;
};

}  // namespace restwell
