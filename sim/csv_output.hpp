// The CSV files of a run. Columns carry their unit in the name; numbers have six digits.
#pragma once

#include <filesystem>

#include "sim/run.hpp"

namespace restwell {

// tank.csv, pits.csv, pit_months.csv, events.csv, yearly_balance.csv, outlet_shares.csv,
// typical_day.csv, clogging.csv
void write_csv_files(const RunResult& r, const std::filesystem::path& folder);

}  // namespace restwell
