// The tables of the main job's report, one function a part.
#pragma once

#include <optional>

#include "sim/report.hpp"

namespace restwell {

[[nodiscard]] ReportTable household_table(const RunResult& r);
[[nodiscard]] ReportTable pump_out_table(const RunResult& r);
[[nodiscard]] ReportTable tank_by_year_table(const RunResult& r);
[[nodiscard]] ReportTable outlet_flow_table(const RunResult& r);
[[nodiscard]] ReportTable box_table(const RunResult& r);
[[nodiscard]] ReportTable pits_at_start_table(const RunResult& r);
[[nodiscard]] ReportTable pit_dates_table(const RunResult& r);
[[nodiscard]] ReportTable overflow_table(const RunResult& r);
[[nodiscard]] ReportTable pit_levels_table(const RunResult& r);
// Only for a scenario with a water table.
[[nodiscard]] ReportTable water_table_table(const RunResult& r);
// Nothing if the table stays farther than twice what is asked for.
[[nodiscard]] std::optional<AnswerLine> water_table_line(const RunResult& r);
// For every pit with the water table over its inlet: what floods the pipe then.
[[nodiscard]] std::vector<std::string> flooded_inlet_notes(const RunResult& r);
// Where coarser soil near a pit's bottom holds back the water of the finer soil on it.
[[nodiscard]] std::vector<std::string> coarse_soil_notes(const RunResult& r);
[[nodiscard]] bool has_tight_layers(const RunResult& r);
[[nodiscard]] ReportTable perched_table(const RunResult& r);
// Nothing if no water stands on a layer at least twice as tight as the soil on it.
[[nodiscard]] std::optional<AnswerLine> perched_line(const RunResult& r);
[[nodiscard]] ReportTable balance_table(const RunResult& r);
[[nodiscard]] ReportTable cases_table(const std::vector<ClogCase>& cases);
[[nodiscard]] ReportTable plan_table(const Scenario& scenario);
[[nodiscard]] ReportTable soil_table(const Scenario& scenario);
[[nodiscard]] ReportTable clogging_parameters_table(const Scenario& scenario);
[[nodiscard]] ReportTable other_parameters_table(const Scenario& scenario);
[[nodiscard]] std::vector<std::string> model_simplifications(const Scenario& scenario);

inline constexpr double eighth_inch_m = 0.003175;

// Free-fall shares of the typical week with outlet `moved` (index of an open outlet) raised by
// lift_m.
[[nodiscard]] std::vector<double> shares_with_lift(const RunResult& r, std::size_t moved,
                                                   double lift_m);

// Name of an outlet of the scenario: its own, or the pit it leads to.
[[nodiscard]] std::string outlet_label(const Scenario& scenario, std::size_t outlet);

// The scenario's outlets that are open at some time of the run.
[[nodiscard]] std::vector<std::size_t> outlets_used(const RunResult& r);

}  // namespace restwell
