// Quantities with units: text to internal units at the file's edge, and back for output.
#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "sim/scenario.hpp"

namespace restwell {

enum class Dimension {
  length,          // m        ft in m cm mm; compound "7 ft 6 in"
  volume,          // m3       gal L m3 ft3
  flow,            // m3/day   gal/day gal/min L/day L/min L/s m3/day
  duration,        // day      seconds minutes hours days weeks months years
  percolation,     // day/m    min/inch min/cm min/mm
  conductivity,    // m/day    in/day in/hour ft/day cm/day cm/hour m/day mm/hour; also a falling
                   // level
  mass_per_day,    // kg/day   g/day lb/day
  temperature,     // degC     degF degC
  angle,           // rad      deg turn
  percent,         // fraction %
  inverse_length,  // 1/m      1/m 1/cm 1/ft
  clogging,        // day m2/kg
  rate,            // 1/day    1/day 1/year %/day
  concentration,   // kg/m3    mg/L g/m3 kg/m3
};

struct UnitError {
  std::string message;
};  // "needs a unit, e.g. 3 ft; accepted: ft, in, m, cm, mm"

// Parses "1000 gal", "12 min/inch", "7 ft 6 in" to the internal unit. Numbers by std::from_chars,
// finite only. A bare number, an unknown unit or a unit of another dimension gives UnitError, which
// lists the accepted units.
[[nodiscard]] std::variant<double, UnitError> parse_quantity(std::string_view text, Dimension d);

// One number for people: value in the user's unit with a sensible number of digits, and the unit.
enum class Quantity {
  level,
  depth,
  small_length,
  volume,
  flow,
  minute_flow,
  flux,
  conductivity,
  percolation,
  area,
  mass,
  mass_per_year,
  concentration,
  resistance
};
struct Shown {
  std::string number;
  std::string unit;
};
[[nodiscard]] Shown show(double value_internal, Quantity q, UnitSystem system);
[[nodiscard]] std::string show_text(double value_internal, Quantity q, UnitSystem system);
// Factor and unit label for data columns: shown = internal * factor.
struct ColumnUnit {
  double factor;
  std::string label;
};
[[nodiscard]] ColumnUnit column_unit(Quantity q, UnitSystem system);

}  // namespace restwell
