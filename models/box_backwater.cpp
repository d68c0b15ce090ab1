#include "models/box_backwater.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <optional>
#include <stdexcept>

#include "models/constants.hpp"
#include "models/root.hpp"

namespace restwell {
namespace {

// Broad-crested weir, Q = 1.7 L h^1.5 in m and s.
constexpr double lid_weir_m05_per_day = 1.7 * seconds_per_day;

// Non-decreasing and continuous in level_m: law and levelling flow both are, and the bounds
// never move a flow across 0.
double outlet_flow(const Box& box, std::size_t i, double level_m) {
  const BoxOutlet& outlet = box.outlets[i];
  const Tailwater& behind = box.tailwater[i];
  const double head_m = level_m - outlet.lip_m;
  const double tail_m = behind.level_m - outlet.lip_m;
  double flow = tail_m > 0.0 ? submerged_flow_m3_per_day(outlet.opening, head_m, tail_m)
                             : free_flow_m3_per_day(outlet.opening, head_m);
  if (outlet.check_valve) flow = std::max(flow, 0.0);
  if (flow == 0.0 || !is_bounded(behind, box.dt_day)) return flow;
  const double levelling = levelling_flow(behind, outlet.lip_m, level_m, box.dt_day);
  return flow > 0.0 ? std::min(flow, std::max(levelling, 0.0))
                    : std::max(flow, std::min(levelling, 0.0));
}

double outflow(const Box& box, double level_m) {
  double sum = lid_flow(box.lid, level_m).flow_m3_per_day;
  for (std::size_t i = 0; i < box.outlets.size(); ++i) sum += outlet_flow(box, i, level_m);
  return sum;
}

constexpr double level_tolerance_m = 1e-9;
constexpr std::size_t most_newton = 8;  // outlets; with more the bracket alone is used

// Levels around the root with outflow - inflow at each; both are the root once it is hit exactly.
struct Bracket {
  double low_m, low_surplus;    // surplus <= 0
  double high_m, high_surplus;  // surplus >= 0

