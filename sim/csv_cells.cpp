#include "sim/csv_cells.hpp"

#include "models/constants.hpp"

namespace restwell {

std::string column_name(const std::string& name, Quantity q, UnitSystem system) {
  std::string unit;
  for (const char c : column_unit(q, system).label) {
    if (c == '/') {
      unit += "_per_";
    } else {
      unit += c == ' ' ? '_' : c;
    }
  }
  return name + "_" + unit;
}

plots::Cell CellsIn::operator()(double internal, Quantity q) const {
  return six_digits(internal * column_unit(q, system).factor);
}

plots::Cell years_or_empty(int day) {
  if (day == never) return std::string();
  return six_digits(day / days_per_year);
}

}  // namespace restwell
