#include "sim/packed_site.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <type_traits>
#include <utility>

namespace restwell {
namespace {

// Writes or reads numbers, lowest byte first whatever the machine.
class Writer {
 public:
  template <typename Unsigned>
  void number(Unsigned& value) {
    for (std::size_t i = 0; i < sizeof value; ++i)
      bytes_ += static_cast<char>(static_cast<std::uint64_t>(value) >> (8 * i) & 0xff);
  }
  [[nodiscard]] std::size_t room() const { return static_cast<std::size_t>(-1); }
  [[nodiscard]] std::string bytes() && { return std::move(bytes_); }

 private:
  std::string bytes_;
};

class Reader {
 public:
  explicit Reader(std::string_view bytes) : bytes_(bytes) {}
  template <typename Unsigned>
  void number(Unsigned& value) {
    value = 0;
    for (std::size_t i = 0; i < sizeof value; ++i) {
      if (at_ == bytes_.size()) {
        short_ = true;
        return;
      }
      const auto byte = static_cast<std::uint64_t>(static_cast<unsigned char>(bytes_[at_++]));
      value = static_cast<Unsigned>(value | byte << (8 * i));
    }
  }
  [[nodiscard]] std::size_t room() const { return bytes_.size() - at_; }
  [[nodiscard]] bool whole() const { return !short_ && at_ == bytes_.size(); }

