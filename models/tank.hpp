// Septic tank: surge layer, settling, sludge and scum, carry-over, pump-out criteria.
//
// States: surge head h [m] over the outlet invert; SolidsState below.
// Surge:     A dh/dt = Q_in - Q(h), Q of rating.hpp.                                        (1)
// Settling:  n equal cells in series, class velocity v, overflow rate q = Q/A:
//            removal = 1 - [1 + v/(n q)]^-n  (Hazen; Fair, Geyer & Okun).                   (2)
// Digestion: dB/dt = f_b m - k a B,  dI/dt = (1 - f_b) (m + d) + y (k a B + f_b d),
//            dM/dt = I,  da/dt = mu a (1 - a),  k = k20 theta^(T - 20),
//            scum: dS/dt = s - d,  d = .3 k a S                                             (3)
//            m, s: what settles and what floats. Of the scum that decays the biodegradable part
//            turns to gas; the rest sinks into the sludge (it cannot vanish).
//            V = B/c_B + I/c_I,  c_I = c_0 + (c_1 - c_0)(1 - exp(-(M/I)/t_c)).              (4)
//            M/I: mean age of the inert part.
// Carry-over: intake cone of radius r_c = sqrt(Q/(2 pi v_f)) at the outlet's mouth; with a clear
//            distance z between mouth and layer, C = phi C_max, phi = max(0, 1 - z/r_c)^2.  (5)
// Sources: models/sources.md.
#pragma once

#include <algorithm>
#include <cmath>

#include "models/rating.hpp"

