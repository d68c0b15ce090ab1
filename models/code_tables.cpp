#include "models/code_tables.hpp"

#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace restwell {
namespace {

constexpr double mpi = us::minute_per_inch_day_per_m;
constexpr double ft2 = us::square_foot_m2;
// 60 min/inch read from a field sheet must still be 60 after the way through day/m.
constexpr double rounding = 1e-9;

constexpr std::array<AreaForRate, 10> phs_table{{
    {1 * mpi, 70 * ft2},
    {2 * mpi, 85 * ft2},
    {3 * mpi, 100 * ft2},
    {4 * mpi, 115 * ft2},
    {5 * mpi, 125 * ft2},
    {10 * mpi, 165 * ft2},
    {15 * mpi, 190 * ft2},
    {30 * mpi, 250 * ft2},
    {45 * mpi, 300 * ft2},
    {60 * mpi, 330 * ft2},
}};
constexpr double slowest_for_pits = 30 * mpi;
constexpr double fastest = 1 * mpi;

bool below(double rate, double limit) { return rate < limit * (1 - rounding); }
bool above(double rate, double limit) { return rate > limit * (1 + rounding); }

}  // namespace

std::span<const AreaForRate> phs_area_table() { return phs_table; }

std::optional<double> phs_area_m2_per_bedroom(double rate) {
  const AreaForRate& first = phs_table.front();
  const AreaForRate& last = phs_table.back();
  if (below(rate, first.perc_day_per_m) || !(rate <= last.perc_day_per_m * (1 + rounding)))
    return std::nullopt;
  std::size_t i = 1;
  while (i + 1 < phs_table.size() && rate > phs_table[i].perc_day_per_m) ++i;
  const AreaForRate& left = phs_table[i - 1];
  const AreaForRate& right = phs_table[i];
  const double share = (rate - left.perc_day_per_m) / (right.perc_day_per_m - left.perc_day_per_m);
  return std::lerp(left.area_m2_per_bedroom, right.area_m2_per_bedroom, share);
}

std::optional<double> phs_loading_m_per_day(double rate) {
  if (below(rate, fastest) || !(rate <= 60 * mpi * (1 + rounding))) return std::nullopt;
  return 5.0 / std::sqrt(rate / mpi) * us::gallon_per_day_ft2_m_per_day;
}

PitSuitability pit_suitability(double rate) {
  if (below(rate, fastest)) return PitSuitability::too_fast;
  return above(rate, slowest_for_pits) ? PitSuitability::too_slow : PitSuitability::suited;
}

std::optional<double> ipsdc_area_m2_per_bedroom(double rate) {
  if (below(rate, 10 * mpi)) return 165 * ft2;
  if (below(rate, 30 * mpi)) return 250 * ft2;
  if (below(rate, 45 * mpi)) return 300 * ft2;
  if (rate <= 60 * mpi * (1 + rounding)) return 330 * ft2;
  return std::nullopt;
}

std::optional<double> epa_loading_m_per_day(double rate) {
  struct Step {
    double to_min_per_inch, gal_per_day_ft2;
  };
  constexpr std::array<Step, 5> steps{{{5, 1.2}, {15, .8}, {30, .6}, {60, .45}, {120, .2}}};
  if (below(rate, fastest)) return std::nullopt;
  for (const Step& s : steps) {
    if (rate <= s.to_min_per_inch * mpi * (1 + rounding))
      return s.gal_per_day_ft2 * us::gallon_per_day_ft2_m_per_day;
  }
  return std::nullopt;
}

std::optional<double> healy_laak_loading_m_per_day(double kfs_m_per_day) {
  constexpr double most_ft_per_min = 0.1;
  const double k = kfs_m_per_day / us::foot_per_minute_m_per_day;
  if (!(k > 0.0) || k >= most_ft_per_min) return std::nullopt;
  return (5.0 * k - 1.2 / std::log10(k)) * us::gallon_per_day_ft2_m_per_day;
}

double pit_wall_area_m2(double diameter_m, double depth_m) {
  return std::numbers::pi * diameter_m * depth_m;
}

double pit_depth_for_wall_m(double area_m2, double diameter_m) {
  return area_m2 / (std::numbers::pi * diameter_m);
}

}  // namespace restwell
