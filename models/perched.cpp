#include "models/perched.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "models/root.hpp"

namespace restwell {
namespace {

using std::numbers::pi;

constexpr double least_held = 4.5e-5;  // exp(-10): what is less is not felt
constexpr double least_p = 1e-12;
constexpr RootTolerance found_within{.relative = 1e-9};

// (2) for n > 1.
double power_factor(double x, double m) {
  if (x >= m) return 1.0 / (m + (x - m) / std::sqrt(1.0 + 1.0 / m));
  const double reached = 1.0 + m * std::log(m / x);
  const double leaks = m / (std::sqrt(m * m + 2.0 * m) - m);
  double f = reached;  // times m
  for (int i = 0; i < 6; ++i) {
    const double off = f - std::log(f) + leaks * (1.0 - 1.0 / f) - reached;
    f = std::max(1.0, f - off / (1.0 - 1.0 / f + leaks / (f * f)));
  }
  return f / m;
}

// What (1) says of one seepage over one boundary.
struct Spreading {
  double rate_m3_per_day, b_m, reach_m;
  double alpha_1_per_m, k_1_m_per_day, n, c_per_m2;
  double under_disc_m3_per_day;  // what soil 2 takes there at P = 1
  double beyond_m_per_day;       // K_2

  // P at r of q f with this much flowing out there, if soil 2 felt p.
  [[nodiscard]] double p_at(double r_m, double out_m3_per_day, double p) const {
    const double q = alpha_1_per_m * alpha_1_per_m * out_m3_per_day / (2.0 * pi * k_1_m_per_day);
    const double x = r_m * std::sqrt(c_per_m2 * std::pow(p, n - 1.0));
    const double free = q * outflow_factor(x, n);
    const double spreads_m = (n > 3.0 ? 2.0 / (n - 1.0) : 1.0) * r_m / x;
    if (spreads_m <= reach_m || reach_m <= r_m) return free;
    // Leaks evenly up to there: dP/dr = -q (1 - (r/reach)^2)/r.
    const double area_m2 = pi * reach_m * reach_m;
    const double at_reach = std::pow(out_m3_per_day / (area_m2 * beyond_m_per_day), 1.0 / n);
    const double share = r_m / reach_m;
    return std::max(free, at_reach + q * (-std::log(share) - 0.5 * (1.0 - share * share)));
  }
  [[nodiscard]] double left_m3_per_day(double p) const {
    return rate_m3_per_day - under_disc_m3_per_day * std::pow(p, n);
  }
  // P + alpha_1 s at b.
  [[nodiscard]] double held() const {
    const double left = left_m3_per_day(1.0);
    if (left > 0.0 && p_at(b_m, left, 1.0) >= 1.0) return 1.0 + alpha_1_per_m * stands_m(left);
    const auto over = [this](double p) {
      const double out = left_m3_per_day(p);
      return (out > 0.0 ? p_at(b_m, out, p) : 0.0) - p;
    };
    const double at_least = over(least_p);
    if (at_least <= 0.0) return 0.0;
    return root_between(over, {least_p, at_least}, {1.0, over(1.0)}, found_within);
  }
  // s of (3).
  [[nodiscard]] double stands_m(double left_m3_per_day) const {
    const double b2 = b_m * b_m;
    const auto out = [&](double r) {
      return left_m3_per_day - pi * beyond_m_per_day * (r * r - b2);
    };
    const double all_gone_m = std::sqrt(b2 + left_m3_per_day / (pi * beyond_m_per_day));
    const auto over = [&](double r) { return p_at(r, std::max(0.0, out(r)), 1.0) - 1.0; };
    const double edge_m =
        root_between(over, {b_m, over(b_m)}, {all_gone_m, over(all_gone_m)}, found_within);
    const double fringe_m = 1.0 / alpha_1_per_m;
    const double head2 = (left_m3_per_day + pi * beyond_m_per_day * b2) / (pi * k_1_m_per_day) *
                             std::log(edge_m / b_m) -
                         0.5 * beyond_m_per_day / k_1_m_per_day * (edge_m * edge_m - b2);
    return std::sqrt(fringe_m * fringe_m + std::max(0.0, head2)) - fringe_m;
  }
};

Spreading spreading_of(double rate_m3_per_day, double radius_m, const SoilBoundary& boundary,
                       const Soil& below) {
  const Soil& above = boundary.above;
  const double b2 = std::max(radius_m * radius_m, rate_m3_per_day / (pi * above.kfs_m_per_day));
  const double b = std::sqrt(b2);
  return {
      .rate_m3_per_day = rate_m3_per_day,
      .b_m = b,
      .reach_m = boundary.reach_m,
      .alpha_1_per_m = above.alpha_per_m,
      .k_1_m_per_day = above.kfs_m_per_day,
      .n = below.alpha_per_m / above.alpha_per_m,
      .c_per_m2 = above.alpha_per_m * above.alpha_per_m * below.kfs_m_per_day / above.kfs_m_per_day,
      .under_disc_m3_per_day =
          pi * b2 * below.kfs_m_per_day * (1.0 + 4.0 / (pi * below.alpha_per_m * b)),
      .beyond_m_per_day = below.kfs_m_per_day};
}

}  // namespace

double outflow_factor(double x, double n) {
  if (n > 3.0) return power_factor(x, 2.0 / (n - 1.0));
  const double even = std::log1p(1.0 / x);
  return n > 1.0 ? std::lerp(even, power_factor(x, 1.0), 0.5 * (n - 1.0)) : even;
}

double water_over_m(double rate_m3_per_day, double radius_m, const SoilBoundary& boundary) {
  if (!(rate_m3_per_day > 0.0) || boundary.above == boundary.below) return far_below_m;
  const Soil& above = boundary.above;
  const double whole = spreading_of(rate_m3_per_day, radius_m, boundary, boundary.below).held();
  const double own = spreading_of(rate_m3_per_day, radius_m, boundary, above).held();
  const double held = whole - own / std::max(1.0, whole);
  if (held < least_held) return far_below_m;
  return (held > 1.0 ? held - 1.0 : std::log(held)) / above.alpha_per_m;
}

double flow_onto_m3_per_day(const Pit& pit, const SoilBoundary& boundary,
                            std::span<const double> flow_m3_per_day) {
  double sum = boundary.top_m < 0.0 ? flow_m3_per_day[pit.rings.size()] : 0.0;
  for (std::size_t i = 0; i < pit.rings.size(); ++i) {
    if (0.5 * (pit.rings[i].bottom_m + pit.rings[i].top_m) >= boundary.top_m)
      sum += flow_m3_per_day[i];
  }
  return std::max(0.0, sum);
}

std::vector<HeldWater> perched_water(const Pit& pit, std::span<const SoilBoundary> boundaries,
                                     std::span<const double> onto_m3_per_day) {
  const double radius_m = std::sqrt(bottom_area_m2(pit.geometry) / pi);
  std::vector<HeldWater> held;
  for (std::size_t k = 0; k < boundaries.size(); ++k) {
    const double over_m = water_over_m(onto_m3_per_day[k], radius_m, boundaries[k]);
    const double level_m = boundaries[k].top_m + over_m;
    if (boundaries[k].above.alpha_per_m * level_m > std::log(least_held))
      held.push_back({level_m, boundaries[k].top_m});
  }
  return held;
}

std::vector<HeldWater> steady_perched_water(const Pit& pit,
                                            std::span<const SoilBoundary> boundaries,
                                            std::span<const double> resistance_day, double level_m,
                                            double table_m) {
  std::vector<HeldWater> held;
  for (const SoilBoundary& boundary : boundaries) held.push_back({far_below_m, boundary.top_m});
  std::vector<double> flow(pit.rings.size() + 1);
  // One by one, with the others' water as it is: more water held means less that comes down, and
  // bisection finds where the two agree.
  const auto settle = [&](std::size_t k) {
    const auto stands = [&](double at_m) {
      held[k].level_m = at_m;
      pit_intake_m3_per_day(pit, resistance_day, level_m, {.table_m = table_m, .held = held}, flow);
      const double onto = flow_onto_m3_per_day(pit, boundaries[k], flow);
      const std::vector<HeldWater> now = perched_water(pit, {&boundaries[k], 1}, {&onto, 1});
      return now.empty() ? far_below_m : now.front().level_m;
    };
    double low_m = boundaries[k].top_m + std::log(least_held) / boundaries[k].above.alpha_per_m;
    double high_m = level_m;
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
  const int rounds = boundaries.size() > 1 ? 8 : 1;
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t k = 0; k < boundaries.size(); ++k) settle(k);
  }
  std::erase_if(held, [](const HeldWater& h) { return h.level_m <= far_below_m; });
  return held;
}

}  // namespace restwell
