#include "sim/box_split.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/scenario.hpp"

namespace restwell {
namespace {

constexpr int nodes = 1024;
constexpr double greatest_flow_m3_per_day = 150.0;  // about 100 L/min; above, solved directly

}  // namespace

FreeSplit::FreeSplit(std::vector<BoxOutlet> outlets, const BoxLid& lid)
    : outlets_(std::move(outlets)),
      lid_(lid),
      root_step_(std::sqrt(greatest_flow_m3_per_day) / (nodes - 1)) {
  const std::size_t n = outlets_.size();
  share_.resize((n + 1) * nodes);
  const std::vector<Tailwater> none(n);
  std::vector<double> flow(n);
  double lowest = outlets_.front().lip_m;
  for (const BoxOutlet& o : outlets_) lowest = std::min(lowest, o.lip_m);
  for (int k = 0; k < nodes; ++k) {
    const double root = root_step_ * std::max(k, 1);  // the share at no flow is that of a trickle
    const double total = root * root;
    const BoxFlow box = split_flow(outlets_, lid_, total, none, 0.0, flow);
    for (std::size_t i = 0; i < n; ++i) {
      share_[static_cast<std::size_t>(k) * (n + 1) + i] = flow[i] / total;
    }
    share_[static_cast<std::size_t>(k) * (n + 1) + n] = box.lid_m3_per_day / total;
  }
}

std::unique_ptr<FreeSplit> free_split(const SiteLayout& site) {
  if (!site.box_present || site.outlets.empty()) return nullptr;
  return std::make_unique<FreeSplit>(site.outlets, site.lid);
}

void FreeSplit::add_volume(double flow_m3_per_day, double dt_day, std::span<double> outlet_m3,
                           double& lid_m3) const {
  const std::size_t n = outlets_.size();
  const double volume = flow_m3_per_day * dt_day;
  if (!(volume > 0.0)) return;
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
  const double* low = &share_[cell * (n + 1)];
  const double* high = low + (n + 1);
  for (std::size_t i = 0; i < n; ++i) {
    outlet_m3[i] += volume * (low[i] + weight * (high[i] - low[i]));
  }
  lid_m3 += volume * (low[n] + weight * (high[n] - low[n]));
}

}  // namespace restwell
