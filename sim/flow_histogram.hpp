// How much time the tank's outlet spends at which flow (published logs speak of this).
#pragma once

#include "sim/upstream.hpp"

namespace restwell {

struct FlowHistogram {
  static constexpr int bins = 60;  // per decade 12, from 1e-3 L/min up
  static constexpr double lowest_m3_per_day = 1e-6 * 1440.0;
  static constexpr int per_decade = 12;
  double day[bins] = {};
  void add(double flow_m3_per_day, double dt_day);
  void add(const EffluentStep& step);
  void add(const FlowHistogram& other);
  [[nodiscard]] double bin_middle_m3_per_day(int bin) const;
};

}  // namespace restwell
