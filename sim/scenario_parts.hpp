// The parts of a scenario, from checked fields to plain data, with the checks that take more than
// one field. Loader's own; everybody else uses scenario_yaml.hpp.
#pragma once

#include "sim/record.hpp"
#include "sim/scenario.hpp"

namespace restwell {

// Each takes the file's top map; a part left out gives defaults. What has a problem is noted in
// findings and replaced by something harmless: the scenario is thrown away then.
// start and end: of the run, if known.
struct RunDates {
  std::optional<Date> start, end;
};

[[nodiscard]] HouseholdConfig read_household(const Record& top, const HouseholdParameters& p,
                                             const RunDates& dates, Findings& findings);
// like: carries the outlet's discharge coefficient, which assumptions may have set.
[[nodiscard]] TankConfig read_tank(const Record& top, const TankConfig& like, const RunDates& dates,
                                   Findings& findings);
[[nodiscard]] BoxConfig read_box(const Record& top, double discharge_coefficient,
                                 Findings& findings);
[[nodiscard]] SoilConfig read_soil(const Record& top, Findings& findings);
[[nodiscard]] std::vector<PitConfig> read_pits(const Record& top, Findings& findings);
// Precondition: box and pits of the scenario have been read.
[[nodiscard]] std::vector<PlannedWork> read_plan(const Record& top, const Scenario& scenario,
                                                 const RunDates& dates, Findings& findings);
// Pits and outlets, water table: what leads where and how deep it is.
void check_site(const Record& top, const Scenario& scenario, Findings& findings);

}  // namespace restwell
