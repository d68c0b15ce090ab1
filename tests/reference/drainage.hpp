// How the soil behind a pit's wall drains once the pit's water is gone.
#pragma once

#include <vector>

#include "tests/reference/pit.hpp"

namespace restwell::reference {

// A piece of wall between two heights over the bottom, or all of the bottom.
struct WatchedWall {
  double low_m = 0, high_m = 0;
  bool bottom = false;
};

struct DrainageQuestion {
  PitProblem pit;
  std::vector<WatchedWall> places;
  double behind_m = 0.05;     // depth of soil looked at, from the wall
  double air_share = 0.10;    // air-filled share of the soil's volume that lets air in
  double falling_day = 0.02;  // the pond falls to nothing in this time
  double end_day = 400;
};

// From the steady state under pit.pond_m: when [day] every place reaches air_share. 0: it has it
// under water already; infinite: not by end_day.
[[nodiscard]] std::vector<double> drainage_days(const DrainageQuestion& question);

}  // namespace restwell::reference
