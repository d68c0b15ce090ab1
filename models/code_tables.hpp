// What published codes ask for: absorption area and loading by percolation rate, design flow.
//
// Three families of rules, each complete in itself:
//   wall area per bedroom by percolation rate     US PHS 526 (1967), IPSDC 603.1
//   loading of the absorption area by the rate    US EPA 1980 table 7-2, PHS q = 5/sqrt(t)      (1)
//   loading by conductivity                       Healy & Laak 1974, q = 5 K - 1.2/log10(K)     (2)
// t in min/inch, q in gal/day/ft2, K in ft/min. A wall area goes with the design flow of its own
// code: the area per bedroom times (1) gives 350 (1 min/inch) to 213 (60 min/inch) gal/day per
// bedroom, not 150. Never take the area from one rule and the loading from the other.
//
// Percolation rates are times per length of fall [day/m]: a large rate is a slow soil.
// Sources: models/sources.md.
#pragma once

#include <optional>
#include <span>

#include "models/us_units.hpp"

namespace restwell {

// Codes' design flow (common practice; 90-200 gal/day by code).
struct DesignFlow {
  double m3_per_bedroom_day = 150 * us::gallon_m3;
  double least_m3_per_bedroom_day = 90 * us::gallon_m3;
  double most_m3_per_bedroom_day = 200 * us::gallon_m3;
};

// ---- US Public Health Service, publication 526, 1967 ------------------------------------------
struct AreaForRate {
  double perc_day_per_m;
  double area_m2_per_bedroom;
};
// Wall area below the inlet; rows from 1 to 60 min/inch.
[[nodiscard]] std::span<const AreaForRate> phs_area_table();
// Between the rows linear in the rate (assumed: the table has no rule for it). Nothing below 1 or
// above 60 min/inch.
[[nodiscard]] std::optional<double> phs_area_m2_per_bedroom(double perc_day_per_m);
// Loading (1) [m/day]; nothing below 1 or above 60 min/inch.
[[nodiscard]] std::optional<double> phs_loading_m_per_day(double perc_day_per_m);

enum class PitSuitability { too_fast, suited, too_slow };
// Too fast below 1 min/inch (US EPA 1980: no treatment on the way to the water table), too slow
// above 30 min/inch (PHS 526: not for pits).
[[nodiscard]] PitSuitability pit_suitability(double perc_day_per_m);

// ---- International Private Sewage Disposal Code, 603.1 ----------------------------------------
// Steps up to, but without, 10, 30 and 45, and up to 60 min/inch: 165, 250, 300, 330 ft2. Nothing
// above.
[[nodiscard]] std::optional<double> ipsdc_area_m2_per_bedroom(double perc_day_per_m);

// ---- US EPA 1980, design manual ---------------------------------------------------------------
// Table 7-2: 1-5, 6-15, 16-30, 31-60, 61-120 min/inch. Rates between two ranges (5.5) take the
// slower one (assumed). Nothing below 1 (not suited) or above 120.
[[nodiscard]] std::optional<double> epa_loading_m_per_day(double perc_day_per_m);

// ---- Healy & Laak 1974 ------------------------------------------------------------------------
// Loading (2). Nothing from .1 ft/min on (assumed limit: (2) runs off to infinity at 1 ft/min and
// says nothing of such gravel), and nothing for K <= 0.
[[nodiscard]] std::optional<double> healy_laak_loading_m_per_day(double kfs_m_per_day);

// ---- geometry ---------------------------------------------------------------------------------
// Wall of a round pit, pi D d, D outside of the gravel (US EPA 1980, table 7-6); bottoms do not
// count.
[[nodiscard]] double pit_wall_area_m2(double diameter_m, double depth_m);
[[nodiscard]] double pit_depth_for_wall_m(double area_m2, double diameter_m);

}  // namespace restwell
