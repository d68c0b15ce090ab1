// What the CSV files of all commands share: columns carry their unit in the name, numbers have six
// digits.
#pragma once

#include <string>

#include "plots/csv.hpp"
#include "sim/run.hpp"
#include "sim/units.hpp"

namespace restwell {

// "level_ft", "water_in_gal": a column's name with its unit.
[[nodiscard]] std::string column_name(const std::string& name, Quantity q, UnitSystem system);

// Internal values as cells in the user's unit, and their columns' names.
struct CellsIn {
  UnitSystem system;
  [[nodiscard]] plots::Cell operator()(double internal, Quantity q) const;
  [[nodiscard]] std::string name(const std::string& what, Quantity q) const {
    return column_name(what, q, system);
  }
};
// Years to a day index; empty for never.
[[nodiscard]] plots::Cell years_or_empty(int day);

}  // namespace restwell
