// US customary units in internal ones, for the models whose published tables are written in them.
#pragma once

namespace restwell::us {

// Exact (NIST Special Publication 811, appendix B): 1 in = 25.4 mm, 1 US gal = 231 in3.
inline constexpr double inch_m = 0.0254;
inline constexpr double foot_m = 12 * inch_m;
inline constexpr double square_foot_m2 = foot_m * foot_m;
inline constexpr double cubic_foot_m3 = foot_m * square_foot_m2;
inline constexpr double cubic_yard_m3 = 27 * cubic_foot_m3;
inline constexpr double gallon_m3 = 231 * inch_m * inch_m * inch_m;
inline constexpr double minute_day = 1.0 / 1440.0;
inline constexpr double minute_per_inch_day_per_m = minute_day / inch_m;  // percolation rate
inline constexpr double gallon_per_day_ft2_m_per_day = gallon_m3 / square_foot_m2;
inline constexpr double foot_per_minute_m_per_day = foot_m / minute_day;

}  // namespace restwell::us
