// Distribution box: shares the tank's effluent between its outlets by their inverts.
//
//     sum_i Q_s,i(H - z_i, t_i - z_i) + Q_lid(H) = Q_in                                     (1)
// with H the water level in the box, z_i the effective invert (lip) of outlet i, t_i the water
// level behind it (tailwater), Q_s the outlet law of rating.hpp and Q_lid = 1.7 L_w max(H - z_lid,
// 0)^1.5 [m3/s], a broad-crested weir around the lid. All levels stand over the box's own datum.
// The box's own storage is left out: its time constant is 3-16 s (quasi-steady at event scale).
#pragma once

#include <limits>
#include <span>

#include "models/rating.hpp"

namespace restwell {

struct BoxOutlet {
  CircularOpening opening;
  double lip_m = 0.0;        // effective invert over the datum, see effective_lip_m
  bool check_valve = false;  // lets nothing back into the box
};

struct BoxLid {
  double level_m = 0.2;      // where water leaves over or under the lid
  double perimeter_m = 1.2;  // length of that gap
};

// Where an outlet stands in the box and how its leveler is turned.
struct LipPlacement {
  double invert_m = 0.0;                // as measured or built, over the datum
  double x_m = 0.0, y_m = 0.0;          // position from the point the tilt turns about
  double leveler_eccentricity_m = 0.0;  // radius of the leveler's turning circle
  double leveler_angle_rad = 0.0;       // 0 = lowest setting, pi = highest
  double lip_growth_m = 0.0;            // slime and scale on the lip
};

// z = invert + x tan(ax) + y tan(ay) + ecc (1 - cos angle) + growth.
[[nodiscard]] double effective_lip_m(const LipPlacement& placement, double tilt_x_rad,
                                     double tilt_y_rad);

// What stands behind an outlet: nothing (free fall) or the water of a pit over the box's datum.
// area_m2 and intake_m3_per_day bound what may pass in one step so that the pit cannot overshoot
// the box's level: filling at most area (H - level)/dt + intake, draining at most down to
// max(H, lip). With dt_day = 0 no bound acts (instantaneous law).
struct Tailwater {
  double level_m = -std::numeric_limits<double>::infinity();
  double area_m2 = 0.0;
  double intake_m3_per_day = 0.0;
};

struct BoxFlow {
  double level_m = 0.0;         // H
  double lid_m3_per_day = 0.0;  // over the lid
};

// Solves (1) for inflow_m3_per_day >= 0. outlets, tailwater and outlet_m3_per_day (result, signed,
// positive out of the box) have the same length n >= 1. The left side of (1) increases with H, so
// the root is unique; bracketed (Boost TOMS 748) to 1e-9 m or better, and the outlet flows are
// scaled so that outflow equals inflow to rounding. With inflow 0 and all tailwater below the
// lips, all flows are 0 and H is the lowest lip.
BoxFlow split_flow(std::span<const BoxOutlet> outlets, const BoxLid& lid, double inflow_m3_per_day,
                   std::span<const Tailwater> tailwater, double dt_day,
                   std::span<double> outlet_m3_per_day);

// Share of the lower of two equal outlets with free fall, level error d_m >= 0, in the low-head
// limit Q = k h^2 (closed form; 1 if Q <= k d^2).
[[nodiscard]] double low_outlet_share(double flow_m3_per_day, double level_error_m,
                                      double low_head_coefficient_m_per_day);

}  // namespace restwell
