#include "sim/binned_effluent.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace restwell {
namespace {

// In the coupled solution effluent steps are joined. With two or more outlets in free fall
// their shares hang on the flow, so it must not change much; else the pits' storage rules, and what
// counts is that they do not move far.
struct Joining {
  double step_day, flow_change;
};
constexpr Joining fine = {10.0 / (24.0 * 60.0), 0.3};
constexpr Joining coarse = {60.0 / (24.0 * 60.0), 1e9};

}  // namespace

void set_strength(const TankDay& day, BinnedEffluent& effluent) {
  if (day.outflow_m3 <= 0.0) return;
  effluent.tss_kg_per_m3 = day.tss_out_kg / day.outflow_m3;
  effluent.bod_kg_per_m3 = day.bod_out_kg / day.outflow_m3;
}

void bin_effluent(const TankDay& day, double bin_day, const BoxInUse& box, BinnedEffluent& b) {
  const std::size_t outlets = box.outlets;
  const auto bins = static_cast<std::size_t>(std::ceil(1.0 / bin_day - 1e-9));
  b.bin_day = 1.0 / static_cast<double>(bins);
  b.outlet_m3.assign(bins * outlets, 0.0);
  b.lid_m3.assign(bins, 0.0);
  b.split = box.split;
  b.total_m3 = day.outflow_m3;
  b.hauled_m3 = box.hauled ? day.outflow_m3 : 0.0;
  set_strength(day, b);
  b.steps.clear();
  b.first_step.assign(1, 0);
  const auto end_bin = [&b] { b.first_step.push_back(b.steps.size()); };
  if (box.hauled) {
    for (std::size_t bin = 0; bin < bins; ++bin) end_bin();
    return;
  }
  std::size_t bin = 0;
  double room = b.bin_day;
  const auto add = [&](double dt, const EffluentStep& step) {
    const double volume_m3 = step.flow_m3_per_day * dt;
    b.steps.push_back({dt, volume_m3});
    const std::span<double> volume(b.outlet_m3.data() + bin * outlets, outlets);
    if (box.split != nullptr) {
      box.split->add_step(step, dt, volume, b.lid_m3[bin]);
    } else {
      volume[0] += volume_m3;
    }
  };
  for (const EffluentStep& step : day.steps) {
    double left = step.dt_day;
    while (bin + 1 < bins && left >= room) {
      if (room > 0.0) add(room, step);
      left -= room;
      room = b.bin_day;
      ++bin;
      end_bin();
    }
    if (left > 0.0) {
      add(left, step);
      room -= left;
    }
  }
  for (; bin < bins; ++bin) end_bin();
}

void join_steps(const BinnedEffluent& effluent, std::size_t bin, bool several_fall,
                std::vector<BinnedEffluent::Step>& joined) {
  const Joining& rule = several_fall ? fine : coarse;
  joined.clear();
  double first_m3_per_day = 0.0;  // of what is being joined
  for (std::size_t k = effluent.first_step[bin]; k < effluent.first_step[bin + 1]; ++k) {
    const BinnedEffluent::Step& step = effluent.steps[k];
    const double flow = step.volume_m3 / step.dt_day;
    const bool changed = std::abs(flow - first_m3_per_day) > rule.flow_change * first_m3_per_day;
    if (joined.empty() || changed ||
        joined.back().dt_day + step.dt_day > rule.step_day * (1.0 + 1e-9)) {
      joined.push_back({0.0, 0.0});
      first_m3_per_day = flow;
    }
    joined.back().dt_day += step.dt_day;
    joined.back().volume_m3 += step.volume_m3;
  }
}

void renew_bins(const TankDay& day, double bin_day, const BoxInUse& box, BinnedDay& binned) {
  if (binned.course == day.course && binned.box == box) {
    set_strength(day, binned.effluent);
    return;
  }
  binned.course = day.course;
  binned.box = box;
  bin_effluent(day, bin_day, box, binned.effluent);
}

}  // namespace restwell
