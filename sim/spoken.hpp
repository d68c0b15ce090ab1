// Numbers as they are spoken, for whoever does not read "gal/day".
#pragma once

#include <string>

#include "sim/units.hpp"

namespace restwell {

// "160 gallons a day", "40.3 pounds a year": the digits are those of show.
[[nodiscard]] std::string spoken(double value_internal, Quantity q, UnitSystem units);
// A depth in the tank as it is read with a stick: to the inch or the centimeter.
[[nodiscard]] std::string stick_words(double m, UnitSystem units);

}  // namespace restwell