 private:
  std::string_view bytes_;
  std::size_t at_ = 0;
  bool short_ = false;
};

template <typename Io, typename... Values>
void pass(Io& io, Values&... values);

// The binding names every field of a struct: one added or taken away does not compile until it is
// added or taken away here.
#define RESTWELL_FIELDS(Struct, ...) \
  template <typename Io>             \
  void fields(Io& io, Struct& all) { \
    auto& [__VA_ARGS__] = all;       \
    pass(io, __VA_ARGS__);           \
  }
RESTWELL_FIELDS(MonthDay, month, day)
RESTWELL_FIELDS(FixtureUse, events, volume, cv, flow, drains, gap)
RESTWELL_FIELDS(Softener, volume, every)
RESTWELL_FIELDS(Stay, from, to, overnight, visitors)
RESTWELL_FIELDS(Absence, from, to)
RESTWELL_FIELDS(Season, from, to)
RESTWELL_FIELDS(ExtraWater, name, flow, from, to, dates)
RESTWELL_FIELDS(Laundry, loads, days)
RESTWELL_FIELDS(HouseholdChange, from, occupants, home, leak, loads, days, disposer, fixtures)
RESTWELL_FIELDS(HouseholdConfig, occupants, home, fixtures, laundry, leak, disposer, softener,
                guests, away, season, water, changes, bedrooms)
RESTWELL_FIELDS(HouseholdParameters, exponent, people, home, away, guest, visitor, cv, tss, bod,
                disposer_tss, disposer_bod)
RESTWELL_FIELDS(CircularOpening, diameter, coefficient)
RESTWELL_FIELDS(Tank, area, depth, compartments, narrow, inlet, outlet_baffle, mouth, outlet)
RESTWELL_FIELDS(TankStart, brand_new, pumped, sludge, scum)
RESTWELL_FIELDS(TankReading, date, sludge, scum)
RESTWELL_FIELDS(PumpOutPolicy, kind, every, criteria, dates)
RESTWELL_FIELDS(PumpOutLimits, solids, sludge, scum, retention)
RESTWELL_FIELDS(TankConfig, tank, start, readings, pump_out, limits)
RESTWELL_FIELDS(SettlingClass, share, velocity)
RESTWELL_FIELDS(TankParameters, settling, bypass, bypass_inlet, bypass_outlet, bod_settleable,
                scum_lost, biodegradable, digestion, theta, yield, biodegradable_density, fresh,
                old, compaction, activity, growth, activity_new, growth_new, scum, scum_digestion,
                scum_density, left, sludge_first, area_first, carry_sludge, carry_scum, carry_most,
                carry_bod, mean, swing, warmest)
RESTWELL_FIELDS(LipPlacement, invert, x_m, y_m, eccentricity, angle, growth, raised)
RESTWELL_FIELDS(BoxOutletConfig, name, pit, placement, opening, capped, valve)
RESTWELL_FIELDS(BoxLid, level, perimeter)
RESTWELL_FIELDS(BoxConfig, present, outlets, tilt_x, tilt_y, lid, over_lid)
RESTWELL_FIELDS(PlannedWork, date, outlet, capped, raised, angle, to, haul)
RESTWELL_FIELDS(Soil, kfs, alpha)
RESTWELL_FIELDS(SoilLayer, to_depth, soil, basis, perc)
RESTWELL_FIELDS(WaterTable::Reading, date, depth)
RESTWELL_FIELDS(WaterTable, mean, amplitude, high, readings)
RESTWELL_FIELDS(SoilConfig, layers, water_table)
RESTWELL_FIELDS(TrenchPlan, length, width, count)
RESTWELL_FIELDS(PitGeometry, radius, depth, cover, lining_inner, lining_outer, porosity, open_share,
                trench)
RESTWELL_FIELDS(PitStart, kind, service, level, drop, in_use, high_water)
RESTWELL_FIELDS(WhenFull, kind, pit)
RESTWELL_FIELDS(WhileResting, kind, pit)
RESTWELL_FIELDS(PitConfig, name, geometry, inlet_depth, below_box, start, when_full, while_resting,
                layers)
RESTWELL_FIELDS(BiomatParameters, beta, exponent, reference, residual, weight, decay, theta,
                submerged, start_residual, clean, lag)
RESTWELL_FIELDS(GroundwaterParameters, thickness, yield, time, memory, reach)
RESTWELL_FIELDS(SoilTemperature, mean, swing, warmest, diffusivity)
RESTWELL_FIELDS(Drainage, factor, longest)
RESTWELL_FIELDS(SoilLag, share, factor)
RESTWELL_FIELDS(NumericLimits, ring, pit_step, surge, intake_step)
RESTWELL_FIELDS(Scenario, name, question, start, years, units, mode, seed, household,
                household_parameters, tank, tank_parameters, box, pits, plan, soil, biomat,
                groundwater, temperature, drainage, lag, limits, separation, set)
RESTWELL_FIELDS(DaySpread, early, expected, late)
#undef RESTWELL_FIELDS

template <typename Io>
void fields(Io& io, LiveSite& site) {
  CaseOutcome& o = site.as_it_is;
  pass(io, site.scenario, o.flow_m3_per_day, o.bod_kg_per_day, o.week_m3, o.pump_interval_day,
       o.first_full, o.overflow);
}

// ---- values ----------------------------------------------------------------------------------

template <typename Io>
void value(Io& io, double& x) {
  auto bits = std::bit_cast<std::uint64_t>(x);
  io.number(bits);
  x = std::bit_cast<double>(bits);
}
// Whole numbers, truth values and enumerations.
template <typename Io, typename Whole>
requires std::is_integral_v<Whole> || std::is_enum_v<Whole>
void value(Io& io, Whole& x) {
  auto bits = static_cast<std::uint64_t>(x);
  if constexpr (sizeof(Whole) == 1) {
    auto byte = static_cast<std::uint8_t>(bits);
    io.number(byte);
    x = static_cast<Whole>(byte);
  } else {
    io.number(bits);
    x = static_cast<Whole>(bits);
  }
}
template <typename Io>
void value(Io& io, Date& date) {
  auto days = static_cast<std::int64_t>(date.time_since_epoch().count());
  value(io, days);
  date = Date(std::chrono::days(days));
}
// How many values follow; never more than there are bytes left, each taking one at least.
template <typename Io>
std::size_t length(Io& io, std::size_t size) {
  auto bits = static_cast<std::uint32_t>(size);
  io.number(bits);
  return std::min<std::size_t>(bits, io.room());
}
template <typename Io>
void value(Io& io, std::string& text) {
  text.resize(length(io, text.size()));
  for (char& c : text) value(io, c);
}
template <typename Io, typename T>
void value(Io& io, std::vector<T>& list) {
  list.resize(length(io, list.size()));
  for (T& item : list) pass(io, item);
}
template <typename Io, typename T>
void value(Io& io, std::optional<T>& maybe) {
  bool is = maybe.has_value();
  value(io, is);
  if (!is) {
    maybe.reset();
    return;
  }
  if (!maybe) maybe.emplace();
  pass(io, *maybe);
}
template <typename Io, typename T, std::size_t n>
void value(Io& io, std::array<T, n>& list) {
  for (T& item : list) pass(io, item);
}
template <typename Io, typename T, std::size_t n>
void value(Io& io, T (&list)[n]) {
  for (T& item : list) pass(io, item);
}
template <typename Io, typename Struct>
requires std::is_class_v<Struct>
void value(Io& io, Struct& x) { fields(io, x); }

template <typename Io, typename... Values>
void pass(Io& io, Values&... values) {
  (value(io, values), ...);
}

}  // namespace

std::string packed_site(LiveSite site) {
  Writer writer;
  pass(writer, site);
  return std::move(writer).bytes();
}

std::string packed_house_and_tank(Scenario scenario) {
  // All but what lies below the tank or is only said.
  const Scenario any;
  scenario.name = scenario.question = any.name;
  scenario.units = any.units;
  scenario.box = any.box;
  scenario.pits = any.pits;
  scenario.plan = any.plan;
  scenario.soil = any.soil;
  scenario.biomat = any.biomat;
  scenario.groundwater = any.groundwater;
  scenario.soil_temperature = any.soil_temperature;
  scenario.drainage = any.drainage;
  scenario.soil_lag = any.soil_lag;
  scenario.separation_m = any.separation_m;
  scenario.assumptions_set = any.assumptions_set;
  Writer writer;
  pass(writer, scenario);
  return std::move(writer).bytes();
}

std::optional<LiveSite> unpacked_site(std::string_view bytes) {
  Reader reader(bytes);
  LiveSite site;
  pass(reader, site);
  if (!reader.whole()) return std::nullopt;
  return site;
}

}  // namespace restwell
