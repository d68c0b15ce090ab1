#include "models/box.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <stdexcept>

#include "models/box_backwater.hpp"

namespace restwell {
namespace {

bool all_free(const Box& box) {
  for (std::size_t i = 0; i < box.outlets.size(); ++i) {
    if (box.tailwater[i].level_m > box.outlets[i].lip_m) return false;
  }
  return true;
}

FlowAndSlope free_outflow(const Box& box, double base_m, double rise_m) {
  FlowAndSlope sum = lid_flow({box.lid.level_m - base_m, box.lid.perimeter_m}, rise_m);
  for (const BoxOutlet& outlet : box.outlets) {
    const FlowAndSlope part = free_flow_and_slope(outlet.opening, rise_m - (outlet.lip_m - base_m));
    sum.flow_m3_per_day += part.flow_m3_per_day;
    sum.slope_m2_per_day += part.slope_m2_per_day;
  }
  return sum;
}

// With free fall everywhere the sum is C1: Newton kept inside a bracket. Measured as a rise over
// base_m, the lowest way out, so that a trickle's head is not lost to rounding.
double free_rise_m(const Box& box, double inflow, double base_m) {
  double below = 0.0;
  double above = std::max(box.lid.level_m - base_m, 0.0) + lid_head_m(box.lid, inflow);
  for (const BoxOutlet& outlet : box.outlets) {
    above = std::min(above, outlet.lip_m - base_m + sufficient_head_m(outlet.opening, inflow));
  }
  double rise_m = above;
  for (int i = 0; i < 100; ++i) {
    const FlowAndSlope sum = free_outflow(box, base_m, rise_m);
    const double surplus = sum.flow_m3_per_day - inflow;
    (surplus < 0.0 ? below : above) = rise_m;
    double next = rise_m - surplus / sum.slope_m2_per_day;
    if (!(next >= below && next <= above)) next = 0.5 * (below + above);
    const double step = std::abs(next - rise_m);
    rise_m = next;
    if (step <= 1e-8 * rise_m) break;  // Newton squares its error: what is left is rounding
  }
  return rise_m;
}

// False if a step's bound would act on one of the flows; they are then not the answer.
bool split_free(const Box& box, double inflow, double base_m, BoxFlow& result,
                std::span<double> outlet_m3_per_day) {
  const double rise_m = free_rise_m(box, inflow, base_m);
  result.level_m = base_m + rise_m;
  result.lid_m3_per_day =
      lid_flow({box.lid.level_m - base_m, box.lid.perimeter_m}, rise_m).flow_m3_per_day;
  double sum = result.lid_m3_per_day;
  for (std::size_t i = 0; i < box.outlets.size(); ++i) {
    const BoxOutlet& outlet = box.outlets[i];
    const Tailwater& behind = box.tailwater[i];
    const double flow = free_flow_m3_per_day(outlet.opening, rise_m - (outlet.lip_m - base_m));
    if (is_bounded(behind, box.dt_day) &&
        flow > levelling_flow(behind, outlet.lip_m, result.level_m, box.dt_day)) {
      return false;
    }
    outlet_m3_per_day[i] = flow;
    sum += flow;
  }
  const double scale = inflow / sum;
  result.lid_m3_per_day *= scale;
  for (double& flow : outlet_m3_per_day) flow *= scale;
  return true;
}

}  // namespace

double effective_lip_m(const LipPlacement& placement, double tilt_x_rad, double tilt_y_rad) {
  return placement.invert_m + placement.x_m * std::tan(tilt_x_rad) +
         placement.y_m * std::tan(tilt_y_rad) +
         placement.leveler_eccentricity_m * (1.0 - std::cos(placement.leveler_angle_rad)) +
         placement.lip_growth_m + placement.raised_m;
}

BoxFlow split_flow(std::span<const BoxOutlet> outlets, const BoxLid& lid, double inflow_m3_per_day,
                   std::span<const Tailwater> tailwater, double dt_day,
                   std::span<double> outlet_m3_per_day) {
  assert(!outlets.empty() && tailwater.size() == outlets.size() &&
         outlet_m3_per_day.size() == outlets.size());
  if (!(inflow_m3_per_day >= 0.0 && std::isfinite(inflow_m3_per_day))) {
    throw std::domain_error("split_flow: inflow must be finite and not negative");
  }
  const Box box{outlets, lid, tailwater, dt_day};
  double base_m = lid.level_m;
  for (const BoxOutlet& outlet : outlets) base_m = std::min(base_m, outlet.lip_m);
  if (all_free(box)) {
    if (inflow_m3_per_day == 0.0) {
      std::ranges::fill(outlet_m3_per_day, 0.0);
      return {base_m, 0.0};
    }
    BoxFlow result;
    if (split_free(box, inflow_m3_per_day, base_m, result, outlet_m3_per_day)) return result;
  }
  return split_with_tailwater(box, inflow_m3_per_day, base_m, outlet_m3_per_day);
}

double low_outlet_share(double flow_m3_per_day, double level_error_m,
                        double low_head_coefficient_m_per_day) {
  if (level_error_m <= 0.0) return 0.5;
  const double full_error_m2 = flow_m3_per_day / low_head_coefficient_m_per_day;
  if (full_error_m2 <= level_error_m * level_error_m) return 1.0;
  const double s = level_error_m / std::sqrt(full_error_m2);
  const double root_share = 0.5 * (s + std::sqrt(2.0 - s * s));
  return root_share * root_share;
}

}  // namespace restwell
