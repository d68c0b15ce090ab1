// What each command does, free of how the command line is written.
#pragma once

#include <cstdint>
#include <iosfwd>
#include <optional>
#include <string>

#include "sim/scenario.hpp"

namespace restwell {

enum ExitCode : int { ok = 0, wrong_command_line = 2, scenario_invalid = 3, run_failed = 4 };

struct RunArguments {
  std::string site;                 // scenario file
  std::optional<UnitSystem> units;  // these overrule the file
  std::optional<double> years;
  std::optional<std::uint64_t> seed;
  std::optional<Mode> mode;
  bool json = false;
  std::string out;  // folder; empty: none
};

// Results go to out; problems, and progress if show_progress, to err.
int run_command(const RunArguments& arguments, bool show_progress, std::ostream& out,
                std::ostream& err);
int check_command(const std::string& site, std::ostream& out, std::ostream& err);
int schema_command(std::ostream& out);

}  // namespace restwell