  void narrow(double level_m, double surplus) {
    if (surplus <= 0.0) {
      low_m = level_m;
      low_surplus = surplus;
    }
    if (surplus >= 0.0) {
      high_m = level_m;
      high_surplus = surplus;
    }
  }
};

Bracket bracket_level(const Box& box, double inflow, double base_m) {
  constexpr double first_rise_m = 2e-3;
  constexpr double highest_rise_m = 1e9;
  constexpr double infinity = std::numeric_limits<double>::infinity();
  Bracket bracket{base_m, outflow(box, base_m) - inflow, infinity, infinity};
  if (bracket.low_surplus >= 0.0) return {base_m, 0.0, base_m, 0.0};
  const auto surplus_at = [&](double level_m) {
    const double surplus = outflow(box, level_m) - inflow;
    bracket.narrow(level_m, surplus);
    return surplus;
  };
  // The sum has an infinite slope where the box stands level with a pit: search between those.
  for (std::size_t i = 0; i < box.outlets.size(); ++i) {
    const double level_m = box.tailwater[i].level_m;
    if (level_m > box.outlets[i].lip_m && level_m > bracket.low_m && level_m < bracket.high_m) {
      surplus_at(level_m);
    }
  }
  for (double rise_m = first_rise_m; bracket.high_m == infinity; rise_m *= 3.0) {
    if (rise_m > highest_rise_m) throw std::domain_error("split_flow: no level passes the inflow");
    surplus_at(bracket.low_m + rise_m);
  }
  if (bracket.low_m == bracket.high_m) return bracket;
  const Bracket start = bracket;
  (void)root_between(surplus_at, {start.low_m, start.low_surplus},
                     {start.high_m, start.high_surplus}, {.absolute = level_tolerance_m});
  return bracket;
}

// outlet_flow with its slope; where the bound (3) keeps a flow at 0, or the box stands below the
// lip, the slope is 0. free_behind: the free flow at the head behind the outlet.
[[gnu::noinline]] FlowAndSlope outlet_flow_and_slope(const Box& box, std::size_t i, double level_m,
                                                     const FlowAndSlope& free_behind) {
  const BoxOutlet& outlet = box.outlets[i];
  const Tailwater& behind = box.tailwater[i];
  const double head_m = level_m - outlet.lip_m;
  const double tail_m = behind.level_m - outlet.lip_m;
  const bool drowned = tail_m > 0.0;
  if (!drowned && head_m <= 0.0) return {};
  const bool forward = !drowned || head_m > tail_m;
  if (!forward && outlet.check_valve) return {};
  const bool bounded = is_bounded(behind, box.dt_day);
  const FlowAndSlope free = free_flow_and_slope(outlet.opening, head_m);
  double levelling = 0.0;
  if (bounded) {
    levelling = levelling_flow(behind, outlet.lip_m, level_m, box.dt_day);
    if (forward ? levelling <= 0.0 : levelling >= 0.0) {
      return {0.0, head_m == tail_m ? std::numeric_limits<double>::infinity() : 0.0};
    }
    // Of the law: (1 - r^a)^b >= 1 - r, so this much flows at least.
    const double least = std::abs(free.flow_m3_per_day - free_behind.flow_m3_per_day);
    if (std::abs(levelling) <= least) {
      return {levelling, head_m > 0.0 ? behind.area_m2 / box.dt_day : 0.0};
    }
  }
  const FlowAndSlope law =
      drowned ? submerged_flow_and_slope(outlet.opening, head_m, free, tail_m, free_behind) : free;
  if (!bounded || std::abs(levelling) >= std::abs(law.flow_m3_per_day)) return law;
  return {levelling, head_m > 0.0 ? behind.area_m2 / box.dt_day : 0.0};
}

// Puts what rounding has left of the sum on the greatest flow.
void add_up(double sum, std::span<double> flow) {
  double& greatest = *std::ranges::max_element(flow, {}, [](double one) { return std::abs(one); });
  for (const double one : flow) sum -= one;
  greatest += sum;
}

constexpr double tangent_m = 1e-7;  // a last step along the tangents, far from a pit's level
constexpr double narrow_m = 1e-7;   // a pit that stands as near to the box counts as level with it

// Where Newton begins. Every outlet either falls freely by the low-head law or levels its pit:
//     sum_fall k (h - lip)^2 + conductance h = drive                                        (4)
struct Guess {
  std::array<double, most_newton> k_m_per_day, lip_m;
  std::size_t count;
  double conductance_m2_per_day = 0.0, drive_m3_per_day = 0.0;

