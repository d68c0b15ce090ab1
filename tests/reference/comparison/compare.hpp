// One case by the law and by the reference solver.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "models/perched.hpp"
#include "models/soil_lag.hpp"
#include "tests/reference/comparison/cases.hpp"
#include "tests/reference/pit.hpp"

namespace restwell::comparison {

// As the product lays a pit out: rings of at most 4 in, soil of each by thickness.
struct Law {
  Pit pit;
  std::vector<double> resistance_day;               // of the rings, bottom last
  std::vector<SoilBoundary> boundaries = {};        // hold water
  std::optional<std::vector<HeldWater>> held = {};  // what they hold up; none: as at length
  double table_m = far_below_m;                     // over the bottom, without a mound
  // The mound is felt up to the pit's own water, as in the product.
  [[nodiscard]] double intake_m3_per_day(double level_m, double mound_m = 0) const;
  // Into each part (bottom last).
  [[nodiscard]] std::vector<double> flows_m3_per_day(double level_m, double mound_m = 0) const;
  // A and T of models/soil_lag.hpp.
  struct SoilState {
    double activity, lag_time_day;
  };
  [[nodiscard]] SoilState soil(const SoilLag& lag, double level_m, double mound_m = 0) const;
};
[[nodiscard]] Law law_of(const Case& c);
// Mound at the pit's edge, of steady flow to where the table is not disturbed (Dupuit; Thiem):
// h^2 - d^2 = Q/(pi K) ln(far/a).
[[nodiscard]] double edge_mound_m(const Case& c, double intake_m3_per_day);
// The intake that raises the mound with which it is the law's; mound_m(intake) must rise.
[[nodiscard]] double intake_with_mound_m3_per_day(const Law& law, double level_m,
                                                  const std::function<double(double)>& mound_m);
// Steady intake [m3/day] by the law, the mound at the edge given.
[[nodiscard]] double law_intake_m3_per_day(const Case& c, double level_m);

[[nodiscard]] reference::PitProblem reference_problem(const Case& c, double resolution = 1.0);

struct Spread {
  std::size_t count = 0;
  double median = 0, percentile_95 = 0, worst = 0;  // of the magnitudes
  double mean = 0;                                  // with its sign
};
[[nodiscard]] Spread spread_of(std::vector<double> errors);
// Share of the pairs more than `apart` from each other that both put in the same order.
[[nodiscard]] double same_order(const std::vector<double>& law,
                                const std::vector<double>& reference, double apart);

}  // namespace restwell::comparison
