#include "models/perched.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace restwell {

double perched_head_m(double rate_m3_per_day, double radius_m, const TightLayer& layer) {
  if (!(rate_m3_per_day > 0.0) || layer.in_m_per_day >= layer.above_m_per_day) return 0.0;
  const double spread =  // (r/a)^2
      rate_m3_per_day / (std::numbers::pi * layer.in_m_per_day * radius_m * radius_m);
  if (spread <= 1.0) return 0.0;
  const double head2 = rate_m3_per_day / (std::numbers::pi * layer.above_m_per_day) * 0.5 *
                       (std::log(spread) - (1.0 - 1.0 / spread));
  return std::sqrt(std::max(0.0, head2)) * (1.0 - layer.in_m_per_day / layer.above_m_per_day);
}

double flow_onto_m3_per_day(const Pit& pit, const TightLayer& layer,
                            std::span<const double> flow_m3_per_day) {
  double sum = layer.top_m <= 0.0 ? flow_m3_per_day[pit.rings.size()] : 0.0;
  for (std::size_t i = 0; i < pit.rings.size(); ++i) {
    if (0.5 * (pit.rings[i].bottom_m + pit.rings[i].top_m) >= layer.top_m)
      sum += flow_m3_per_day[i];
  }
  return std::max(0.0, sum);
}

WaterAround perched_water(const Pit& pit, std::span<const TightLayer> layers,
                          std::span<const double> onto_m3_per_day) {
  const double radius_m = std::sqrt(bottom_area_m2(pit.geometry) / std::numbers::pi);
  WaterAround highest;
  for (std::size_t k = 0; k < layers.size(); ++k) {
    const double head_m = perched_head_m(onto_m3_per_day[k], radius_m, layers[k]);
    if (head_m <= 0.0 || layers[k].top_m + head_m <= highest.perched_m) continue;
    highest.perched_m = layers[k].top_m + head_m;
    highest.tight_m = layers[k].top_m;
  }
  return highest;
}

WaterAround steady_perched_water(const Pit& pit, std::span<const TightLayer> layers,
                                 std::span<const double> resistance_day, double level_m,
                                 double table_m) {
  WaterAround highest{.table_m = table_m};
  std::vector<double> flow(pit.rings.size() + 1);
  for (const TightLayer& layer : layers) {
    // More water held up means less that comes down: bisection finds where the two agree.
    double low_m = layer.top_m, high_m = level_m;
    const auto stands = [&](double perched_m) {
      pit_intake_m3_per_day(pit, resistance_day, level_m,
                            {.table_m = table_m, .perched_m = perched_m, .tight_m = layer.top_m},
                            flow);
      const double onto = flow_onto_m3_per_day(pit, layer, flow);
      return perched_water(pit, {&layer, 1}, {&onto, 1}).perched_m;
    };
    if (low_m >= high_m || stands(low_m) <= low_m) continue;
    constexpr int steps = 40;
    for (int i = 0; i < steps; ++i) {
      const double middle_m = 0.5 * (low_m + high_m);
      (stands(middle_m) > middle_m ? low_m : high_m) = middle_m;
    }
    if (low_m <= highest.perched_m) continue;
    highest.perched_m = low_m;
    highest.tight_m = layer.top_m;
  }
  return highest;
}

}  // namespace restwell
