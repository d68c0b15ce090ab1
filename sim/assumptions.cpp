#include "sim/assumptions.hpp"

#include <fmt/format.h>

#include <array>

namespace restwell {
namespace {

constexpr Dimension none = Dimension::percent;  // of bare numbers, not used

constexpr std::array table{
    // ---- clogging of the pits' walls ----
    Assumption{"clogging_per_load", Dimension::clogging, "day m2/kg", "0 day m2/kg",
               "200 day m2/kg",
               "clogging resistance per BOD and solids applied, at 10 min/inch; assumed, 2-15",
               [](Scenario& s) -> double& { return s.biomat.beta_day_m2_per_kg; }},
    Assumption{"clogging_soil_exponent", none, "", "0", "2",
               "how far clogging goes with 1/conductivity: 0 not at all, 1 in proportion; assumed, "
               "0-1",
               [](Scenario& s) -> double& { return s.biomat.soil_exponent; }},
    Assumption{"clogging_reference_conductivity", Dimension::conductivity, "m/day", "0.001 m/day",
               "100 m/day",
               "conductivity clogging_per_load is given for: 10 min/inch in a 6-inch hole",
               [](Scenario& s) -> double& { return s.biomat.reference_kfs_m_per_day; }},
    Assumption{"residual_share", Dimension::percent, "%", "0 %", "100 %",
               "share of the clogging that no rest removes; assumed, 0-10 %",
               [](Scenario& s) -> double& { return s.biomat.residual_share; }},
    Assumption{
        "start_residual_share", Dimension::percent, "%", "0 %", "100 %",
        "part of the resistance behind a measured drop that no rest removes; assumed, 0-50 %",
        [](Scenario& s) -> double& { return s.biomat.start_residual_share; }},
    Assumption{"solids_weight", none, "", "0", "20",
               "weight of suspended solids against BOD in the clogging load; assumed",
               [](Scenario& s) -> double& { return s.biomat.solids_weight; }},
    Assumption{"decay_rate", Dimension::rate, "1/day", "0 1/day", "1 1/day",
               "decay of the clogging layer at 20 degC, exposed; assumed, 0.01-0.04",
               [](Scenario& s) -> double& { return s.biomat.decay_20c_per_day; }},
    Assumption{"decay_temperature_factor", none, "", "1", "1.3",
               "factor on decay per degC; assumed, 1.03-1.10",
               [](Scenario& s) -> double& { return s.biomat.decay_theta; }},
    Assumption{
        "submerged_decay_factor", none, "", "0", "1",
        "decay under water against exposed; assumed from a published loading rate, 0.05-0.45",
        [](Scenario& s) -> double& { return s.biomat.submerged_factor; }},
    Assumption{"clean_resistance", Dimension::duration, "days", "0 days", "20 days",
               "resistance of the clean wall; assumed",
               [](Scenario& s) -> double& { return s.biomat.clean_resistance_day; }},
    Assumption{"aeration_lag", Dimension::duration, "days", "0 days", "365 days",
               "until a drained wall decays at full rate; assumed, 3 (sand) - 30 (clay)",
               [](Scenario& s) -> double& { return s.biomat.aeration_lag_day; }},
    Assumption{"drainage_factor", none, "", "0", "100",
               "on the time a wall's soil takes to drain before air enters; the rule is fitted to "
               "soil-water calculations, 0.4-2.5",
               [](Scenario& s) -> double& { return s.drainage.factor; }},
    Assumption{"drainage_longest", Dimension::duration, "days", "0 days", "10 years",
               "by then cracks and channels let air into the slowest soil; assumed, 60-365",
               [](Scenario& s) -> double& { return s.drainage.longest_day; }},
    Assumption{"soil_lag_share", none, "", "0", "0.9",
               "share of the clean soil's resistance to flow that follows a pit's water only with "
               "delay, 0 none; fitted to soil-water calculations, 0-0.7",
               [](Scenario& s) -> double& { return s.soil_lag.lagging_share; }},
    Assumption{"soil_lag_time_factor", none, "", "0", "100",
               "on the time water takes down through the soil beside a pit, for that delay; fitted "
               "to soil-water calculations, 0.2-0.6",
               [](Scenario& s) -> double& { return s.soil_lag.time_factor; }},
    Assumption{"soil_temperature", Dimension::temperature, "degC", "-5 degC", "40 degC",
               "mean over the year, at every depth; assumed",
               [](Scenario& s) -> double& { return s.soil_temperature.mean_c; }},
    Assumption{"soil_surface_swing", Dimension::temperature_difference, "degC", "0 degC", "30 degC",
               "half of the difference between summer and winter at the ground's surface; assumed, "
               "leaves 6 degC at 2 m, the middle of a usual pit",
               [](Scenario& s) -> double& { return s.soil_temperature.surface_swing_c; }},
    Assumption{
        "soil_surface_warmest_day", none, "", "1", "366",
        "day of the year, at the ground's surface; it comes later with depth, by 47 days at "
        "2 m; from memory",
        [](Scenario& s) -> double& { return s.soil_temperature.surface_warmest_day_of_year; }},
    Assumption{"soil_thermal_diffusivity", Dimension::diffusivity, "mm2/s", "0.01 mm2/s",
               "10 mm2/s",
               "how fast warmth goes down into the soil; from memory, 0.4-0.8 in moist soil",
               [](Scenario& s) -> double& { return s.soil_temperature.diffusivity_m2_per_day; }},
    // ---- groundwater ----
    Assumption{"aquifer_thickness", Dimension::length, "ft", "1 ft", "1000 ft",
               "ground that carries water, below the water table; assumed, 6-60 ft (2-20 m)",
               [](Scenario& s) -> double& { return s.groundwater.aquifer_thickness_m; }},
    Assumption{"specific_yield", none, "", "0.001", "0.6",
               "share of the ground that fills as the water table rises; assumed, 0.05-0.30",
               [](Scenario& s) -> double& { return s.groundwater.specific_yield; }},
    Assumption{"mound_time", Dimension::duration, "days", "1 day", "100 years",
               "how long the mean intake is taken to have fed the mound under a pit; assumed",
               [](Scenario& s) -> double& { return s.groundwater.mound_time_day; }},
    Assumption{"mound_memory", Dimension::duration, "days", "1 day", "100 years",
               "the intake's mean that feeds the mound, and the water where soils meet, reaches "
               "back about so long; assumed",
               [](Scenario& s) -> double& { return s.groundwater.mound_memory_day; }},
    Assumption{"layer_reach", Dimension::length, "ft", "3 ft", "1000 ft",
               "how far water spreads where two soils meet before it has gone down; assumed, "
               "15-150 ft (5-50 m)",
               [](Scenario& s) -> double& { return s.groundwater.layer_reach_m; }},
    // ---- tank ----
    Assumption{"bypass_sound", Dimension::percent, "%", "0 %", "90 %",
               "inflow that reaches the outlet unsettled, sound baffles; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.bypass_sound; }},
    Assumption{"bypass_no_inlet_baffle", Dimension::percent, "%", "0 %", "90 %",
               "the same with the inlet baffle missing; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.bypass_no_inlet_baffle; }},
    Assumption{"bypass_no_outlet_baffle", Dimension::percent, "%", "0 %", "90 %",
               "the same with the outlet baffle missing; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.bypass_no_outlet_baffle; }},
    Assumption{"bod_settleable_share", Dimension::percent, "%", "0 %", "100 %",
               "share of the BOD that settles with the solids; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.bod_settleable_share; }},
    Assumption{"scum_lost_without_baffle", Dimension::percent, "%", "0 %", "100 %",
               "rising scum that leaves a tank without outlet baffle; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.scum_lost_without_baffle; }},
    Assumption{"sludge_biodegradable_share", Dimension::percent, "%", "0 %", "100 %",
               "of the settled solids; assumed, 45-70 %",
               [](Scenario& s) -> double& { return s.tank_parameters.sludge_biodegradable_share; }},
    Assumption{"digestion_rate", Dimension::rate, "1/day", "0 1/day", "1 1/day",
               "digestion of sludge at 20 degC; assumed, 0.005-0.06",
               [](Scenario& s) -> double& { return s.tank_parameters.digestion_20c_per_day; }},
    Assumption{"digestion_temperature_factor", none, "", "1", "1.3",
               "factor on digestion per degC; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.digestion_theta; }},
    Assumption{"digestion_yield", Dimension::percent, "%", "0 %", "100 %",
               "digested solids that turn inert; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.digestion_yield; }},
    Assumption{"biodegradable_sludge_density", Dimension::concentration, "kg/m3", "1 kg/m3",
               "1000 kg/m3", "dry solids per volume of fresh sludge; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.biodegradable_kg_per_m3; }},
    Assumption{"inert_sludge_density_fresh", Dimension::concentration, "kg/m3", "1 kg/m3",
               "1000 kg/m3", "dry solids per volume of inert sludge when young; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.inert_fresh_kg_per_m3; }},
    Assumption{"inert_sludge_density_old", Dimension::concentration, "kg/m3", "1 kg/m3",
               "1000 kg/m3", "the same once compacted; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.inert_old_kg_per_m3; }},
    Assumption{"compaction_time", Dimension::duration, "years", "1 day", "100 years",
               "time constant of compaction; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.compaction_day; }},
    Assumption{"activity_after_pumping", none, "", "0.0001", "1",
               "digestion's activity left after a pump-out; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.activity_after_pumping; }},
    Assumption{"activity_growth_after_pumping", Dimension::rate, "1/day", "0 1/day", "1 1/day",
               "how fast it comes back; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.activity_growth_per_day; }},
    Assumption{"activity_new_tank", none, "", "0.0001", "1",
               "digestion's activity in a brand-new tank; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.activity_new; }},
    Assumption{
        "activity_growth_new_tank", Dimension::rate, "1/day", "0 1/day", "1 1/day",
        "how fast it grows; assumed",
        [](Scenario& s) -> double& { return s.tank_parameters.activity_growth_new_per_day; }},
    Assumption{"scum_share", Dimension::percent, "%", "0 %", "99 %",
               "share of the settled solids that floats; assumed, 15-40 %",
               [](Scenario& s) -> double& { return s.tank_parameters.scum_share; }},
    Assumption{"scum_digestion_factor", none, "", "0", "10",
               "digestion of scum against sludge; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.scum_digestion_factor; }},
    Assumption{"scum_density", Dimension::concentration, "kg/m3", "1 kg/m3", "1000 kg/m3",
               "dry solids per volume of scum; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.scum_kg_per_m3; }},
    Assumption{"left_after_pumping", Dimension::percent, "%", "0 %", "100 %",
               "solids a pump-out leaves in the tank; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.left_after_pumping; }},
    Assumption{"solids_share_first_compartment", Dimension::percent, "%", "1 %", "100 %",
               "sludge and scum held by the first of two compartments; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.sludge_share_first; }},
    Assumption{"area_share_first_compartment", Dimension::percent, "%", "10 %", "90 %",
               "plan area of the first of two compartments; common practice",
               [](Scenario& s) -> double& { return s.tank_parameters.area_share_first; }},
    Assumption{
        "sludge_carry_over_velocity", Dimension::conductivity, "m/day", "0.1 m/day", "10000 m/day",
        "settling velocity that resists the pull of the outlet; assumed",
        [](Scenario& s) -> double& { return s.tank_parameters.carry_sludge_fall_m_per_day; }},
    Assumption{"scum_carry_over_velocity", Dimension::conductivity, "m/day", "0.1 m/day",
               "10000 m/day", "rising velocity that resists the pull of the outlet; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.carry_scum_rise_m_per_day; }},
    Assumption{
        "carry_over_limit", Dimension::concentration, "mg/L", "0 mg/L", "100000 mg/L",
        "concentration carried over when sludge stands at the mouth; assumed, 500-10000 mg/L",
        [](Scenario& s) -> double& { return s.tank_parameters.carry_max_kg_per_m3; }},
    Assumption{"carry_over_bod_share", Dimension::percent, "%", "0 %", "200 %",
               "BOD per solids carried over; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.carry_bod_share; }},
    Assumption{"tank_temperature", Dimension::temperature, "degC", "0 degC", "40 degC",
               "mean over the year; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.temperature_mean_c; }},
    Assumption{"tank_temperature_swing", Dimension::temperature_difference, "degC", "0 degC",
               "30 degC", "half of the difference between summer and winter; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.temperature_swing_c; }},
    Assumption{"tank_warmest_day", none, "", "1", "366", "day of the year; assumed",
               [](Scenario& s) -> double& { return s.tank_parameters.warmest_day_of_year; }},
    // ---- household ----
    Assumption{"household_size_exponent", none, "", "0", "2",
               "flow goes as occupants to this power; DeOreo et al. 2016",
               [](Scenario& s) -> double& { return s.household_parameters.size_exponent; }},
    Assumption{"reference_people", none, "", "0.1", "20",
               "household size the fixture use per person is given for; fits DeOreo et al. 2016",
               [](Scenario& s) -> double& { return s.household_parameters.reference_people; }},
    Assumption{"home_by_day_factor", none, "", "0", "5",
               "use of a person at home by day; assumed, 1.0-1.35",
               [](Scenario& s) -> double& { return s.household_parameters.home_by_day_factor; }},
    Assumption{"away_by_day_factor", none, "", "0", "5",
               "use of a person at work or school, weekdays; assumed",
               [](Scenario& s) -> double& { return s.household_parameters.away_by_day_factor; }},
    Assumption{"guest_flow", Dimension::flow, "gal/day", "0 gal/day", "1000 gal/day",
               "of an overnight guest; assumed",
               [](Scenario& s) -> double& { return s.household_parameters.guest_m3_per_day; }},
    Assumption{"visitor_flow", Dimension::flow, "gal/day", "0 gal/day", "1000 gal/day",
               "of a day visitor; assumed",
               [](Scenario& s) -> double& { return s.household_parameters.visitor_m3_per_day; }},
    Assumption{"daily_variation", none, "", "0.001", "3",
               "coefficient of variation from day to day (random mode); assumed",
               [](Scenario& s) -> double& { return s.household_parameters.daily_cv; }},
    Assumption{"solids_per_person", Dimension::mass_per_day, "g/day", "0 g/day", "1000 g/day",
               "suspended solids; US EPA 2002, table 3-7, 35-75",
               [](Scenario& s) -> double& { return s.household_parameters.tss_kg_per_person_day; }},
    Assumption{"bod_per_person", Dimension::mass_per_day, "g/day", "0 g/day", "1000 g/day",
               "BOD5; US EPA 2002, table 3-7, 35-65",
               [](Scenario& s) -> double& { return s.household_parameters.bod_kg_per_person_day; }},
    Assumption{"disposer_solids_per_person", Dimension::mass_per_day, "g/day", "0 g/day",
               "1000 g/day", "added by a food-waste disposer; US EPA 2002, table 3-8",
               [](Scenario& s) -> double& {
                 return s.household_parameters.disposer_tss_kg_per_person_day;
               }},
    Assumption{"disposer_bod_per_person", Dimension::mass_per_day, "g/day", "0 g/day", "1000 g/day",
               "added by a food-waste disposer; US EPA 2002, table 3-8",
               [](Scenario& s) -> double& {
                 return s.household_parameters.disposer_bod_kg_per_person_day;
               }},
    // ---- pipes ----
    Assumption{"discharge_coefficient", none, "", "0.3", "1",
               "of the tank's outlet and of box outlets without leveler; assumed, 0.55-0.65",
               [](Scenario& s) -> double& { return s.tank.tank.outlet.discharge_coefficient; }},
};

}  // namespace

std::span<const Assumption> assumptions() { return table; }

std::vector<AssumptionInfo> assumption_list(const Scenario& scenario) {
  constexpr int digits = 4;  // nobody knows them better
  const auto unit_of = [&](const Assumption& a) {
    if (scenario.units != UnitSystem::metric) return a.unit;
    return a.unit == "ft" ? "m" : a.unit == "gal/day" ? "L/day" : a.unit;
  };
  Scenario s = scenario;  // the accessors give writable references
  std::vector<AssumptionInfo> list;
  for (const Assumption& a : table) {
    const double value = a.parameter(s);
    list.push_back({std::string(a.key),
                    a.unit.empty() ? fmt::format("{:.{}g}", value, digits)
                                   : quantity_in_unit(value, a.dimension, unit_of(a), digits),
                    std::string(a.note)});
  }
  return list;
}

}  // namespace restwell
