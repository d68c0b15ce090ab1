// One scenario file as plain data, in internal units, with the defaults of keys left out.
#pragma once

#include <algorithm>
#include <chrono>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "models/biomat.hpp"
#include "models/box.hpp"
#include "models/drainage.hpp"
#include "models/groundwater.hpp"
#include "models/household.hpp"
#include "models/pit.hpp"
#include "models/soil_lag.hpp"
#include "models/soil_temperature.hpp"
#include "models/tank.hpp"
#include "sim/calendar.hpp"

namespace restwell {

enum class UnitSystem { us, metric };
enum class Mode { steady, random };

// What one box and one site can have; the loader refuses more.
inline constexpr std::size_t max_outlets = 8, max_pits = 8;  // drain fields count as pits

// ---- household -------------------------------------------------------------------------------
struct Softener {
  double volume_m3 = 0.19;
  double every_day = 16.0;
};
struct Stay {
  Date from, to;
  double overnight = 0.0, day_visitors = 0.0;
};  // to: last day
struct Absence {
  Date from, to;
};  // to: last day
struct MonthDay {
  unsigned month = 1, day = 1;
  [[nodiscard]] bool operator==(const MonthDay&) const = default;
};
struct Season {
  MonthDay from, to;
};  // occupied only in this part of each year
// Water that does not belong there: a constant flow, for good, between dates, or on given dates.
struct ExtraWater {
  std::string name;
  double flow_m3_per_day = 0.0;
  std::optional<Date> from, to;
  std::vector<Date> dates;  // if any: only on these days
};
struct Laundry {
  std::optional<double> loads_per_week;  // of the whole household; else by the fixture set
  std::vector<unsigned> days;            // 0 = Monday ... 6 = Sunday; empty: any day
};
// What can change on a date. Every field left out stays as it was.
struct HouseholdChange {
  Date from;
  std::optional<double> occupants, home_by_day, leak_m3_per_day, laundry_loads_per_week;
  std::optional<std::vector<unsigned>> laundry_days;
  std::optional<bool> disposer;
  std::optional<FixtureSet> fixtures;
};
struct HouseholdConfig {
  double occupants = 4;
  std::optional<double> home_by_day;
  FixtureSet fixtures = fixture_set(FixtureSetName::typical);
  Laundry laundry;
  double leak_m3_per_day = 0.0162773;  // 4.3 gal: the median home
  bool disposer = false;
  std::optional<Softener> softener;
  std::vector<Stay> guests;
  std::vector<Absence> away;
  std::optional<Season> season;
  std::vector<ExtraWater> other_water;
  std::vector<HouseholdChange> changes;  // by date
  int bedrooms = 0;                      // 0: not stated
};

// ---- tank ------------------------------------------------------------------------------------
enum class Criterion { solids, sludge_clearance, scum_clearance, retention };
inline constexpr Criterion all_criteria[] = {Criterion::solids, Criterion::sludge_clearance,
                                             Criterion::scum_clearance, Criterion::retention};
struct TankStart {  // taken as pumped on the start date if nothing is given
  bool brand_new = false;
  std::optional<Date> pumped;
  std::optional<double> sludge_m, scum_m;  // measured on the start date (both or none)
};
// Thickness measured through the inlet compartment's lid.
struct TankReading {
  Date date{};
  double sludge_m = 0.0, scum_m = 0.0;
  [[nodiscard]] double total_m() const { return sludge_m + scum_m; }
};
struct PumpOutPolicy {
  enum class Kind { never, every, when } kind = Kind::never;
  double every_day = 0.0;
  std::vector<Criterion> criteria;  // kind when: any of these
  std::vector<Date> dates;          // besides
};
struct TankConfig {
  Tank tank;
  TankStart start;
  std::vector<TankReading> readings;  // by date; what the household's solids are fitted to
  PumpOutPolicy pump_out;
  PumpOutLimits limits;
};

// ---- box -------------------------------------------------------------------------------------
struct BoxOutletConfig {
  std::string name;
  std::string pit;  // where it leads; may be empty if capped
  LipPlacement placement;
  CircularOpening opening;
  bool capped = false;
  bool check_valve = false;
};
// Work done on a date, for good or until undone. What is left out stays as it was.
struct PlannedWork {
  Date date{};
  std::size_t outlet = 0;  // index into the box's outlets; for all but haul
  std::optional<bool> capped;
  std::optional<double> raised_m;  // as the outlet's own raised_m, in all
  std::optional<double> leveler_angle_rad;
  std::optional<std::string> to;  // another pit
  std::optional<bool> haul;       // all that leaves the tank is hauled away
};
enum class LeavesTo { surface, house };
struct BoxConfig {
  bool present = true;  // false: one pipe from tank to pit, outlets has one entry
  std::vector<BoxOutletConfig> outlets;
  double tilt_x_rad = 0.0, tilt_y_rad = 0.0;
  BoxLid lid;  // level over the datum
  LeavesTo over_lid = LeavesTo::surface;
};

// ---- soil and pits ---------------------------------------------------------------------------
struct SoilLayer {
  double to_depth_m = 1e9;  // below ground; the last layer has no end
  Soil soil;
  std::string basis;                     // "10 min/inch in a 6-inch hole", for the assumptions list
  std::optional<double> perc_day_per_m;  // as tested, if the file gives that
};
// Depth below ground through time; see sim/water_table.hpp.
struct WaterTable {
  struct Reading {
    Date date{};
    double depth_m = 0.0;
    [[nodiscard]] bool operator==(const Reading&) const = default;
  };
  double mean_m = 0.0;
  double amplitude_m = 0.0;       // 0: constant
  MonthDay high = {3, 20};        // March-April at mid latitudes; assumed
  std::vector<Reading> readings;  // by date; if any, the rest does not count
  [[nodiscard]] bool operator==(const WaterTable&) const = default;
};
struct SoilConfig {
  std::vector<SoilLayer> layers;  // at least one, from the top
  std::optional<WaterTable> water_table;
};

struct PitStart {
  enum class Kind { brand_new, in_service, measured } kind = Kind::brand_new;
  double service_day = 0.0;
  double level_m = 0.0;                // measured water depth over the bottom
  double drop_m_per_day = 0.0;         // observed fall
  bool observed_in_use = false;        // false: no water came in while it was watched
  std::optional<double> high_water_m;  // stain over the bottom: clogged up to here
};
struct WhenFull {  // what a full pit does
  enum class Kind { box, pit, surface, house } kind = Kind::box;
  std::string pit;  // kind pit: the next in series
};
// Where its water goes while a pit rests.
struct WhileResting {
  enum class Kind { others, haul, pit } kind = Kind::others;
  std::string pit;
};
// A dry well, or a drain field: then geometry.trench is set.
struct PitConfig {
  std::string name;
  PitGeometry geometry;
  double inlet_depth_m = 0.9144;      // below ground
  double inlet_below_box_m = 0.0254;  // fall of the pipe from its outlet in the box
  PitStart start;
  WhenFull when_full;
  std::optional<WhileResting> while_resting;
  std::optional<std::vector<SoilLayer>> layers;  // own soil; else the site's
};

// ---- the whole -------------------------------------------------------------------------------
struct NumericLimits {
  double ring_height_m = 0.1016;     // at most; 4 in
  double pit_step_day = 1.0 / 12.0;  // inflow is averaged over this
  double surge_head_change = 0.50;   // relative change of the surge head in one step
  double intake_step_day = 7.0;      // a curve of intake serves so many whole days
};
struct Scenario {
  std::string name, question;
  Date start{};
  double years = 20;
  UnitSystem units = UnitSystem::us;
  Mode mode = Mode::steady;
  unsigned long long seed = 1;
  HouseholdConfig household;
  HouseholdParameters household_parameters;
  TankConfig tank;
  TankParameters tank_parameters;
  BoxConfig box;
  std::vector<PitConfig> pits;    // those of the file's pits, then those of its trenches
  std::vector<PlannedWork> plan;  // by date
  SoilConfig soil;
  BiomatParameters biomat;
  GroundwaterParameters groundwater;
  SoilTemperature soil_temperature;
  Drainage drainage;
  SoilLag soil_lag;
  NumericLimits limits;
  double separation_m = 1.2192;  // asked for above the water table: 4 ft, common practice
  std::vector<std::string> assumptions_set;  // "assumptions.beta = 4 day m2/kg", as the user wrote
};

[[nodiscard]] inline bool has_drain_field(const Scenario& s) {
  return std::ranges::any_of(s.pits, [](const PitConfig& p) { return bool(p.geometry.trench); });
}

}  // namespace restwell
