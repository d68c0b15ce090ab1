// Parts of the box's solution (box.hpp) that free fall and backwater share, and the solution where
// a pit stands behind an outlet.
#pragma once

#include <span>

#include "models/box.hpp"

namespace restwell {

struct Box {
  std::span<const BoxOutlet> outlets;
  BoxLid lid;
  std::span<const Tailwater> tailwater;
  double dt_day;
};

[[nodiscard]] FlowAndSlope lid_flow(const BoxLid& lid, double level_m);
// Head over the lid that passes the flow.
[[nodiscard]] double lid_head_m(const BoxLid& lid, double flow_m3_per_day);

// Head at which the opening surely passes the flow.
[[nodiscard]] double sufficient_head_m(const CircularOpening& opening, double flow_m3_per_day);

// Without a step or an area to fill nothing bounds an outlet's flow.
[[nodiscard]] bool is_bounded(const Tailwater& behind, double dt_day);
// B of (2): with it the pit ends the step exactly at max(level, lip).
[[nodiscard]] double levelling_flow(const Tailwater& behind, double lip_m, double level_m,
                                    double dt_day);

// split_flow with any tailwater. base_m: the lowest way out.
[[nodiscard]] BoxFlow split_with_tailwater(const Box& box, double inflow_m3_per_day, double base_m,
                                           std::span<double> outlet_m3_per_day);

}  // namespace restwell
