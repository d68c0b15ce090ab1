// Box and pits, day by day, under one set of clogging parameters.
//
// Within a day the clogging is held and the pits' water follows from their intake curves
// (intake_curve.hpp) in bins of a few hours with the bin's mean inflow and what the soil carries at
// its start. As long as no pit's water
// reaches its outlet's lip the box's shares are those of free fall. Otherwise box and pits are
// solved together effluent step by effluent step, with each pit's intake linear in its level over
// the bin, and the volumes found are then what the pits receive over the bin. The water around
// is held as long as a curve serves, a moving water table over a day. On top of the table stands
// the mound that the pit's own mean intake raises, felt only up to the pit's own water: no pit is
// filled by its mound, and neighbours' mounds are left out. A copy goes on exactly as the original
// would.
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "models/biomat.hpp"
#include "models/soil_temperature.hpp"
#include "sim/binned_effluent.hpp"
#include "sim/intake_curve.hpp"
#include "sim/layout.hpp"
#include "sim/mound_curve.hpp"

namespace restwell {

struct PitState {
  double water_m3 = 0.0;
  double soil_flow_m3_per_day = 0.0;         // what the soil carries on (models/soil_lag.hpp)
  double mean_intake_m3_per_day = 0.0;       // weighted over the past season: feeds the mound
  std::vector<double> mean_onto_m3_per_day;  // the same, what came down on every boundary
  std::vector<BiomatState> biomat;           // rings from the bottom up, then the bottom
  [[nodiscard]] std::vector<double> resistances_day() const;  // in the same order
};
// Empty, with a wall that is not clogged, in dry soil.
[[nodiscard]] PitState clean_pit(const Pit& pit, const BiomatParameters& biomat);

// An overflow of less than this a day is none: 0.1 L (assumed).
inline constexpr double noticed_m3 = 1e-4;

struct PitDay {
  double inflow_m3 = 0.0;          // from box and pits above; negative: it fed the box
  double intake_m3 = 0.0;          // into the soil
  double ground_m3 = 0.0;          // groundwater that came in
  double overflow_m3 = 0.0;        // left over the brim
  double level_m = 0.0;            // over the bottom, at the day's end
  double highest_m = 0.0;          // over the day
  double table_m = far_below_m;    // water table over the bottom, mound included
  double perched_m = far_below_m;  // highest water held up by a tight layer, over the bottom,
                                   // no higher than the pit's own
  double tight_m = far_below_m;    // that layer's top
  bool full = false;               // water at the inlet at some time of the day
  bool reaches_box = false;        // its water stood over its lip in the box
};

struct DownstreamDay {
  std::vector<PitDay> pits;
  std::vector<double> outlet_m3;  // net flow of every open outlet
  double over_lid_m3 = 0.0;
};

// Where the water went since the start, m3.
struct DownstreamLedger {
  double in = 0.0, ground = 0.0, soil = 0.0, surface = 0.0, house = 0.0, hauled = 0.0,
         held_start = 0.0;
};

class Downstream {
 public:
  Downstream(const Scenario& scenario, const SiteLayout& site, const BiomatParameters& biomat,
             std::vector<PitState> start);

  // From now on box and pits are laid out like this (same pits, maybe other outlets).
  void lay_out_as(const SiteLayout& site);
  // One day of the tank's effluent.
  const DownstreamDay& day(const BinnedEffluent& effluent, Date date);

  [[nodiscard]] const std::vector<PitState>& pits() const { return pits_; }
  [[nodiscard]] const DownstreamLedger& ledger() const { return ledger_; }
  [[nodiscard]] double water_held_m3() const;

 private:
  void couple_box(const BinnedEffluent& effluent, std::size_t bin);
  void advance_pit(std::size_t index, double inflow_m3_per_day, double dt_day);
  void find_ground(std::size_t index, Date date);
  void remember(std::size_t index);
  void renew_curve(std::size_t index);
  void find_decay(Date date);
  void clog(const BinnedEffluent& effluent, Date date);
  [[nodiscard]] bool box_feels_pits(const BinnedEffluent& effluent, std::size_t bin) const;
  [[nodiscard]] double level_m(std::size_t index) const;

  const SiteLayout* site_;
  BiomatParameters biomat_;
  LeavesTo over_lid_;
  std::optional<WaterTable> table_;
  GroundwaterParameters groundwater_;
  std::vector<GroundOfDay> ground_;  // by pit
  std::vector<MoundCurve> mounds_;
  std::vector<IntakeCurve> curves_;
  DecayRate decay_;
  int most_days_a_curve_;                // serves
  std::vector<int> days_left_of_curve_;  // by pit
  std::vector<PitState> pits_;
  DownstreamLedger ledger_;
  DownstreamDay day_;
  std::vector<double> storage_area_m2_;
  std::vector<BinnedEffluent::Step> joined_;
  std::vector<double> bin_inflow_m3_;   // of the pits, this bin
  std::vector<double> overflow_to_m3_;  // spilled into a pit by others, this bin
  std::vector<std::vector<double>> resistance_day_, intake_m3_;  // by pit, by ring
  std::vector<std::vector<double>> change_per_day_;              // of the resistance, last day's
  bool clogged_ = false;                                         // that is known
  std::vector<std::vector<double>> part_area_m2_, middle_m_;
  std::vector<std::vector<double>> coefficient_;    // clogging coefficient
  std::vector<std::vector<SeasonAtDepth>> season_;  // the soil's temperature
  std::optional<Date> decay_week_;
  std::vector<std::vector<double>> decay_per_day_;  // in that week
  std::vector<std::vector<double>> drainage_day_;   // until air enters
};

}  // namespace restwell
