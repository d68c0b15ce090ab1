// The water table of a scenario through time, as depth below ground.
#pragma once

#include <string>

#include "sim/scenario.hpp"

namespace restwell {

// Season, or readings with straight lines between them and the first and last going on.
[[nodiscard]] double table_depth_m(const WaterTable& table, Date date);

// False if it stands still.
[[nodiscard]] bool is_changing(const WaterTable& table);

// Least depth it ever has; negative: above ground.
[[nodiscard]] double shallowest_table_m(const WaterTable& table);

// Mean depth: of the season, of the span of the readings.
[[nodiscard]] double mean_table_m(const WaterTable& table);

// "8 ft below ground", "6 ft to 10 ft below ground through the year, highest on 03-20".
[[nodiscard]] std::string table_words(const WaterTable& table, UnitSystem units);

}  // namespace restwell
