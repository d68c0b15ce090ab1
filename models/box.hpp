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
  [[nodiscard]] bool operator==(const BoxOutlet&) const = default;
};

struct BoxLid {
  double level_m = 0.2;      // where water leaves over or under the lid
  double perimeter_m = 1.2;  // length of that gap
  [[nodiscard]] bool operator==(const BoxLid&) const = default;
};

// Where an outlet stands in the box and how its leveler is turned.
struct LipPlacement {
  double invert_m = 0.0;                // as measured or built, over the datum
  double x_m = 0.0, y_m = 0.0;          // position from the point the tilt turns about
  double leveler_eccentricity_m = 0.0;  // radius of the leveler's turning circle
  double leveler_angle_rad = 0.0;       // 0 = lowest setting, pi = highest
  double lip_growth_m = 0.0;            // slime and scale on the lip
  double raised_m = 0.0;                // insert set that much higher than found
};

// z = invert + x tan(ax) + y tan(ay) + ecc (1 - cos angle) + growth + raised.
[[nodiscard]] double effective_lip_m(const LipPlacement& placement, double tilt_x_rad,
                                     double tilt_y_rad);

// What stands behind an outlet: nothing (free fall) or the water of a pit over the box's datum.
// area_m2 (water surface) and intake_m3_per_day (net loss to the soil) bound what may pass in one
// step, so that the exchange cannot carry the pit past the box: with the flow
//     B(H) = area (max(H, lip) - level)/dt + intake                                         (2)
// the pit ends the step exactly at max(H, lip), and the law Q of rating.hpp becomes
//     Q > 0: min(Q, max(B, 0));   Q < 0: max(Q, min(B, 0)).                                 (3)
// Q and B do not decrease with H and are continuous, so neither does (3), and (1) keeps its root.
// Where the intake alone takes a higher pit below the box within the step (B >= 0 > Q) nothing
// passes: the exchange starts in the next step. A pit gaining water from the ground (intake < 0)
// may pass the box's level by that gain alone. With dt_day = 0, area 0 or no tailwater no bound
// acts (instantaneous law).
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
// the root is unique; bracketed (Boost TOMS 748) to 1e-9 m or better, the flows interpolated
// between the bracket's ends so that outflow equals inflow to rounding. Bracketed Newton
// serves where it gets there: always with free fall everywhere. With inflow
// 0 and all tailwater below the lips, all flows are 0 and H is the lowest lip; at inflow 0 the
// level is arbitrary within a range where nothing flows. Allocates nothing. Throws
// std::domain_error for an inflow that is negative or not finite, and if no level passes it (a
// parameter of a submerged outlet is no number).
BoxFlow split_flow(std::span<const BoxOutlet> outlets, const BoxLid& lid, double inflow_m3_per_day,
                   std::span<const Tailwater> tailwater, double dt_day,
                   std::span<double> outlet_m3_per_day);

// Share of the lower of two equal outlets with free fall, level error d_m >= 0, in the low-head
// limit Q = k h^2 (closed form; 1 if Q <= k d^2).
[[nodiscard]] double low_outlet_share(double flow_m3_per_day, double level_error_m,
                                      double low_head_coefficient_m_per_day);

}  // namespace restwell
