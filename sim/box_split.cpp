#include "sim/box_split.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/scenario.hpp"

namespace restwell {
namespace {

constexpr std::size_t nodes = 1024;
constexpr double greatest_root = 12.25;  // 150 m3/day, about 100 L/min; above, solved directly

}  // namespace

FreeSplit::FreeSplit(std::vector<BoxOutlet> outlets, const BoxLid& lid)
    : outlets_(std::move(outlets)), lid_(lid), per_root_((nodes - 1) / greatest_root) {
  const std::size_t n = outlets_.size(), row = n + 1;
  share_.resize(row * nodes);
  const std::vector<Tailwater> none(n);
  std::vector<double> flow(n);
  for (std::size_t k = 0; k < nodes; ++k) {
    // The share at no flow is that of a trickle.
    const double root = static_cast<double>(std::max<std::size_t>(k, 1)) / per_root_;
    const double total = root * root;
    const BoxFlow box = split_flow(outlets_, lid_, total, none, 0.0, flow);
    for (std::size_t i = 0; i < n; ++i) share_[k * row + i] = flow[i] / total;
    share_[k * row + n] = box.lid_m3_per_day / total;
    if (box.lid_m3_per_day == 0.0) dry_lid_root_ = static_cast<double>(k) / per_root_;
  }
}

std::unique_ptr<FreeSplit> free_split(const SiteLayout& site) {
  if (!site.box_present || site.outlets.empty()) return nullptr;
  return std::make_unique<FreeSplit>(site.outlets, site.lid);
}

FreeSplits free_splits(const std::vector<Phase>& phases, const FreeSplits& made) {
  FreeSplits splits;
  for (const Phase& phase : phases) {
    const auto is_its = [&](const auto& split) { return split && split->is_of(phase.site); };
    if (const auto own = std::ranges::find_if(splits, is_its); own != splits.end()) {
      splits.push_back(*own);
    } else if (const auto other = std::ranges::find_if(made, is_its); other != made.end()) {
      splits.push_back(*other);
    } else {
      splits.push_back(free_split(phase.site));
    }
  }
  return splits;
}

FreeSplit::Between FreeSplit::between(double root_flow, double volume_m3) const {
  const double position = root_flow * per_root_;
  const int cell = static_cast<int>(position);  // int: quickly made and turned back
  const double high_m3 = volume_m3 * (position - cell);
  return {&share_[static_cast<std::size_t>(cell) * (outlets_.size() + 1)], volume_m3 - high_m3,
          high_m3};
}

void FreeSplit::add_beyond_table(double root_flow, double volume_m3, std::span<double> outlet_m3,
                                 double& lid_m3) const {
  const std::size_t n = outlets_.size();
  const std::array<Tailwater, max_outlets> none{};
  std::array<double, max_outlets> flow{};
  const double total = root_flow * root_flow, dt_day = volume_m3 / total;
  const BoxFlow box =
      split_flow(outlets_, lid_, total, std::span(none).first(n), 0.0, std::span(flow).first(n));
  for (std::size_t i = 0; i < n; ++i) outlet_m3[i] += flow[i] * dt_day;
  lid_m3 += box.lid_m3_per_day * dt_day;
}

void FreeSplit::add_volume(double root_flow, double volume_m3, std::span<double> outlet_m3,
                           double& lid_m3) const {
  const std::size_t n = outlets_.size();
  if (!(volume_m3 > 0.0)) return;
  if (root_flow >= greatest_root) return add_beyond_table(root_flow, volume_m3, outlet_m3, lid_m3);
  const Between at = between(root_flow, volume_m3);
  const auto part = [&](std::size_t i) {
    return at.low_m3 * at.share[i] + at.high_m3 * at.share[i + n + 1];
  };
  for (std::size_t i = 0; i < n; ++i) outlet_m3[i] += part(i);
  lid_m3 += part(n);
}

void FreeSplit::add_step(const EffluentStep& step, double dt_day, std::span<double> outlet_m3,
                         double& lid_m3) const {
  const std::size_t n = outlets_.size();
  const double volume_m3 = step.flow_m3_per_day * dt_day, first_m3 = step.first_share * volume_m3;
  if (!(volume_m3 > 0.0)) return;
  const auto [a, b] = step.root_flow;
  if (a >= greatest_root || b >= greatest_root) {
    add_volume(a, first_m3, outlet_m3, lid_m3);
    add_volume(b, volume_m3 - first_m3, outlet_m3, lid_m3);
    return;
  }
  const Between at_a = between(a, first_m3), at_b = between(b, volume_m3 - first_m3);
  const auto part = [&](std::size_t i) {
    return at_a.low_m3 * at_a.share[i] + at_a.high_m3 * at_a.share[i + n + 1] +
           at_b.low_m3 * at_b.share[i] + at_b.high_m3 * at_b.share[i + n + 1];
  };
  double rest_m3 = volume_m3;
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const double its_m3 = part(i);
    outlet_m3[i] += its_m3;
    rest_m3 -= its_m3;
  }
  const bool over_lid = a > dry_lid_root_ || b > dry_lid_root_;
  outlet_m3[n - 1] += over_lid ? part(n - 1) : rest_m3;
  if (over_lid) lid_m3 += part(n);
}

}  // namespace restwell
