// The closing parts of the help pages: what to know, and examples that run as they stand.
#pragma once

namespace restwell::help {

inline constexpr const char* program =
    R"(Examples:
  restwell run scenarios/two_old_pits.yaml
  restwell run scenarios/two_old_pits.yaml --units metric --out results
  restwell pump scenarios/pits_in_series.yaml --reading 2026-05-01 sludge=6in scum=1in
  restwell whatif scenarios/two_old_pits.yaml --set household.occupants=2..8
  restwell rest scenarios/failing_pit.yaml --pit east
  restwell perc --hole "6 in" --presoak "24 hours" --interval "30 min" --drop "1 in" --drop "1 in" --drop "1 in"
  restwell check scenarios/two_old_pits.yaml
  restwell schema > scenario.schema.json
  restwell help run

Exit codes: 0 good, 2 wrong command line, 3 the scenario file has problems, 4 the run failed.
A system that overflows is an answer, not a failure. Nothing is coloured, with NO_COLOR or without.

Open tanks, boxes and pits kill: gas, collapse, falls. Never enter one. The local code, the health
department and licensed practitioners decide; this is a calculation on assumptions.)";

inline constexpr const char* man =
    R"(cmake --install and the Debian package put it where man finds it.

Example:
  restwell man > restwell.1)";

inline constexpr const char* completion =
    R"(cmake --install and the Debian package put it where the shells find it.

Example:
  restwell completion bash > restwell.bash

In bash then: source restwell.bash. In zsh the file is _restwell in a folder of $fpath, in fish
restwell.fish in ~/.config/fish/completions.)";

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

inline constexpr const char* whatif =
    R"(Runs the file as it is and every case besides, and compares: water and solids, how often to pump,
first full pit, overflow, shares of the pits. Then it says of each case what changes and through
which link, and what does not.

A path is the keys of the file with dots between; entries of a list go by name or number, * is all:
household.occupants, pits.east.depth, box.outlets[2].raised, pits.*.depth, soil.perc,
assumptions.clogging_per_load. Keys that the file leaves out can be set as well.
A value is as in the file. +2 or "+6 in" is added to what the file says. Several values: 2, 4, 6 or
a range 2..8, 2..8 by 2, "6 ft..10 ft by 1 ft". Values with blanks or brackets need quotes. Several
--set make every combination of their values. At most 200 cases.

Examples:
  restwell whatif scenarios/two_old_pits.yaml --set household.occupants=2..8
  restwell whatif scenarios/two_old_pits.yaml --set "household.leak=200 gal/day"
  restwell whatif scenarios/two_old_pits.yaml --set "household.laundry.days=[sat]"
  restwell whatif scenarios/one_outlet_low.yaml --set "box.outlets.A.raised=0 in..1/4 in by 1/16 in"
  restwell whatif scenarios/two_old_pits.yaml --set tank.volume="+500 gal" --set household.disposer=no,yes
  restwell whatif scenarios/two_old_pits.yaml --cases scenarios/what_if_cases.yaml --out results

A file of cases: cases: [{name: two more people, set: {household.occupants: +2}}, ...].
--out writes report.txt, report.json, CSV files (cases, case_pits, case_years) and figures.)";

inline constexpr const char* report =
    R"(One file in plain words: what you have, what will happen and when, why, what would change it,
what to do next, how sure all this is, cautions; then tables for the professional. It opens on any
phone or computer without a network, and prints.

The cases side by side are chosen by what the file says (two more people, a running toilet or the
leak fixed, laundry, pumping, a new pit or the plan left undone); --set and --cases put others in
their place, see restwell help whatif. --pdf prints the page through a browser on PATH, such as
chromium; without one, open the page and print it.

Examples:
  restwell report scenarios/two_old_pits.yaml -o report.html
  restwell report scenarios/pits_and_field.yaml -o report.html --set household.occupants=2,6
  restwell report scenarios/metric_cottage.yaml --units us -o report.html

A page of an earlier run is replaced, any other file is left alone.)";

inline constexpr const char* rest =
    R"(A pit is taken out of service on a date; its water goes to the other pits of the box, to another
pit, or is hauled away. The answer is the shortest rest that buys the years of service asked for,
what it costs the other pits meanwhile, and whether two pits had better take turns.

Where its water goes stands in the file under the pit (while_resting: others, haul, or {to: a pit})
or in --flow-to. A new pit stands in pits, with a capped outlet of the box that leads to it. --years
is how long a pit back in service is followed: 10 years if left out.

Examples:
  restwell rest scenarios/failing_pit.yaml --pit east
  restwell rest scenarios/failing_pit.yaml --pit east --service "5 years" --flow-to haul

--out writes report.txt, report.json, CSV files (rest, rest_days, turns) and figures.)";

inline constexpr const char* perc =
    R"(The answer is the rate by the usual rule (last interval over last drop), the field-saturated
conductivity with its range, and what published codes ask for at that rate. Readings that do not
keep the rule are named, with what to do. Several holes, and layers of different depth, go into a
file.

Examples:
  restwell perc --hole "6 in" --water "6 in" --presoak "24 hours" --interval "30 min" --drop "1 in" --drop "7/8 in" --drop "7/8 in"
  restwell perc --hole "20 cm" --interval "30 min" --drop "31 mm" --drop "28 mm" --drop "28 mm" --structure structured --units metric
  restwell perc scenarios/perc_test.yaml
  restwell perc scenarios/perc_test.yaml --json > perc.json
  restwell perc scenarios/perc_test.yaml --out results

--out writes report.txt, report.json, CSV files (perc_readings, perc_holes) and a figure of the rate
by reading.)";

inline constexpr const char* size =
    R"(New pits of each diameter and number are tried from the shallowest allowed down, until one lasts.
They are listed cheapest first (by the volume dug, or your own unit costs) with their life as
early | expected | late, and beside it the side wall that published code tables ask for. Nothing
is tried that comes nearer to the water table than soil.separation (4 ft). New pits are built like
the file's first pit. --out also writes best_choice.yaml: the site with the first choice and its
plan, to be run, checked and changed.

Examples:
  restwell size scenarios/two_old_pits.yaml --diameters "6 ft" --pits 1 --depths "8 ft..16 ft by 2 ft"
  restwell size scenarios/two_old_pits.yaml --diameters "8 ft" --pits 1 --old leave --life "10 years"
  restwell size scenarios/metric_cottage.yaml --diameters "1.8 m, 2.4 m" --pits 1 --by early
  restwell size scenarios/two_old_pits.yaml --diameters "6 ft" --pits "1, 2" --old leave \
      --cost-per-pit 2500 --cost-per-volume "40 /yd3" --basis household --out results

A choice is no design: the local code, the health department and licensed practitioners decide.)";

inline constexpr const char* check =
    R"(Reads the file, reports every problem with its line and a hint, and runs nothing.

Example:
  restwell check scenarios/two_old_pits.yaml)";

inline constexpr const char* schema =
    R"(Point your editor's YAML support at the printed file to get completion and checks while typing.

Example:
  restwell schema > scenario.schema.json)";

}  // namespace restwell::help
