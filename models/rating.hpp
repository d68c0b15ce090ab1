// Rating of a circular outlet from the first trickle to submergence.
//
// One law serves the tank's outlet pipe, the outlets of the distribution box and leveler inserts:
// an ideal vertical circular opening of diameter D, its invert at head 0,
//     Q(h) = Cd sqrt(2 g) D^2.5 J(h / D)                                                    (1)
//     J(e) = int_0^min(e,1) 2 sqrt(x (1 - x)) sqrt(e - x) dx                                (2)
// Its two ends are the sharp-crested circular weir (J -> pi/4 e^2 at small heads) and the orifice.
// Exact values: J(1) = 8/15, J'(1) = 2/3. Validity: a free nappe; below about 5 mm capillarity
// rules and no weir law is calibrated.
// Backwater: Villemonte 1947 (Eng. News-Record 139:866), see submerged_flow_m3_per_day.
#pragma once

namespace restwell {

struct CircularOpening {
  double diameter_m = 0.1016;           // > 0
  double discharge_coefficient = 0.58;  // .58 plain pipe stub, .60 thin insert, range .55-.65
  [[nodiscard]] bool operator==(const CircularOpening&) const = default;
};

// J(e) of equation (2); 0 for e <= 0. Both branches reduce to one complete elliptic integral F:
// J = e^2 F(e) for e <= 1, sqrt(e) F(1/e) above; F is tabulated once. Relative error below 1e-7.
// Strictly increasing, C1.
[[nodiscard]] double opening_shape(double e);

// Flow [m3/day] at head_m above the invert with free fall behind; 0 for head_m <= 0.
[[nodiscard]] double free_flow_m3_per_day(const CircularOpening& opening, double head_m);

// The same with dQ/dh [m2/day], for Newton steps.
struct FlowAndSlope {
  double flow_m3_per_day = 0.0;
  double slope_m2_per_day = 0.0;
};
[[nodiscard]] FlowAndSlope free_flow_and_slope(const CircularOpening& opening, double head_m);

// Head [m] at which free_flow gives flow_m3_per_day; 0 for flow <= 0. Relative error below 1e-9.
[[nodiscard]] double head_for_flow_m(const CircularOpening& opening, double flow_m3_per_day);

// Q/h^2 [m/day] of free_flow; at heads of 0 and below its limit, low_head_coefficient.
[[nodiscard]] double free_flow_coefficient_m_per_day(const CircularOpening& opening, double head_m);

// k [m/day] of the low-head limit Q = k h^2: k = Cd sqrt(2 g) (pi/4) sqrt(D).
[[nodiscard]] double low_head_coefficient_m_per_day(const CircularOpening& opening);

// Signed flow [m3/day] between two water levels, both above the same invert (heads below 0 count
// as 0): positive from head_a to head_b. With h1 the higher and h2 the lower head,
//     r = Q(h2)/Q(h1),  Q_s = Q(h1) (1 - r^a)^b,  a = 1 + w,  b = .385 + .115 w,
//     w = smoothstep((h1/D - .8)/.6)                                                        (3)
// (3) has infinite slope at equal heads: bracket it, never use Newton.
[[nodiscard]] double submerged_flow_m3_per_day(const CircularOpening& opening, double head_a_m,
                                               double head_b_m);
// The same with dQ/dhead_a at a constant w; infinite at equal heads. free_a, free_b: what
// free_flow_and_slope gives for the heads.
[[nodiscard]] FlowAndSlope submerged_flow_and_slope(const CircularOpening& opening, double head_a_m,
                                                    const FlowAndSlope& free_a, double head_b_m,
                                                    const FlowAndSlope& free_b);

}  // namespace restwell
