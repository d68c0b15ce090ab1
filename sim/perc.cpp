#include "sim/perc.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "models/soil.hpp"

namespace restwell {
namespace {

constexpr std::size_t structured_class = 1;  // taken where no class is stated

std::size_t class_of(const PercHole& hole) {
  const auto classes = structure_classes();
  for (std::size_t c = 0; c < classes.size(); ++c)
    if (classes[c].name == hole.structure) return c;
  return structured_class;
}

HoleResult evaluate_hole(const PercHole& hole, const TestRules& rules) {
  HoleResult r;
  r.rate = hole_rate(hole.test, rules);
  r.fast = is_fast(hole.test, rules);
  r.drift = drift(hole.test, rules);
  r.faults = test_faults(hole.test, rules);
  const auto classes = structure_classes();
  const auto kfs = [&](double day_per_m, std::size_t c) {
    return kfs_from_percolation_m_per_day(
        {day_per_m, hole.test.diameter_m / 2, mean_water_depth_m(hole.test)},
        classes[c].alpha_per_m);
  };
  for (std::size_t c = 0; c < classes.size(); ++c) r.kfs_m_per_day[c] = kfs(r.rate.day_per_m, c);
  const std::size_t own = class_of(hole);
  r.kfs = {kfs(r.rate.slowest_day_per_m, own), r.kfs_m_per_day[own],
           kfs(r.rate.fastest_day_per_m, own)};
  if (!hole.structure.empty()) return r;
  for (std::size_t c = 0; c < classes.size(); ++c) {
    r.kfs.low_m_per_day = std::min(r.kfs.low_m_per_day, kfs(r.rate.slowest_day_per_m, c));
    r.kfs.high_m_per_day = std::max(r.kfs.high_m_per_day, kfs(r.rate.fastest_day_per_m, c));
  }
  return r;
}

// Means with weights: arithmetic of rates, harmonic of conductivities.
struct Weighted {
  std::size_t hole;
  double weight;
};
template <typename Get>
double mean_of(const std::vector<Weighted>& parts, Get get) {
  double sum = 0.0, weights = 0.0;
  for (const Weighted& p : parts) {
    sum += p.weight * get(p.hole);
    weights += p.weight;
  }
  return sum / weights;
}
template <typename Get>
double harmonic_mean_of(const std::vector<Weighted>& parts, Get get) {
  return 1.0 / mean_of(parts, [&](std::size_t h) { return 1.0 / get(h); });
}

KfsRange mean_kfs(const std::vector<HoleResult>& holes, const std::vector<Weighted>& parts) {
  return {harmonic_mean_of(parts, [&](std::size_t h) { return holes[h].kfs.low_m_per_day; }),
          harmonic_mean_of(parts, [&](std::size_t h) { return holes[h].kfs.middle_m_per_day; }),
          harmonic_mean_of(parts, [&](std::size_t h) { return holes[h].kfs.high_m_per_day; })};
}

bool same_layer(const PercHole& hole, const PercLayer& layer) {
  constexpr double same_m = 1e-9;
  return hole.from_depth_m && layer.from_depth_m &&
         std::abs(*hole.from_depth_m - *layer.from_depth_m) < same_m &&
         std::abs(*hole.to_depth_m - *layer.to_depth_m) < same_m;
}

std::vector<PercLayer> layers_of(const PercInput& input, const std::vector<HoleResult>& results) {
  std::vector<PercLayer> layers;
  for (std::size_t h = 0; h < input.holes.size(); ++h) {
    const PercHole& hole = input.holes[h];
    if (!hole.thickness_m) continue;
    auto at = std::ranges::find_if(layers, [&](const PercLayer& l) { return same_layer(hole, l); });
    if (at == layers.end()) {
      PercLayer layer;
      layer.rate.thickness_m = *hole.thickness_m;
      layer.from_depth_m = hole.from_depth_m;
      layer.to_depth_m = hole.to_depth_m;
      at = layers.insert(layers.end(), std::move(layer));
    }
    at->name += (at->holes.empty() ? "" : ", ") + hole.name;
    at->holes.push_back(h);
  }
  for (PercLayer& layer : layers) {
    std::vector<Weighted> parts;
    for (const std::size_t h : layer.holes) parts.push_back({h, 1.0});
    layer.rate.day_per_m = mean_of(parts, [&](std::size_t h) { return results[h].rate.day_per_m; });
    layer.counts = layer_counts(layer.rate);
    layer.kfs = mean_kfs(results, parts);
  }
  std::ranges::stable_sort(layers, {}, [](const PercLayer& l) { return l.from_depth_m; });
  return layers;
}

// The holes with their share in the result, and what they add up to.
std::vector<Weighted> weights(PercResult& r) {
  std::vector<Weighted> parts;
  if (r.layers.empty()) {
    for (std::size_t h = 0; h < r.holes.size(); ++h) parts.push_back({h, 1.0});
    return parts;
  }
  r.no_layer_counts = std::ranges::none_of(r.layers, &PercLayer::counts);
  for (const PercLayer& layer : r.layers) {
    if (!layer.counts && !r.no_layer_counts) continue;
    r.counted_m += layer.rate.thickness_m;
    for (const std::size_t h : layer.holes)
      parts.push_back({h, layer.rate.thickness_m / static_cast<double>(layer.holes.size())});
  }
  return parts;
}

}  // namespace

PercResult evaluate_perc(const PercInput& input) {
  PercResult r;
  r.input = input;
  for (const PercHole& hole : input.holes) r.holes.push_back(evaluate_hole(hole, r.rules));
  r.layers = layers_of(input, r.holes);
  std::vector<double> rates;
  for (const HoleResult& h : r.holes) rates.push_back(h.rate.day_per_m);
  r.spread = rate_spread(rates);

  const std::vector<Weighted> parts = weights(r);
  const auto& holes = r.holes;
  std::vector<LayerRate> layers;
  for (const PercLayer& l : r.layers) layers.push_back(l.rate);
  const auto weighted = weighted_rate(layers);
  r.day_per_m = weighted ? weighted->day_per_m
                         : mean_of(parts, [&](std::size_t h) { return holes[h].rate.day_per_m; });
  r.fastest_day_per_m =
      mean_of(parts, [&](std::size_t h) { return holes[h].rate.fastest_day_per_m; });
  r.slowest_day_per_m =
      mean_of(parts, [&](std::size_t h) { return holes[h].rate.slowest_day_per_m; });
  r.at_least =
      std::ranges::any_of(parts, [&](const Weighted& p) { return holes[p.hole].rate.at_least; });
  for (std::size_t c = 0; c < r.kfs_m_per_day.size(); ++c) {
    r.kfs_m_per_day[c] =
        harmonic_mean_of(parts, [&](std::size_t h) { return holes[h].kfs_m_per_day[c]; });
  }
  r.kfs = mean_kfs(r.holes, parts);
  return r;
}

}  // namespace restwell
