#include "sim/box_split.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/scenario.hpp"

namespace restwell {
namespace {

constexpr std::size_t nodes = 1024;
constexpr double greatest_flow_m3_per_day = 150.0;  // about 100 L/min; above, solved directly

}  // namespace

FreeSplit::FreeSplit(std::vector<BoxOutlet> outlets, const BoxLid& lid)
    : outlets_(std::move(outlets)),
      lid_(lid),
      root_step_(std::sqrt(greatest_flow_m3_per_day) / (nodes - 1)) {
  const std::size_t n = outlets_.size(), row = n + 1;
  node_.resize(row * nodes);
  const std::vector<Tailwater> none(n);
  std::vector<double> flow(n);
  for (std::size_t k = 0; k < nodes; ++k) {
    // The share at no flow is that of a trickle.
    const double root = root_step_ * static_cast<double>(std::max<std::size_t>(k, 1));
    const double total = root * root;
    const BoxFlow box = split_flow(outlets_, lid_, total, none, 0.0, flow);
    for (std::size_t i = 0; i < n; ++i) node_[k * row + i].share = flow[i] / total;
    node_[k * row + n].share = box.lid_m3_per_day / total;
  }
  // With r = sqrt(Q) and the share s(r): d2(Q s)/dQ2 = (3 s' + r s'')/(4 r).
  for (std::size_t k = 2; k + 1 < nodes; ++k) {
    const double root = root_step_ * static_cast<double>(k);
    for (std::size_t i = 0; i < row; ++i) {
      const double low = node_[(k - 1) * row + i].share, high = node_[(k + 1) * row + i].share;
      const double slope = (high - low) / (2.0 * root_step_);
      const double bend = (high - 2.0 * node_[k * row + i].share + low) / (root_step_ * root_step_);
      node_[k * row + i].half_bend_day_per_m3 = (3.0 * slope + root * bend) / (8.0 * root);
    }
  }
}

std::unique_ptr<FreeSplit> free_split(const SiteLayout& site) {
  if (!site.box_present || site.outlets.empty()) return nullptr;
  return std::make_unique<FreeSplit>(site.outlets, site.lid);
}

void FreeSplit::add_volume(double flow_m3_per_day, double deviation_m3_per_day, double dt_day,
                           std::span<double> outlet_m3, double& lid_m3) const {
  const std::size_t n = outlets_.size();
  if (!(flow_m3_per_day * dt_day > 0.0)) return;
  const double position = std::sqrt(flow_m3_per_day) / root_step_;
  if (position >= nodes - 1) {
    const std::array<Tailwater, max_outlets> none{};
    std::array<double, max_outlets> flow{};
    const BoxFlow box = split_flow(outlets_, lid_, flow_m3_per_day, std::span(none).first(n), 0.0,
                                   std::span(flow).first(n));
    for (std::size_t i = 0; i < n; ++i) outlet_m3[i] += flow[i] * dt_day;
    lid_m3 += box.lid_m3_per_day * dt_day;
    return;
  }
  const auto cell = static_cast<std::size_t>(position);
  const double weight = position - static_cast<double>(cell);
  const Node* low = &node_[cell * (n + 1)];
  const Node* high = low + (n + 1);
  const double volume = flow_m3_per_day * dt_day,
               spread = deviation_m3_per_day * deviation_m3_per_day * dt_day;
  const auto part = [&](std::size_t i) {
    const double share = low[i].share + weight * (high[i].share - low[i].share);
    const double half_bend = low[i].half_bend_day_per_m3 +
                             weight * (high[i].half_bend_day_per_m3 - low[i].half_bend_day_per_m3);
    return volume * share + spread * half_bend;
  };
  for (std::size_t i = 0; i < n; ++i) outlet_m3[i] += part(i);
  lid_m3 += part(n);
}

}  // namespace restwell
