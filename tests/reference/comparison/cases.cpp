#include "tests/reference/comparison/cases.hpp"

#include <algorithm>
#include <cmath>
#include <random>

namespace restwell::comparison {

namespace {

class Draw {
 public:
  explicit Draw(unsigned long long seed) : generator_(seed) {}
  // The engine is the same everywhere; the library's distributions are not.
  double between(double low, double high) {
    constexpr double unit = 1.0 / 9007199254740992.0;
    return low + (high - low) * static_cast<double>(generator_() >> 11U) * unit;
  }
  double log_between(double low, double high) {
    return std::exp(between(std::log(low), std::log(high)));
  }
  double resistance_day() { return between(0, 1) < 0.15 ? 0.0 : log_between(0.2, 300); }
  Soil soil() { return {.kfs_m_per_day = log_between(0.01, 3), .alpha_per_m = log_between(1, 36)}; }

 private:
  std::mt19937_64 generator_;
};

Case drawn(Draw& draw, Regime regime) {
  Case c;
  c.regime = regime;
  do {
    c.radius_m = draw.log_between(0.3, 1.8);
    c.pond_m = c.radius_m * draw.log_between(0.3, 8);
  } while (c.pond_m > 6);
  c.soil = draw.soil();
  c.lower_day = c.upper_day = c.bottom_day = draw.resistance_day();
  c.front_m = 1e9;
  const double rings = std::ceil(c.pond_m / ring_m);
  const auto front = [&] {
    const double ring = std::floor(draw.between(0.15, 0.9) * rings);
    c.front_m = std::max(1.0, ring) * c.pond_m / rings;
  };
  switch (regime) {
    case Regime::even:
      break;
    case Regime::bottom:
      c.bottom_day = draw.resistance_day();
      break;
    case Regime::front:
      front();
      c.upper_day = draw.between(0, 1) < 0.3 ? 0.0 : draw.log_between(0.2, 2);
      c.bottom_day = c.lower_day * draw.log_between(1, 10);
      break;
    case Regime::mixed:
      front();
      c.upper_day = draw.resistance_day();
      c.bottom_day = draw.resistance_day();
      break;
    case Regime::layers:
      c.soil_above = Soil{
          .kfs_m_per_day = std::clamp(c.soil.kfs_m_per_day * draw.log_between(0.1, 10), 0.01, 3.0),
          .alpha_per_m = draw.log_between(1, 36)};
      c.boundary_m = draw.between(-1, c.pond_m);
      break;
    case Regime::water_table:
      c.table_below_bottom_m = draw.log_between(1, 6);
      break;
  }
  return c;
}

}  // namespace

std::string_view name_of(Regime regime) {
  switch (regime) {
    case Regime::even:
      return "one soil, one resistance";
    case Regime::bottom:
      return "bottom unlike the wall";
    case Regime::front:
      return "clogged to a front";
    case Regime::mixed:
      return "wall and bottom mixed";
    case Regime::layers:
      return "two layers";
    case Regime::water_table:
      return "near water table";
  }
  return "";
}

std::vector<Case> designed_cases(int per_regime, unsigned long long seed) {
  std::vector<Case> cases;
  Draw draw(seed);
  for (int i = 0; i < per_regime; ++i) {
    for (const Regime regime : all_regimes) {
      cases.push_back(drawn(draw, regime));
      cases.back().number = static_cast<int>(cases.size());
    }
  }
  return cases;
}

}  // namespace restwell::comparison
