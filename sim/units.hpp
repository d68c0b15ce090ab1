// Quantities with units: text to internal units at the file's edge, and back for output.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <variant>

#include "sim/scenario.hpp"

namespace restwell {

enum class Dimension {
  length,        // m        ft in m cm mm; compound "7 ft 6 in"
  volume,        // m3       gal L m3 ft3
  flow,          // m3/day   gal/day gal/min L/day L/min L/s m3/day
  duration,      // day      seconds minutes hours days weeks months years
  percolation,   // day/m    min/inch min/cm min/mm
  conductivity,  // m/day    in/day in/hour ft/day cm/day cm/hour m/day m/hour mm/hour; also
                 // a falling level and a settling velocity
  mass_per_day,  // kg/day   g/day kg/day lb/day
  temperature,   // degC     degC degF
  temperature_difference,  // degC     degC degF, no offset
  angle,                   // rad      deg turn
  percent,                 // fraction %
  inverse_length,          // 1/m      1/m 1/cm 1/ft
  clogging,                // day m2/kg
  diffusivity,             // m2/day   mm2/s cm2/s m2/day ft2/day
  rate,                    // 1/day    1/day 1/year %/day
  concentration,           // kg/m3    mg/L g/m3 kg/m3
};
[[nodiscard]] std::span<const Dimension> all_dimensions();

struct UnitError {
  std::string message;
};  // "needs a unit, e.g. 3 ft; accepted: ft, in, m, cm, mm"

// Parses "1000 gal", "12 min/inch", "7 ft 6 in", "2 1/2 in" to the internal unit. Numbers by
// std::from_chars, finite only. A bare number, an unknown unit or a unit of another dimension gives
// UnitError, which lists the accepted units.
[[nodiscard]] std::variant<double, UnitError> parse_quantity(std::string_view text, Dimension d);

// "length", "ft, in, m, cm, mm", "3 ft": for messages and the schema.
[[nodiscard]] std::string dimension_name(Dimension d);
[[nodiscard]] std::string accepted_units(Dimension d);
[[nodiscard]] std::string quantity_example(Dimension d);
// Regular expression (ECMA-262) of the texts parse_quantity accepts, but for overflow.
[[nodiscard]] std::string quantity_pattern(Dimension d);
// The value in a unit, "7.5 ft", with so many digits at most; the unit must be one of the
// dimension's (std::invalid_argument).
[[nodiscard]] std::string quantity_in_unit(double value_internal, Dimension d,
                                           std::string_view unit, int digits = 6);
// The same in the (first) unit of another quantity of that dimension, as its writer spelled it.
[[nodiscard]] std::string quantity_in_unit_of(double value_internal, Dimension d,
                                              std::string_view other_text);

// One number for people: value in the user's unit with a sensible number of digits, and the unit.
enum class Quantity {
  level,          // m: ft with one decimal, m with two
  depth,          // the same
  small_length,   // m: in, mm
  volume,         // m3: gal, L
  flow,           // m3/day: gal/day, L/day
  minute_flow,    // m3/day: gal/min, L/min
  flux,           // m/day: gal/day/ft2, L/day/m2
  conductivity,   // m/day: in/day, cm/day
  percolation,    // day/m: min/inch, min/cm
  area,           // m2: ft2, m2
  mass,           // kg: lb, kg
  mass_per_year,  // kg/day: lb/year, kg/year
  concentration,  // kg/m3: mg/L
  resistance      // day
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

// Rounded to six significant digits, for data files.
[[nodiscard]] double six_digits(double x);

}  // namespace restwell
