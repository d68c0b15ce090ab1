// The closing parts of the help pages: what to know, and examples that run as they stand.
#pragma once

namespace restwell::help {

inline constexpr const char* program =
    R"(Examples:
  restwell run scenarios/two_old_pits.yaml
  restwell run scenarios/two_old_pits.yaml --units metric --out results
  restwell pump scenarios/pits_in_series.yaml --reading 2026-05-01 sludge=6in scum=1in
  restwell check scenarios/two_old_pits.yaml
  restwell schema > scenario.schema.json
  restwell help run

Exit codes: 0 good, 2 wrong command line, 3 the scenario file has problems, 4 the run failed.
A system that overflows is an answer, not a failure.

Open tanks, boxes and pits kill: gas, collapse, falls. Never enter one. The local code, the health
department and licensed practitioners decide; this is a calculation on assumptions.)";

inline constexpr const char* run =
    R"(The answer comes first, then a table for each part, then what is assumed, then cautions.
Dates that hang on clogging stand as early | expected | late.

To begin, copy a file of scenarios/ and put in what you found; restwell schema lists every key. What
an option does not say, the file says; what the file does not say has a default that is listed.

Examples:
  restwell run scenarios/two_old_pits.yaml
  restwell run scenarios/two_old_pits.yaml --years 30 --mode random --seed 7
  restwell run scenarios/two_old_pits.yaml --json > answer.json
  restwell run scenarios/two_old_pits.yaml --units metric --out results

--out writes report.txt, report.json, CSV files (tank, pits, pit_months, events, yearly_balance,
outlet_shares, typical_day, clogging) and figures (SVG and PNG, drawn by gnuplot).)";

inline constexpr const char* pump =
    R"(The next pump-out by each criterion, how the date moves with people and with a disposer, and what
skipping it does to the pits. The tank's story begins at its last pump-out (pumped: in the file, or
--pumped) or first use.

A reading corrects it: the household's solids are fitted to the sludge and scum measured through the
inlet lid, and the answer says so if reading and story do not agree. Give as many readings as there
are; without a known pump-out it takes two. They may stand in the file too, as
tank: {readings: [{date: 2026-05-01, sludge: 14 in, scum: 3 in}]}.

Examples:
  restwell pump scenarios/two_old_pits.yaml
  restwell pump scenarios/pits_in_series.yaml --reading 2026-05-01 sludge=6in scum=1in
  restwell pump scenarios/two_old_pits.yaml --pumped 2024-05-01 --reading "2026-05-01 sludge=20in scum=4in"
  restwell pump scenarios/pump_reading.yaml --units metric --out results

--out writes report.txt, report.json, CSV files (tank_course, readings, pump_dates, pit_life,
leaving_tank) and figures (SVG and PNG, drawn by gnuplot).)";

inline constexpr const char* check =
    R"(Reads the file, reports every problem with its line and a hint, and runs nothing.

Example:
  restwell check scenarios/two_old_pits.yaml)";

inline constexpr const char* schema =
    R"(Point your editor's YAML support at the printed file to get completion and checks while typing.

Example:
  restwell schema > scenario.schema.json)";

}  // namespace restwell::help
