// Partly full circular pipe: the line from tank to box and from box to pit.
//
// Section of depth y in diameter D by the half angle t, y/D = (1 - cos t)/2.
// Critical flow: Q* = Q/(sqrt(g) D^2.5) with Froude number 1. Normal flow: Manning, n constant
// over the depth. Both are standard handbook results (e.g. Chow 1959, Open-Channel Hydraulics).
#pragma once

namespace restwell {

// Q/(sqrt(g) D^2.5) at critical depth for 0 <= y/D < 1.
[[nodiscard]] double critical_flow_number(double depth_ratio);

// Q/Q_full at normal depth for 0 <= y/D <= 1 (exceeds 1 above .82).
[[nodiscard]] double normal_flow_ratio(double depth_ratio);

// Wetted area over the full section's, and velocity over the full-bore velocity at normal depth
// (maximum 1.14 at .813), for 0 <= y/D <= 1.
[[nodiscard]] double flow_area_ratio(double depth_ratio);
[[nodiscard]] double normal_velocity_ratio(double depth_ratio);

// Full-bore flow [m3/day] of a pipe on a slope (fall per length) by Manning; 0 for slope <= 0.
[[nodiscard]] double full_pipe_flow_m3_per_day(double diameter_m, double slope, double manning_n);

// y/D of normal flow for Q/Q_full in [0, 1]; the lower branch. Arguments outside are clamped.
[[nodiscard]] double normal_depth_ratio(double flow_ratio);

}  // namespace restwell
