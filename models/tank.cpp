#include "models/tank.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "models/constants.hpp"

namespace restwell {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

double mouth_depth_m(const Tank& tank) {
  return tank.outlet_baffle ? tank.outlet_mouth_depth_m : 0.0;
}

double sludge_clearance_m(const Tank& tank, const Layers& layers) {
  return tank.liquid_depth_m - mouth_depth_m(tank) - layers.sludge_outlet_m;
}

double bypass(const Tank& tank, const TankParameters& p) {
  if (tank.inlet_baffle && tank.outlet_baffle) return p.bypass_sound;
  const double sum = (tank.inlet_baffle ? 0.0 : p.bypass_no_inlet_baffle) +
                     (tank.outlet_baffle ? 0.0 : p.bypass_no_outlet_baffle);
  return std::min(sum, max_bypass);
}

// phi of (5).
double cone_share(double clearance_m, double settling_m_per_day, double outflow_m3_per_day) {
  if (outflow_m3_per_day <= 0.0) return 0.0;
  const double cone_m =
      std::sqrt(outflow_m3_per_day / (2.0 * std::numbers::pi * settling_m_per_day));
  const double rest = std::clamp(1.0 - clearance_m / cone_m, 0.0, 1.0);
  return rest * rest;
}

}  // namespace

double hazen_removal(double velocity_ratio, double cells) {
  if (std::isinf(cells)) return -std::expm1(-velocity_ratio);  // plug flow
  return -std::expm1(-cells * std::log1p(velocity_ratio / cells));
}

int settling_cells(const Tank& tank) {
  const bool baffles = tank.inlet_baffle && tank.outlet_baffle;
  const int cells = tank.compartments >= 2 ? 3 : baffles ? 2 : 1;
  return cells + (tank.long_and_narrow ? 1 : 0);
}

double scum_retained(const Tank& tank, const TankParameters& p) {
  return tank.outlet_baffle ? 1.0 : 1.0 - p.scum_lost_without_baffle;
}

double settled_share(const Tank& tank, const TankParameters& p, double flow_m3_per_day) {
  const double overflow_m_per_day = flow_m3_per_day / tank.plan_area_m2;
  const double cells = settling_cells(tank);
  double removed = 0.0;
  for (const SettlingClass& c : p.settling) {
    if (c.velocity_m_per_day <= 0.0) continue;
    const double ratio =
        overflow_m_per_day > 0.0 ? c.velocity_m_per_day / overflow_m_per_day : infinity;
    removed += c.mass_share * hazen_removal(ratio, cells);
  }
  const double scum_loss = p.scum_share * (1.0 - scum_retained(tank, p));
  return (1.0 - bypass(tank, p)) * removed * (1.0 - scum_loss);
}

double bod_settled_share(const TankParameters& p, double settled_share) {
  return p.bod_settleable_share * settled_share;
}

SurgeStep surge_step(double plan_area_m2, const CircularOpening& outlet, double head_m,
                     double inflow_m3_per_day, double dt_day) {
  const auto k = [&outlet](double h) { return free_flow_coefficient_m_per_day(outlet, h); };
  const double h0 = std::max(head_m, 0.0), inflow = std::max(inflow_m3_per_day, 0.0);
  const double h1 = surge_head_m(k, k(h0), h0, inflow, dt_day / plan_area_m2);
  return {.head_m = h1, .outflow_m3 = std::max(inflow * dt_day - plan_area_m2 * (h1 - h0), 0.0)};
}

double tank_temperature_c(const TankParameters& p, double day_of_year) {
  return p.temperature_mean_c +
         p.temperature_swing_c * std::cos(2.0 * std::numbers::pi *
                                          (day_of_year - p.warmest_day_of_year) / days_per_year);
}

SolidsRates solids_rates(const TankParameters& p, const SolidsState& s, double deposit_kg_per_day,
                         double temperature_c, double scum_retained) {
  // What floated and was lost is not part of the deposit: share the rest out accordingly.
  const double floating = p.scum_share * scum_retained;
  const double scum_deposit = deposit_kg_per_day * floating / (1.0 - p.scum_share + floating);
  const double settled = deposit_kg_per_day - scum_deposit;
  const double k =
      p.digestion_20c_per_day * std::pow(p.digestion_theta, temperature_c - 20.0) * s.activity;
  const double f = p.sludge_biodegradable_share;
  const double scum_decay = p.scum_digestion_factor * k * s.scum_kg;
  const double sludge_decay = k * s.biodegradable_kg;
  // Only the biodegradable part of the scum can turn to gas; the rest sinks.
  const double decay = sludge_decay + f * scum_decay;
  return {.biodegradable_kg = f * settled - sludge_decay,
          .inert_kg = (1.0 - f) * (settled + scum_decay) + p.digestion_yield * decay,
          .inert_age_kg_day = s.inert_kg,
          .activity = s.activity_growth_per_day * s.activity * (1.0 - s.activity),
          .scum_kg = scum_deposit - scum_decay,
          .digested_kg = (1.0 - p.digestion_yield) * decay};
}

