// A home of steady habits on a septic tank, and the filling of that tank with solids.
#pragma once

#include <cmath>
#include <limits>

#include "models/tank.hpp"

namespace restwell::test {

inline constexpr double gallon_m3 = 3.785411784e-3;  // US liquid gallon, exact
inline constexpr double year_day = 365.25;

// Typical use of water, 66.3 N^0.63 gal/day (DeOreo et al. 2016, quoted from memory).
inline double typical_flow_m3_per_day(double people) {
  return 66.3 * std::pow(people, 0.63) * gallon_m3;
}

// TSS to the drain, US EPA 2002 (EPA/625/R-00/008) table 3-7.
inline constexpr double tss_kg_per_person_day = 0.050;

inline Tank tank_of_gallons(double gallons) {
  Tank tank;
  tank.plan_area_m2 = gallons * gallon_m3 / tank.liquid_depth_m;
  return tank;
}

// What stays in the tank, kg/day.
inline double deposit_kg_per_day(const Tank& tank, const TankParameters& p, double people,
                                 double tss_kg_per_person = tss_kg_per_person_day) {
  return people * tss_kg_per_person * settled_share(tank, p, typical_flow_m3_per_day(people));
}

inline SolidsState moved(const SolidsState& s, const SolidsRates& r, double dt_day) {
  return {.biodegradable_kg = s.biodegradable_kg + dt_day * r.biodegradable_kg,
          .inert_kg = s.inert_kg + dt_day * r.inert_kg,
          .inert_age_kg_day = s.inert_age_kg_day + dt_day * r.inert_age_kg_day,
          .activity = s.activity + dt_day * r.activity,
          .activity_growth_per_day = s.activity_growth_per_day,
          .scum_kg = s.scum_kg + dt_day * r.scum_kg};
}

// Classical Runge-Kutta step at a constant temperature.
inline SolidsState rk4_step(const TankParameters& p, const SolidsState& s, double deposit,
                            double temperature_c, double dt_day) {
  const auto rates = [&](const SolidsState& at) {
    return solids_rates(p, at, deposit, temperature_c);
  };
  const SolidsRates a = rates(s);
  const SolidsRates b = rates(moved(s, a, dt_day / 2));
  const SolidsRates c = rates(moved(s, b, dt_day / 2));
  const SolidsRates d = rates(moved(s, c, dt_day));
  return moved(moved(moved(moved(s, a, dt_day / 6), b, dt_day / 3), c, dt_day / 3), d, dt_day / 6);
}

inline double solids_m3(const TankParameters& p, const SolidsState& s) {
  return sludge_volume_m3(p, s) + scum_volume_m3(p, s);
}

// Days until sludge and scum take volume_m3, at the tank's mean temperature; s ends there.
inline double days_to_fill(const TankParameters& p, SolidsState& s, double deposit,
                           double volume_m3) {
  double before_m3 = solids_m3(p, s);
  for (int day = 1; day < 100 * 366; ++day) {
    s = rk4_step(p, s, deposit, p.temperature_mean_c, 1.0);
    const double after_m3 = solids_m3(p, s);
    if (after_m3 >= volume_m3) {
      return day - (after_m3 - volume_m3) / (after_m3 - before_m3);
    }
    before_m3 = after_m3;
  }
  return std::numeric_limits<double>::infinity();
}

inline SolidsState after_days(const TankParameters& p, SolidsState s, double deposit, int days) {
  for (int day = 0; day < days; ++day) s = rk4_step(p, s, deposit, p.temperature_mean_c, 1.0);
  return s;
}

}  // namespace restwell::test
