// The command line. The only place that knows CLI11.
#pragma once

namespace restwell {

// Runs the program; returns its exit code (see commands.hpp).
int command_line(int argc, char** argv);

}  // namespace restwell
