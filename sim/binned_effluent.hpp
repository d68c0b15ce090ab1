// The tank's effluent of one day cut into bins of a few hours, as box and pits take it.
#pragma once

#include <cstddef>
#include <vector>

#include "sim/box_split.hpp"
#include "sim/upstream.hpp"

namespace restwell {

// With the free-fall volumes of the outlets.
struct BinnedEffluent {
  double bin_day = 0.0;
  struct Step {
    double dt_day, volume_m3;
  };
  std::vector<Step> steps;              // the tank's, cut at the bins' ends
  std::vector<std::size_t> first_step;  // of every bin, and the end
  const FreeSplit* split = nullptr;     // null without a box; outlives what is in bins
  std::vector<double> outlet_m3;        // bin after bin, one value per open outlet
  std::vector<double> lid_m3;           // bin after bin
  double total_m3 = 0.0;
  double hauled_m3 = 0.0;  // part of the total that never reaches the box
  double tss_kg_per_m3 = 0.0, bod_kg_per_m3 = 0.0;
  [[nodiscard]] std::size_t bins() const { return lid_m3.size(); }
};

// Gives the effluent the strength of what left the tank on a day; stays as it was if nothing left.
// What stands in the pits on the first day has the strength of a typical week's last day.
void set_strength(const TankDay& day, BinnedEffluent& effluent);

// Where the box lets what leaves the tank go.
struct BoxInUse {
  std::size_t outlets = 0;           // open ones
  const FreeSplit* split = nullptr;  // null without a box: everything goes to the one outlet
  bool hauled = false;               // nothing reaches the box
  [[nodiscard]] bool operator==(const BoxInUse&) const = default;
};

// Cuts a tank day into bins. Concentrations are the day's; on a day without outflow those before
// stay.
void bin_effluent(const TankDay& day, double bin_day, const BoxInUse& box, BinnedEffluent& binned);

// A bin's steps joined as the solution of box and pits together wants them; several_fall: two or
// more outlets fall freely.
void join_steps(const BinnedEffluent& effluent, std::size_t bin, bool several_fall,
                std::vector<BinnedEffluent::Step>& joined);

// A day's effluent in bins, and of what it was made.
struct BinnedDay {
  BinnedEffluent effluent;
  BoxInUse box;
  int course = 0;  // TankDay::course; 0: of none
};
// As bin_effluent, but what is there is kept if it was made of the same course and box, as in a
// steady household's weeks.
void renew_bins(const TankDay& day, double bin_day, const BoxInUse& box, BinnedDay& binned);

}  // namespace restwell
