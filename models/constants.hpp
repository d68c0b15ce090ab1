// Physical constants and the project's internal units: metre, cubic metre, kilogram, day.
#pragma once

namespace restwell {

inline constexpr double seconds_per_day = 86400.0;
inline constexpr double days_per_year = 365.25;
// Standard gravity, 9.80665 m/s2 (CGPM 1901), in m/day2.
inline constexpr double gravity_m_per_day2 = 9.80665 * seconds_per_day * seconds_per_day;

}  // namespace restwell
