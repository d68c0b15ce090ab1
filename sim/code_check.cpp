#include "sim/code_check.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "models/percolation.hpp"
#include "models/soil.hpp"
#include "sim/occupancy.hpp"

namespace restwell {

CodeBasis code_basis(const Scenario& scenario) {
  CodeBasis basis;
  const HouseholdConfig& h = scenario.household;
  basis.assumed = h.bedrooms <= 0;
  double most = h.occupants;
  for (const HouseholdChange& c : h.changes) most = std::max(most, c.occupants.value_or(0.0));
  basis.bedrooms = basis.assumed
                       ? std::max(fewest_bedrooms_assumed,
                                  static_cast<int>(std::ceil(most / code_people_per_bedroom)))
                       : h.bedrooms;
  basis.people = code_people_per_bedroom * basis.bedrooms;
  basis.flow_m3_per_day = DesignFlow{}.m3_per_bedroom_day * basis.bedrooms;
  return basis;
}

Scenario under_code_flow(const Scenario& scenario, const CodeBasis& basis) {
  Scenario s = scenario;
  HouseholdConfig full;
  full.occupants = basis.people;
  full.bedrooms = basis.bedrooms;
  full.leak_m3_per_day = 0.0;
  full.disposer = scenario.household.disposer;
  const double factor = basis.flow_m3_per_day / mean_use_m3_per_day(full, s.household_parameters);
  for (FixtureUse& use : full.fixtures) use.volume_m3 *= factor;
  s.household = full;
  return s;
}

double perc_rate_day_per_m(const SoilLayer& layer) {
  if (layer.perc_day_per_m) return *layer.perc_day_per_m;
  return percolation_from_kfs_day_per_m(layer.soil.kfs_m_per_day, {}, layer.soil.alpha_per_m);
}

bool CodeAsk::meets(const std::optional<double>& asked_m2) const {
  constexpr double rounding = 1e-6;
  return asked_m2 && suitability == PitSuitability::suited &&
         wall_m2 >= *asked_m2 * (1.0 - rounding);
}

CodeAsk code_ask(const SoilConfig& soil, double inlet_depth_m, const PitSize& size,
                 const CodeBasis& basis) {
  std::vector<LayerRate> wall;
  double top = -1e9;
  double slowest_wall = 0.0;
  for (const SoilLayer& layer : soil.layers) {
    const double inside =
        std::min(layer.to_depth_m, inlet_depth_m + size.depth_m) - std::max(top, inlet_depth_m);
    const double rate = perc_rate_day_per_m(layer);
    if (inside > 0.0) {
      wall.push_back({inside, rate});
      slowest_wall = std::max(slowest_wall, rate);
    }
    top = layer.to_depth_m;
  }
  CodeAsk ask;
  std::optional<WeightedRate> weighted = weighted_rate(wall);
  // A pit wholly in slow soil: its rate is told, and that it is too slow.
  if (!weighted && wall.size() == 1) weighted = WeightedRate{slowest_wall, size.depth_m};
  if (!weighted) return ask;
  const double rate = weighted->day_per_m;
  ask.rate_day_per_m = rate;
  ask.wall_m2 = size.count * pit_wall_area_m2(size.diameter_m, weighted->counted_m);
  ask.suitability = pit_suitability(rate);
  const auto for_bedrooms = [&](std::optional<double> area) {
    return area ? std::optional(*area * basis.bedrooms) : std::nullopt;
  };
  ask.phs_m2 = for_bedrooms(phs_area_m2_per_bedroom(rate));
  ask.ipsdc_m2 = for_bedrooms(ipsdc_area_m2_per_bedroom(rate));
  if (const auto loading = epa_loading_m_per_day(rate))
    ask.epa_m2 = basis.flow_m3_per_day / *loading;
  return ask;
}

}  // namespace restwell