double sludge_volume_m3(const TankParameters& p, const SolidsState& s) {
  const double age_day = s.inert_kg > 0.0 ? s.inert_age_kg_day / s.inert_kg : 0.0;
  const double inert_kg_per_m3 =
      p.inert_fresh_kg_per_m3 -
      (p.inert_old_kg_per_m3 - p.inert_fresh_kg_per_m3) * std::expm1(-age_day / p.compaction_day);
  return s.biodegradable_kg / p.biodegradable_kg_per_m3 + s.inert_kg / inert_kg_per_m3;
}

double scum_volume_m3(const TankParameters& p, const SolidsState& s) {
  return s.scum_kg / p.scum_kg_per_m3;
}

Layers layers(const Tank& tank, const TankParameters& p, const SolidsState& s) {
  const double sludge_m = sludge_volume_m3(p, s) / tank.plan_area_m2;
  const double scum_m = scum_volume_m3(p, s) / tank.plan_area_m2;
  if (tank.compartments < 2) return {sludge_m, scum_m, sludge_m, scum_m};
  const double first = p.sludge_share_first / p.area_share_first;
  const double outlet = (1.0 - p.sludge_share_first) / (1.0 - p.area_share_first);
  return {.sludge_first_m = first * sludge_m,
          .scum_first_m = first * scum_m,
          .sludge_outlet_m = outlet * sludge_m,
          .scum_outlet_m = outlet * scum_m};
}

CarryOver carry_over(const Tank& tank, const TankParameters& p, const Layers& layers,
                     double outflow_m3_per_day) {
  const double sludge = cone_share(sludge_clearance_m(tank, layers), p.carry_sludge_fall_m_per_day,
                                   outflow_m3_per_day);
  const double scum = tank.outlet_baffle
                          ? cone_share(mouth_depth_m(tank) - layers.scum_outlet_m,
                                       p.carry_scum_rise_m_per_day, outflow_m3_per_day)
                          : 0.0;
  return {.sludge_kg_per_m3 = (layers.sludge_outlet_m > 0.0 ? sludge : 0.0) * p.carry_max_kg_per_m3,
          .scum_kg_per_m3 = (layers.scum_outlet_m > 0.0 ? scum : 0.0) * p.carry_max_kg_per_m3};
}

double calm_outflow_m3_per_day(const Tank& tank, const TankParameters& p, const Layers& layers) {
  // The flow whose cone just reaches the layer.
  const auto reaching = [](double clearance_m, double settling_m_per_day) {
    const double z = std::max(0.0, clearance_m);
    return 2.0 * std::numbers::pi * settling_m_per_day * z * z;
  };
  const double sludge = reaching(sludge_clearance_m(tank, layers), p.carry_sludge_fall_m_per_day);
  if (!tank.outlet_baffle) return sludge;
  return std::min(
      sludge, reaching(mouth_depth_m(tank) - layers.scum_outlet_m, p.carry_scum_rise_m_per_day));
}

double pass_through_share(const Tank& tank, const Layers& layers) {
  return sludge_clearance_m(tank, layers) <= 0.0 ? 1.0 : 0.0;
}

SolidsState pumped(const TankParameters& p, const SolidsState& s) {
  return {.biodegradable_kg = p.left_after_pumping * s.biodegradable_kg,
          .inert_kg = p.left_after_pumping * s.inert_kg,
          .inert_age_kg_day = p.left_after_pumping * s.inert_age_kg_day,
          .activity = p.activity_after_pumping,
          .activity_growth_per_day = p.activity_growth_per_day,
          .scum_kg = p.left_after_pumping * s.scum_kg};
}

SolidsState brand_new(const TankParameters& p) {
  return {.activity = p.activity_new, .activity_growth_per_day = p.activity_growth_new_per_day};
}

PumpOutReadings pump_out_readings(const Tank& tank, const TankParameters& p, const SolidsState& s,
                                  double mean_flow_m3_per_day) {
  const Layers l = layers(tank, p, s);
  const double clear_m3 = std::max(
      0.0, tank.plan_area_m2 * tank.liquid_depth_m - sludge_volume_m3(p, s) - scum_volume_m3(p, s));
  return {.solids_share_of_depth =
              std::max(l.sludge_first_m + l.scum_first_m, l.sludge_outlet_m + l.scum_outlet_m) /
              tank.liquid_depth_m,
          .sludge_clearance_m = sludge_clearance_m(tank, l),
          .scum_clearance_m = tank.outlet_baffle ? mouth_depth_m(tank) - l.scum_outlet_m : infinity,
          .retention_day = mean_flow_m3_per_day > 0.0 ? clear_m3 / mean_flow_m3_per_day : infinity};
}

}  // namespace restwell
