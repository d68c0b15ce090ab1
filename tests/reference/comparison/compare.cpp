#include "tests/reference/comparison/compare.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace restwell::comparison {

namespace {

using std::numbers::pi;

constexpr double ground_over_pond_m = 1.0;

const Soil& soil_at(const Case& c, double z_m) {
  return c.soil_above && z_m > c.boundary_m ? *c.soil_above : c.soil;
}

}  // namespace

std::vector<double> Law::flows_m3_per_day(double level_m, double mound_m) const {
  std::vector<double> flow(resistance_day.size());
  const double felt_m = table_m + std::clamp(level_m - table_m, 0.0, mound_m);
  const std::vector<HeldWater> perched =
      held ? *held : steady_perched_water(pit, boundaries, resistance_day, level_m, felt_m);
  pit_intake_m3_per_day(pit, resistance_day, level_m, {.table_m = felt_m, .held = perched}, flow);
  return flow;
}

double Law::intake_m3_per_day(double level_m, double mound_m) const {
  const std::vector<double> flow = flows_m3_per_day(level_m, mound_m);
  return std::accumulate(flow.begin(), flow.end(), 0.0);
}

Law::SoilState Law::soil(const SoilLag& lag, double level_m, double mound_m) const {
  const std::vector<double> clean_day(resistance_day.size(), 0.0);
  std::vector<double> clean(resistance_day.size());
  pit_intake_m3_per_day(pit, clean_day, level_m, {}, clean);
  const std::vector<double> flow = flows_m3_per_day(level_m, mound_m);
  return {soil_activity(pit, resistance_day, level_m, flow, clean),
          restwell::lag_time_day(lag, pit, level_m, flow, clean)};
}

Law law_of(const Case& c) {
  Law law;
  law.pit.geometry.radius_m = c.radius_m;
  law.pit.geometry.depth_m = c.pond_m;
  const int count = static_cast<int>(std::ceil(c.pond_m / ring_m));
  const int to_ground = count + static_cast<int>(std::ceil(ground_over_pond_m / ring_m));
  for (int i = 0; i < to_ground; ++i) {
    const double low = c.pond_m * i / count;
    const double high = c.pond_m * (i + 1) / count;
    const auto add = [&](double from, double to) {
      const double middle_m = 0.5 * (from + to);
      law.pit.rings.push_back({from, to, soil_at(c, middle_m)});
      law.resistance_day.push_back(c.wall_day(middle_m));
    };
    if (c.soil_above && c.boundary_m > low + 1e-6 && c.boundary_m < high - 1e-6) {
      add(low, c.boundary_m);
      add(c.boundary_m, high);
    } else {
      add(low, high);
    }
  }
  law.pit.bottom_soil = c.soil;
  if (c.soil_above) {
    law.boundaries = {{.top_m = c.boundary_m,
                       .above = *c.soil_above,
                       .below = c.soil,
                       .reach_m = reference::default_extent(reference_problem(c)).far_m}};
  }
  if (c.soil_above && c.boundary_m < 0) {
    law.pit.bottom_soil =
        soil_below(*c.soil_above, -c.boundary_m, c.soil, bottom_reach * c.radius_m);
    if (c.soil.kfs_m_per_day > c.soil_above->kfs_m_per_day)
      law.pit.slow_below = SlowLayer{*c.soil_above, -c.boundary_m};
  }
  law.resistance_day.push_back(c.bottom_day);
  if (c.table_below_bottom_m) law.table_m = -*c.table_below_bottom_m;
  return law;
}

double edge_mound_m(const Case& c, double intake_m3_per_day) {
  const double d = aquifer_thickness_m;
  return std::sqrt(d * d + intake_m3_per_day / (pi * c.soil.kfs_m_per_day) *
                               std::log(undisturbed_m / c.radius_m)) -
         d;
}

double intake_with_mound_m3_per_day(const Law& law, double level_m,
                                    const std::function<double(double)>& mound_m) {
  double low = 0;
  double high = law.intake_m3_per_day(level_m);
  for (int i = 0; i < 60; ++i) {
    const double intake = 0.5 * (low + high);
    (law.intake_m3_per_day(level_m, mound_m(intake)) > intake ? low : high) = intake;
  }
  return 0.5 * (low + high);
}

double law_intake_m3_per_day(const Case& c, double level_m) {
  const Law law = law_of(c);
  if (!c.table_below_bottom_m) return law.intake_m3_per_day(level_m);
  return intake_with_mound_m3_per_day(law, level_m,
                                      [&](double intake) { return edge_mound_m(c, intake); });
}

reference::PitProblem reference_problem(const Case& c, double resolution) {
  reference::PitProblem p;
  p.radius_m = c.radius_m;
  p.pond_m = c.pond_m;
  p.depth_m = c.pond_m + ground_over_pond_m;
  const auto soil = [](const Soil& s) {
    return reference::Soil::gardner(s.kfs_m_per_day, s.alpha_per_m);
  };
  p.layers = {{1e9, soil(c.soil)}};
  if (c.soil_above)
    p.layers.insert(p.layers.begin(), {p.depth_m - c.boundary_m, soil(*c.soil_above)});
  p.wall_resistance_day = [c](double z) { return c.wall_day(z); };
  p.bottom_resistance_day = c.bottom_day;
  if (c.front_m < c.pond_m) p.wall_nodes_m = {c.front_m};
  if (c.table_below_bottom_m) {
    p.water_table = reference::WaterTable{
        .below_bottom_m = *c.table_below_bottom_m,
        .far_m = undisturbed_m,
        .aquifer_base_below_bottom_m = *c.table_below_bottom_m + aquifer_thickness_m};
  }
  p.resolution = resolution;
  return p;
}

Spread spread_of(std::vector<double> errors) {
  Spread s;
  s.count = errors.size();
  if (errors.empty()) return s;
  s.mean = std::accumulate(errors.begin(), errors.end(), 0.0) / static_cast<double>(s.count);
  for (double& e : errors) e = std::abs(e);
  std::sort(errors.begin(), errors.end());
  const auto at = [&](double share) {
    const double place = share * static_cast<double>(errors.size() - 1);
    const auto i = static_cast<std::size_t>(place);
    const std::size_t next = std::min(i + 1, errors.size() - 1);
    return std::lerp(errors[i], errors[next], place - static_cast<double>(i));
  };
  s.median = at(0.5);
  s.percentile_95 = at(0.95);
  s.worst = errors.back();
  return s;
}

double same_order(const std::vector<double>& law, const std::vector<double>& reference,
                  double apart) {
  int pairs = 0;
  int same = 0;
  for (std::size_t i = 0; i < law.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (std::abs(std::log(reference[i] / reference[j])) < std::log1p(apart)) continue;
      ++pairs;
      same += (reference[i] > reference[j]) == (law[i] > law[j]);
    }
  }
  return pairs > 0 ? static_cast<double>(same) / pairs : 1.0;
}

}  // namespace restwell::comparison
