#include "models/perched.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace restwell {

double perched_head_m(double rate_m3_per_day, double radius_m, const TightLayer& layer) {
  if (!(rate_m3_per_day > 0.0) || layer.in_m_per_day >= layer.above_m_per_day) return 0.0;
  const double per_pi = rate_m3_per_day / std::numbers::pi;
  const double comes_down_m2 =  // b^2
      std::max(radius_m * radius_m, per_pi / layer.above_m_per_day);
  const double spread = per_pi / (layer.in_m_per_day * comes_down_m2);  // (r/b)^2
  if (spread <= 1.0) return 0.0;
  const double head2 =
      per_pi / layer.above_m_per_day * 0.5 * (std::log(spread) - (1.0 - 1.0 / spread));
  const double fringe_m = layer.above_alpha_per_m > 0.0 ? 1.0 / layer.above_alpha_per_m : 0.0;
  return std::sqrt(fringe_m * fringe_m + std::max(0.0, head2)) - fringe_m;
}

double flow_onto_m3_per_day(const Pit& pit, const TightLayer& layer,
                            std::span<const double> flow_m3_per_day) {
  double sum = layer.top_m < 0.0 ? flow_m3_per_day[pit.rings.size()] : 0.0;
  for (std::size_t i = 0; i < pit.rings.size(); ++i) {
    if (0.5 * (pit.rings[i].bottom_m + pit.rings[i].top_m) >= layer.top_m)
      sum += flow_m3_per_day[i];
  }
  return std::max(0.0, sum);
}

std::vector<HeldWater> perched_water(const Pit& pit, std::span<const TightLayer> layers,
                                     std::span<const double> onto_m3_per_day) {
  const double radius_m = std::sqrt(bottom_area_m2(pit.geometry) / std::numbers::pi);
  std::vector<HeldWater> held;
  for (std::size_t k = 0; k < layers.size(); ++k) {
    const double head_m = perched_head_m(onto_m3_per_day[k], radius_m, layers[k]);
    if (head_m > 0.0)
      held.push_back({layers[k].top_m + head_m, layers[k].top_m,
                      layers[k].in_m_per_day / layers[k].above_m_per_day});
  }
  return held;
}

std::vector<HeldWater> steady_perched_water(const Pit& pit, std::span<const TightLayer> layers,
                                            std::span<const double> resistance_day, double level_m,
                                            double table_m) {
  std::vector<HeldWater> held;
  for (const TightLayer& layer : layers)
    held.push_back({far_below_m, layer.top_m, layer.in_m_per_day / layer.above_m_per_day});
  std::vector<double> flow(pit.rings.size() + 1);
  // Layer by layer, with the others' water as it is: more water held up means less that comes down,
  // and bisection finds where the two agree.
  const auto settle = [&](std::size_t k) {
    const auto stands = [&](double at_m) {
      held[k].level_m = at_m;
      pit_intake_m3_per_day(pit, resistance_day, level_m, {.table_m = table_m, .held = held}, flow);
      const double onto = flow_onto_m3_per_day(pit, layers[k], flow);
      const std::vector<HeldWater> now = perched_water(pit, {&layers[k], 1}, {&onto, 1});
      return now.empty() ? far_below_m : now.front().level_m;
    };
    double low_m = layers[k].top_m, high_m = level_m;
    if (low_m >= high_m || stands(low_m) <= low_m) {
      held[k].level_m = far_below_m;
      return;
    }
    constexpr int steps = 40;
    for (int i = 0; i < steps; ++i) {
      const double middle_m = 0.5 * (low_m + high_m);
      (stands(middle_m) > middle_m ? low_m : high_m) = middle_m;
    }
    held[k].level_m = low_m;
  };
  const int rounds = layers.size() > 1 ? 8 : 1;
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t k = 0; k < layers.size(); ++k) settle(k);
  }
  std::erase_if(held, [](const HeldWater& h) { return h.level_m <= far_below_m; });
  return held;
}

}  // namespace restwell
