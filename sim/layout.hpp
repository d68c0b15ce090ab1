// From a scenario to the models' parameters: lips, pits cut into rings, who leads where.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "models/box.hpp"
#include "models/perched.hpp"
#include "models/pit.hpp"
#include "sim/scenario.hpp"

namespace restwell {

// Where water goes that a full pit does not take.
enum class Destination { surface, house, next_pit };

struct PitLayout {
  Pit pit;
  std::vector<SoilBoundary> boundaries;  // from the ground down
  double bottom_below_ground_m = 0.0;    // below ground
  double water_table_m = far_below_m;    // its mean, over the bottom; negative: below it
  double brim_m = 0.0;                   // level over the bottom at which water leaves the pit
  Destination over_brim = Destination::surface;
  std::size_t next_pit = 0;          // for over_brim == next_pit
  bool backs_up_to_box = false;      // its water stands behind its outlets in the box
  double bottom_over_datum_m = 0.0;  // for backs_up_to_box
};

struct SiteLayout {
  bool box_present = true;
  std::vector<BoxOutlet> outlets;          // open outlets only
  std::vector<std::size_t> outlet_config;  // index into the scenario's outlets
  std::vector<std::size_t> outlet_pit;     // index into pits
  BoxLid lid;
  std::vector<PitLayout> pits;          // in the scenario's order
  std::vector<std::size_t> flow_order;  // every pit after the pits that spill into it
};

// The water table over the pit's bottom on a date, without a mound.
[[nodiscard]] double water_table_m(const std::optional<WaterTable>& table, const PitLayout& pit,
                                   Date date);

// What the pit takes in the long run [m3/day], at the mean water table: with its water held at
// level_m, and full to the inlet.
[[nodiscard]] double long_intake_m3_per_day(const PitLayout& pit,
                                            std::span<const double> resistance_day, double level_m);
[[nodiscard]] double intake_when_full_m3_per_day(const PitLayout& pit,
                                                 std::span<const double> resistance_day);

// As found, before any planned work. Precondition: a scenario that the loader accepted.
[[nodiscard]] SiteLayout lay_out(const Scenario& scenario);

// With the box changed; a pit stays at its height, whatever pipe is led to it.
[[nodiscard]] SiteLayout lay_out_with(const Scenario& scenario, const BoxConfig& box);

// From one planned work to the next.
struct Phase {
  int first_day = 0;  // of the run
  SiteLayout site;
  bool hauled = false;  // what leaves the tank is hauled away
};
// At least one, the first from day 0; work before or on the start is done on day 0.
[[nodiscard]] std::vector<Phase> phases(const Scenario& scenario);

// Whether the pit's water can stand behind an outlet of the box in any of them: one that is capped
// as found may be opened later.
[[nodiscard]] bool ever_backs_up_to_box(const std::vector<Phase>& phases, std::size_t pit);

// The box after the planned work of all dates up to and including `date`.
struct BoxOnDate {
  BoxConfig box;
  bool hauled = false;
};
[[nodiscard]] BoxOnDate box_on(const Scenario& scenario, Date date);

}  // namespace restwell