  // h of (4) without the outlets that lie over it: those are dropped one by one, k then being 0.
  double level_m() {
    while (true) {
      double k = 0.0, k_lip = 0.0, k_lip2 = 0.0;
      std::size_t highest = 0;
      for (std::size_t i = 0; i < count; ++i) {
        k += k_m_per_day[i];
        k_lip += k_m_per_day[i] * lip_m[i];
        k_lip2 += k_m_per_day[i] * lip_m[i] * lip_m[i];
        const bool falls = k_m_per_day[i] > 0.0;
        if (falls && (k_m_per_day[highest] == 0.0 || lip_m[i] > lip_m[highest])) highest = i;
      }
      const double b = conductance_m2_per_day - 2.0 * k_lip, c = k_lip2 - drive_m3_per_day;
      const double root = std::sqrt(std::max(0.0, b * b - 4.0 * k * c));
      const double level_m = b > 0.0 ? -2.0 * c / (b + root) : (root - b) / (2.0 * k);
      if (k_m_per_day[highest] == 0.0 || lip_m[highest] <= level_m) return level_m;
      k_m_per_day[highest] = 0.0;
    }
  }
};

// Newton kept inside a bracket. Where the box stands level with a pit the sum has an infinite
// slope, most often no more than a jump from nothing to what the pit's walls take: Newton looks
// there before it decides on which side the root lies, and steps away from it in logarithms. The
// last step is taken along the tangents, or between the ends of a bracket that has become narrow,
// so that the flows add up to the inflow. nullopt if it does not get there in time.
std::optional<BoxFlow> split_by_newton(const Box& box, double inflow, double base_m,
                                       std::span<double> outlet_m3_per_day) {
  constexpr int most_steps = 40;
  constexpr double farther = 1e4;  // so many times from a pit's level in one step, at most
  constexpr double infinity = std::numeric_limits<double>::infinity();
  const std::size_t n = box.outlets.size();
  if (n > most_newton) return std::nullopt;
  std::array<FlowAndSlope, most_newton> free_behind{};
  Guess guess{.k_m_per_day = {}, .lip_m = {}, .count = n, .drive_m3_per_day = inflow};
  for (std::size_t i = 0; i < n; ++i) {
    guess.lip_m[i] = box.outlets[i].lip_m;
    guess.k_m_per_day[i] = low_head_coefficient_m_per_day(box.outlets[i].opening);
  }
  const double free_m = Guess(guess).level_m();  // no lower: a pit behind only holds water back
  double highest_pit_m = -infinity, walls_m3_per_day = 0.0;
  bool bounded = false;
  for (std::size_t i = 0; i < n; ++i) {
    const Tailwater& behind = box.tailwater[i];
    free_behind[i] =
        free_flow_and_slope(box.outlets[i].opening, behind.level_m - box.outlets[i].lip_m);
    if (!is_bounded(behind, box.dt_day)) continue;
    bounded = true;
    if (behind.level_m <= box.outlets[i].lip_m) continue;
    const double conductance = behind.area_m2 / box.dt_day;
    guess.k_m_per_day[i] = 0.0;
    guess.conductance_m2_per_day += conductance;
    guess.drive_m3_per_day += conductance * behind.level_m - behind.intake_m3_per_day;
    walls_m3_per_day += behind.intake_m3_per_day;
    highest_pit_m = std::max(highest_pit_m, behind.level_m);
  }
  if (!bounded) return std::nullopt;
  struct End {
    double level_m, surplus = 0.0, lid = 0.0;
    std::array<double, most_newton> flow = {};
  };
  End below{.level_m = base_m}, above{.level_m = infinity};
  const auto take = [&](const auto& flow_of) {
    for (std::size_t i = 0; i < n; ++i) outlet_m3_per_day[i] = flow_of(i);
  };
  // No higher than where all of it leaves over the lid or by one outlet in free fall, if no pit
  // stands higher.
  double highest_m = box.lid.level_m + lid_head_m(box.lid, inflow);
  for (std::size_t i = 0; i < n; ++i) {
    const BoxOutlet& outlet = box.outlets[i];
    const Tailwater& behind = box.tailwater[i];
    const bool takes_all =
        behind.level_m <= outlet.lip_m &&
        (!is_bounded(behind, box.dt_day) ||
         levelling_flow(behind, outlet.lip_m, outlet.lip_m, box.dt_day) >= inflow);
    if (takes_all)
      highest_m = std::min(highest_m, outlet.lip_m + sufficient_head_m(outlet.opening, inflow));
  }
  for (const Tailwater& behind : box.tailwater)
    if (behind.level_m >= highest_m) highest_m = infinity;
  const double start_m = std::clamp(std::max(guess.level_m(), free_m), base_m, highest_m);
  double pit_m = 0.0, pit_surplus = 0.0;  // of the last pit that the box was level with; 0: none
  double rise_m = 2e-3;
  // With less than the walls take the root is near the highest pit's level, or below it.
  double level_m = inflow < walls_m3_per_day && start_m < highest_pit_m ? highest_pit_m : start_m;
  for (int k = 0; k < most_steps; ++k) {
    const FlowAndSlope lid = lid_flow(box.lid, level_m);
    double surplus = lid.flow_m3_per_day - inflow, slopes = lid.slope_m2_per_day;
    double nearest_m = infinity;
    std::array<FlowAndSlope, most_newton> part;
    for (std::size_t i = 0; i < n; ++i) {
      part[i] = outlet_flow_and_slope(box, i, level_m, free_behind[i]);
      surplus += part[i].flow_m3_per_day;
      slopes += part[i].slope_m2_per_day;
      nearest_m = std::min(nearest_m, std::abs(level_m - box.tailwater[i].level_m));
    }
    const bool smooth = std::isfinite(slopes);
    const double step_m = surplus == 0.0 ? 0.0 : -surplus / slopes;
    if (surplus == 0.0) {
      take([&](std::size_t i) { return part[i].flow_m3_per_day; });
      return BoxFlow{level_m, lid.flow_m3_per_day};
    }
    if (smooth &&
        std::abs(step_m) <= std::max(level_tolerance_m, std::min(tangent_m, 1e-3 * nearest_m))) {
      const double lid_then = lid.flow_m3_per_day + lid.slope_m2_per_day * step_m;
      take([&](std::size_t i) {
        return part[i].flow_m3_per_day + part[i].slope_m2_per_day * step_m;
      });
      add_up(inflow - lid_then, outlet_m3_per_day);
      return BoxFlow{level_m + step_m, lid_then};
    }
    double beyond_m = narrow_m;  // from a pit's level, where to look next
    if (!smooth) {
      // What those that stand level with the box would take next to it, at most.
      std::array<double, most_newton> beyond{};
      double all = 0.0, walls = 0.0, levelling = 0.0, others = lid.slope_m2_per_day;
      for (std::size_t i = 0; i < n; ++i) {
        if (std::isfinite(part[i].slope_m2_per_day)) {
          others += part[i].slope_m2_per_day;
        } else if (surplus < 0.0) {
          beyond[i] =
              outlet_flow_and_slope(box, i, level_m + narrow_m, free_behind[i]).flow_m3_per_day;
          all += beyond[i];
          walls += box.tailwater[i].intake_m3_per_day;
          levelling += box.tailwater[i].area_m2 / box.dt_day;
        }
      }
      if (surplus < 0.0 && all >= -surplus) {
        take([&](std::size_t i) { return part[i].flow_m3_per_day - surplus * beyond[i] / all; });
        return BoxFlow{level_m, lid.flow_m3_per_day};
      }
      if (surplus > 0.0) {
        beyond_m = others > 0.0 ? surplus / others : narrow_m;
      } else {
        // By the power of (3) in rating.hpp and by the other outlets; or by levelling.
        const double power_m = narrow_m * std::pow(-surplus / all, 1.0 / 0.385);
        const double by_law_m = 1.0 / (1.0 / power_m - others / surplus);
        beyond_m = std::max(
            {narrow_m, by_law_m, (-surplus - walls) / (levelling + others), start_m - level_m});
      }
    }
    End& end = surplus < 0.0 ? below : above;
    end.level_m = level_m;
    end.surplus = surplus;
    end.lid = lid.flow_m3_per_day;
    for (std::size_t i = 0; i < n; ++i) end.flow[i] = part[i].flow_m3_per_day;
    const bool both = below.surplus < 0.0 && above.surplus > 0.0;
    if (both && above.level_m - below.level_m <= narrow_m) {
      const double share = -below.surplus / (above.surplus - below.surplus);
      const double lid_then = below.lid + share * (above.lid - below.lid);
      take([&](std::size_t i) { return below.flow[i] + share * (above.flow[i] - below.flow[i]); });
      add_up(inflow - lid_then, outlet_m3_per_day);
      return BoxFlow{below.level_m + share * (above.level_m - below.level_m), lid_then};
    }
    double next_m = level_m + (smooth ? step_m : std::copysign(beyond_m, -surplus));
    if (!smooth) {
      pit_m = level_m;
      pit_surplus = surplus;
    } else if (pit_surplus != 0.0) {
      // From a pit's level on the sum changes as a power of the distance: Newton in logarithms.
      const double from_pit_m = level_m - pit_m, change = surplus - pit_surplus;
      const double power = from_pit_m * slopes / change;
      if (change * from_pit_m > 0.0 && power > 0.0 && power < 1.0 && surplus * pit_surplus > 0.0)
        next_m =
            pit_m + from_pit_m * std::min(farther, std::pow(-pit_surplus / change, 1.0 / power));
    }

    // A pit's level is looked at where the root can lie on either side of it, or where no tangent
    // leads past it.
    const bool closed = below.surplus < 0.0 && above.surplus > 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      const double tail_m = box.tailwater[i].level_m;
      if (tail_m <= box.outlets[i].lip_m || (!closed && std::isfinite(next_m))) continue;
      if (tail_m > below.level_m && tail_m < above.level_m &&
          (surplus < 0.0 ? tail_m < next_m : tail_m > next_m)) {
        next_m = tail_m;
      }
    }
    next_m = std::min(next_m, highest_m);
    if (!(next_m > below.level_m && next_m < above.level_m)) {
      next_m = 0.5 * (below.level_m + above.level_m);
    }
    if (std::isinf(next_m)) {
      next_m = below.level_m + rise_m;
      rise_m *= 3.0;
    }
    level_m = next_m;
  }
  return std::nullopt;
}

}  // namespace