namespace restwell {

struct Tank {
  double plan_area_m2 = 3.10;
  double liquid_depth_m = 1.22;
  int compartments = 1;                 // 1 or 2
  bool long_and_narrow = false;         // length at least 3 widths
  bool inlet_baffle = true;             // sound
  bool outlet_baffle = true;            // sound
  double outlet_mouth_depth_m = 0.488;  // mouth of the outlet baffle under the liquid surface
  CircularOpening outlet;
};

// Default depth of the outlet baffle's mouth as a share of the liquid depth.
inline constexpr double default_mouth_share = 0.40;

// Cap on the summed bypass of missing baffles: some settling is always left (assumed).
inline constexpr double max_bypass = 0.9;

struct SettlingClass {
  double mass_share;
  double velocity_m_per_day;
};

struct TankParameters {
  // Classes fitted to the primary-settling relation R% = t/(.0075 + .014 t), t in h (Crites &
  // Tchobanoglous 1998). The share with velocity 0 never settles and sets the effluent's solids.
  static constexpr int classes = 5;
  SettlingClass settling[classes] = {
      {.08, 20 * 24.}, {.53, 5 * 24.}, {.08, 1 * 24.}, {.06, .02 * 24.}, {.25, 0.}};
  double bypass_sound = .02, bypass_no_inlet_baffle = .15,
         bypass_no_outlet_baffle = .10;     // assumed
  double bod_settleable_share = .55;        // assumed: share of BOD that goes with the solids
  double scum_lost_without_baffle = .5;     // assumed: share of rising scum that leaves
  double sludge_biodegradable_share = .60;  // f_b, .45-.70
  double digestion_20c_per_day = .025;      // k20, .005-.06
  double digestion_theta = 1.06;
  double digestion_yield = .05;          // y
  double biodegradable_kg_per_m3 = 40.;  // c_B
  double inert_fresh_kg_per_m3 = 70.;    // c_0
  double inert_old_kg_per_m3 = 90.;      // c_1
  double compaction_day = 3 * 365.25;    // t_c
  double activity_after_pumping = .5, activity_growth_per_day = .010;
  double activity_new = .03, activity_growth_new_per_day = .006;
  double scum_share = .22;            // .15-.40 of the settled mass floats
  double scum_digestion_factor = .3;  // scum digests at .3 k
  double scum_kg_per_m3 = 70.;
  double left_after_pumping = .05;    // share of the masses a pump-out leaves
  double sludge_share_first = .75;    // assumed, 2 compartments: sludge and scum in the first
  double area_share_first = 2. / 3.;  // 2 compartments: plan area of the first
  double carry_sludge_fall_m_per_day = 2 * 24.;               // v_f of sludge
  double carry_scum_rise_m_per_day = 6 * 24.;                 // v_f of scum
  double carry_max_kg_per_m3 = 3.0;                           // C_max, .5-10
  double carry_bod_share = .5;                                // assumed: BOD per mass carried over
  double temperature_mean_c = 12., temperature_swing_c = 4.;  // over the year
  double warmest_day_of_year = 220.;                          // assumed
};

struct SolidsState {
  double biodegradable_kg = 0.0;          // B
  double inert_kg = 0.0;                  // I
  double inert_age_kg_day = 0.0;          // M
  double activity = 0.03;                 // a, 0..1
  double activity_growth_per_day = .006;  // mu: a brand-new tank differs from a pumped one
  double scum_kg = 0.0;
};

// Depths [m]; "first" is the inlet compartment (equal to "outlet" in a tank of one compartment).
struct Layers {
  double sludge_first_m = 0.0, scum_first_m = 0.0;
  double sludge_outlet_m = 0.0, scum_outlet_m = 0.0;
};

struct SolidsRates {  // per day
  double biodegradable_kg, inert_kg, inert_age_kg_day, activity, scum_kg;
  double digested_kg;  // mass that leaves as gas and dissolved matter (>= 0)
};

struct SurgeStep {
  double head_m;
  double outflow_m3;
};
struct CarryOver {
  double sludge_kg_per_m3;
  double scum_kg_per_m3;
};

// Removal of (2) for ratio = v/q >= 0 and a number of cells >= 1.
[[nodiscard]] double hazen_removal(double velocity_ratio, double cells);

// n of (2): 1 without baffles, 2 with both, 3 for two compartments, one more if long and narrow.
[[nodiscard]] int settling_cells(const Tank& tank);

// Share of the inflowing solids that stays in the tank at the flow [m3/day]: (1 - b) sum of the
// classes' removals (2), less the scum lost without an outlet baffle; 0 < result < 1. b, the share
// that passes unsettled, is bypass_sound; with a baffle missing its own bypass instead, with both
// missing their sum, at most max_bypass. Flow 0: all that can settle does.
[[nodiscard]] double settled_share(const Tank& tank, const TankParameters& p,
                                   double flow_m3_per_day);

// Part of the floating solids that stays: 1 with an outlet baffle, less without. For solids_rates.
[[nodiscard]] double scum_retained(const Tank& tank, const TankParameters& p);

// Share of the inflowing BOD that stays, given settled_share: the part of it bound to solids
// stays as they do.
[[nodiscard]] double bod_settled_share(const TankParameters& p, double settled_share);

// One step of (1) over dt_day with constant inflow. Exact for Q = k h^2 (k from the rating at the
// step's mean head, one correction: second order in dt for the full rating); unconditionally
// stable, head and outflow never negative, and outflow = inflow dt - A (h1 - h0) to rounding.
// Negative heads and inflows count as 0.
[[nodiscard]] SurgeStep surge_step(double plan_area_m2, const CircularOpening& outlet,
                                   double head_m, double inflow_m3_per_day, double dt_day);

// Head [m] after dt of A dh/dt = Q_in - k h^2, head_m and Q_in >= 0, given time = dt/A: with
// h_e = sqrt(Q_in/k),
//     h = (h_0 + h_e t)/(1 + h_0 t/h_e),  t = tanh(x),  x = sqrt(k Q_in) dt/A.
// Short steps, the common ones, take four terms of tanh's continued fraction (to 1e-10), with which
// the roots cancel.
[[nodiscard]] inline double quadratic_outlet_head_m(double k_m_per_day, double head_m,
                                                    double inflow_m3_per_day,
                                                    double dt_day_per_m2) {
  const double time = dt_day_per_m2;
  // Without an outflow the head would be this; never above it, not even by rounding.
  const double closed_m = head_m + inflow_m3_per_day * time;
  const double x2 = k_m_per_day * inflow_m3_per_day * time * time;
  if (x2 <= 0.25) {
    const double over = 945.0 + x2 * (105.0 + x2), under = 945.0 + x2 * (420.0 + x2 * 15.0);
    return std::min(closed_m, (head_m * under + inflow_m3_per_day * time * over) /
                                  (under + head_m * k_m_per_day * time * over));
  }
  const double balance_m = std::sqrt(inflow_m3_per_day / k_m_per_day);
  const double t = std::tanh(std::sqrt(x2));
  return std::min(closed_m, (head_m + balance_m * t) / (1.0 + head_m * (t / balance_m)));
}

// Head [m] after surge_step from head and inflow >= 0, given dt/A, with k(head_m) [m/day], the
// rating's Q/h^2, from anywhere: a table for instance. k0: at head_m.
template <class Coefficient>
[[nodiscard]] double surge_head_m(const Coefficient& k, double k0, double head_m,
                                  double inflow_m3_per_day, double dt_day_per_m2) {
  const double inflow = inflow_m3_per_day, h0 = head_m;
  // A head that is typical of the step: only says where to take k. A falling one slows down as it
  // goes; a rising one is half-way, straight on, but no farther than half of the way to balance.
  const double half_rise_m = 0.5 * (inflow - k0 * h0 * h0) * dt_day_per_m2;
  const double straight_m = h0 + 2.0 * half_rise_m;
  const double middle_m = half_rise_m < 0.0 ? h0 * h0 / (h0 - half_rise_m)
                          : k0 * straight_m * straight_m <= inflow
                              ? h0 + half_rise_m
                              : 0.5 * (h0 + std::sqrt(inflow / k0));
  return quadratic_outlet_head_m(k(middle_m), h0, inflow, dt_day_per_m2);
}

// Tank temperature [degC] on a day of the year (1..366, fractions allowed).
[[nodiscard]] double tank_temperature_c(const TankParameters& p, double day_of_year);

// Right-hand side of (3); deposit_kg_per_day is all that stays in the tank (settled and floating);
// scum_retained (0..1) is the part of the floating share that stays (see scum_lost_without_baffle:
// what is not retained is not part of the deposit).
// The masses' rates and digested_kg add up to the deposit.
[[nodiscard]] SolidsRates solids_rates(const TankParameters& p, const SolidsState& s,
                                       double deposit_kg_per_day, double temperature_c,
                                       double scum_retained = 1.0);

// Volumes [m3] of (4).
[[nodiscard]] double sludge_volume_m3(const TankParameters& p, const SolidsState& s);
[[nodiscard]] double scum_volume_m3(const TankParameters& p, const SolidsState& s);
// Layers over the compartments' areas. Not cut off at the liquid depth: what an overfull tank sends
// on is carry_over and pass_through_share.
[[nodiscard]] Layers layers(const Tank& tank, const TankParameters& p, const SolidsState& s);

// Concentrations [kg/m3] added to the outflow by (5) at the given outflow. Without an outlet baffle
// the mouth is the pipe itself (depth 0): sludge is then far, scum is not held back (its loss is
// counted by scum_lost_without_baffle, so no scum carry-over is added here). phi = 1 once a layer
// reaches the mouth. What is carried over has to be taken from the state by the caller. 0 without
// outflow, and for a layer that is not there.
[[nodiscard]] CarryOver carry_over(const Tank& tank, const TankParameters& p, const Layers& layers,
                                   double outflow_m3_per_day);

// Outflow [m3/day] up to which carry_over is 0; 0 if none is.
[[nodiscard]] double calm_outflow_m3_per_day(const Tank& tank, const TankParameters& p,
                                             const Layers& layers);

// Share of the solids that would settle but pass through because the sludge stands at or above the
// mouth: 1 then, else 0 (multiply the deposit by 1 less it). Carry-over usually stops the sludge
// below the mouth long before: the clear distance settles where carry-over equals the deposit.
[[nodiscard]] double pass_through_share(const Tank& tank, const Layers& layers);

// State after a pump-out (masses times left_after_pumping, mean age of the inert part kept), and of
// a brand-new tank.
[[nodiscard]] SolidsState pumped(const TankParameters& p, const SolidsState& s);
[[nodiscard]] SolidsState brand_new(const TankParameters& p);

// Pump-out criteria. Values grow (solids) or shrink (distances, retention) as the tank fills.
struct PumpOutLimits {
  double solids_share_of_depth = .30;  // common practice, no published source
  double sludge_clearance_m = .3048;   // sludge 12 in below the outlet baffle's mouth (US EPA)
  double scum_clearance_m = .0762;     // scum 3 in above the mouth (US EPA)
  double retention_day = 1.0;          // clear-zone retention (Mancl 1984)
};
struct PumpOutReadings {
  double solids_share_of_depth;  // (sludge + scum)/liquid depth in the fuller compartment
  double
      sludge_clearance_m;   // mouth to sludge in the outlet compartment; negative: sludge above it
  double scum_clearance_m;  // mouth below scum; meaningless without an outlet baffle (+inf)
  double retention_day;     // (liquid - sludge - scum)/mean flow; +inf without flow
};
[[nodiscard]] PumpOutReadings pump_out_readings(const Tank& tank, const TankParameters& p,
                                                const SolidsState& s, double mean_flow_m3_per_day);

}  // namespace restwell
