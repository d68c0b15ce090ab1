// The CSV files of a run. Columns carry their unit in the name; numbers have six digits.
#pragma once

#include <filesystem>

#include "sim/run.hpp"
#include "sim/units.hpp"

namespace restwell {

// "level_ft", "water_in_gal": a column's name with its unit.
[[nodiscard]] std::string column_name(const std::string& name, Quantity q, UnitSystem system);

// tank.csv, pits.csv, pit_months.csv, events.csv, yearly_balance.csv, outlet_shares.csv,
// typical_day.csv, clogging.csv
void write_csv_files(const RunResult& r, const std::filesystem::path& folder);

}  // namespace restwell
