// What each command does, free of how the command line is written.
#pragma once

#include <cstdint>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "sim/perc.hpp"
#include "sim/scenario.hpp"

namespace restwell {

enum ExitCode : int { ok = 0, wrong_command_line = 2, scenario_invalid = 3, run_failed = 4 };

// Where a command writes: results go to out; problems, and progress if asked for, to err.
struct Console {
  std::ostream& out;
  std::ostream& err;
  bool show_progress = false;
};

// How every command gives its answer.
struct OutputArguments {
  std::optional<UnitSystem> units;  // overrules the file
  bool json = false;
  std::string out;  // folder; empty: none
};

// What every command on a site takes.
struct SiteArguments {
  std::string site;             // scenario file
  std::optional<double> years;  // these overrule the file
  std::optional<std::uint64_t> seed;
  std::optional<Mode> mode;
  OutputArguments output;
};

// When to pump, corrected by readings.
struct PumpArguments {
  SiteArguments site;
  std::vector<std::string> readings;  // "2026-05-01 sludge=14in scum=3in"
  std::vector<std::string> pumped;    // dates
};

// The same site under other values.
struct WhatIfArguments {
  SiteArguments site;
  std::vector<std::string> sets;  // "household.occupants=2..8"
  std::string cases;              // file of named cases; empty: none
};

// A page for the homeowner.
struct PageArguments {
  WhatIfArguments question;  // without sets and cases: those that the page chooses
  std::string html, pdf;     // files; empty: none
};

// How long a pit must rest; texts as the user wrote them.
struct RestArguments {
  SiteArguments site;
  std::string pit;
  std::string from;                 // date; empty: the start
  std::string service = "3 years";  // what the rest is to buy
  std::string longest = "2 years";  // longest rest that is looked at
  std::string flow_to;              // others, haul or a pit; empty: as the file says
};

// A percolation test: a file, or the readings of one hole.
struct PercArguments {
  std::string file;  // empty: readings
  PercOptions readings;
  OutputArguments output;
};

// How `size` is asked; texts as the user wrote them, what is left out has a default.
enum class Basis { household, code, both };
enum class LifeBy { expected, early };
enum class OldPits { leave, keep };
struct SizeArguments {
  SiteArguments site;  // years is not asked for: life says it
  std::optional<std::string> diameters, depths, pits;
  std::string life = "20 years";
  std::string service = "3 years";
  std::optional<OldPits> old_pits;
  Basis basis = Basis::both;
  LifeBy by = LifeBy::expected;
  std::optional<std::string> cost_per_pit, cost_per_volume;
};

int run_command(const SiteArguments& arguments, const Console& console);
int whatif_command(const WhatIfArguments& arguments, const Console& console);
int report_command(const PageArguments& arguments, const Console& console);
int rest_command(const RestArguments& arguments, const Console& console);
int size_command(const SizeArguments& arguments, const Console& console);
int pump_command(const PumpArguments& arguments, const Console& console);
int check_command(const std::string& site, const Console& console);
int schema_command(const Console& console);
int perc_command(const PercArguments& arguments, const Console& console);

}  // namespace restwell