FlowAndSlope lid_flow(const BoxLid& lid, double level_m) {
  const double head_m = level_m - lid.level_m;
  if (head_m <= 0.0) return {};
  const double rate = lid_weir_m05_per_day * lid.perimeter_m * std::sqrt(head_m);
  return {rate * head_m, 1.5 * rate};
}

double lid_head_m(const BoxLid& lid, double flow_m3_per_day) {
  return std::pow(flow_m3_per_day / (lid_weir_m05_per_day * lid.perimeter_m), 2.0 / 3.0);
}

// By J(e) >= 8/15 min(e^2, sqrt(e)).
double sufficient_head_m(const CircularOpening& opening, double flow_m3_per_day) {
  const double d = opening.diameter_m;
  const double j =
      flow_m3_per_day * std::numbers::pi / 4.0 / (low_head_coefficient_m_per_day(opening) * d * d);
  const double bound = j * 15.0 / 8.0;
  return d * (bound <= 1.0 ? std::sqrt(bound) : bound * bound);
}

bool is_bounded(const Tailwater& behind, double dt_day) {
  return dt_day > 0.0 && behind.area_m2 > 0.0 && std::isfinite(behind.level_m);
}

double levelling_flow(const Tailwater& behind, double lip_m, double level_m, double dt_day) {
  return behind.area_m2 * (std::max(level_m, lip_m) - behind.level_m) / dt_day +
         behind.intake_m3_per_day;
}

// Flows are interpolated between the bracket's ends: they then add up to the inflow even where an
// outlet's flow changes steeply within the tolerance.
BoxFlow split_with_tailwater(const Box& box, double inflow, double base_m,
                             std::span<double> outlet_m3_per_day) {
  if (const auto found = split_by_newton(box, inflow, base_m, outlet_m3_per_day)) return *found;
  const Bracket at = bracket_level(box, inflow, base_m);
  const bool exact = at.low_m == at.high_m;
  const double share = exact ? 0.0 : -at.low_surplus / (at.high_surplus - at.low_surplus);
  const auto between = [share](double low, double high) { return low + share * (high - low); };
  for (std::size_t i = 0; i < box.outlets.size(); ++i) {
    outlet_m3_per_day[i] = between(outlet_flow(box, i, at.low_m), outlet_flow(box, i, at.high_m));
  }
  return {between(at.low_m, at.high_m), between(lid_flow(box.lid, at.low_m).flow_m3_per_day,
                                                lid_flow(box.lid, at.high_m).flow_m3_per_day)};
}

}  // namespace restwell
