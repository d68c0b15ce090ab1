#include "sim/spoken.hpp"

#include <fmt/core.h>

#include "models/us_units.hpp"

namespace restwell {

std::string spoken(double value, Quantity q, UnitSystem units) {
  const Shown number = show(value, q, units);
  const bool one = number.number == "1";
  std::string unit = number.unit;
  if (unit == "gal/day") unit = one ? "gallon a day" : "gallons a day";
  if (unit == "L/day") unit = one ? "liter a day" : "liters a day";
  if (unit == "gal") unit = one ? "gallon" : "gallons";
  if (unit == "L") unit = one ? "liter" : "liters";
  if (unit == "lb/year") unit = one ? "pound a year" : "pounds a year";
  if (unit == "kg/year") unit = "kg a year";
  return number.number + " " + unit;
}

std::string stick_words(double m, UnitSystem units) {
  return units == UnitSystem::us ? fmt::format("{:.0f} in", m / us::inch_m)
                                 : fmt::format("{:.0f} cm", 100.0 * m);
}

}  // namespace restwell
