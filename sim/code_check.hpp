// What published codes would ask of new pits: the flow they design for, and the wall they want.
#pragma once

#include <optional>

#include "models/code_tables.hpp"
#include "sim/new_pits.hpp"
#include "sim/scenario.hpp"

namespace restwell {

// The codes' household: so many people to a bedroom, each with a part of the design flow (common
// practice, no published source).
inline constexpr double code_people_per_bedroom = 2.0;
// Bedrooms of a file that gives none: one for every two people, the most there will be, and not
// fewer than this (assumed).
inline constexpr int fewest_bedrooms_assumed = 2;

struct CodeBasis {
  int bedrooms = 0;
  bool assumed = false;  // the file does not give them
  double people = 0.0;
  double flow_m3_per_day = 0.0;  // 150 gal/day per bedroom
};
[[nodiscard]] CodeBasis code_basis(const Scenario& scenario);

// The scenario with the codes' household: full every day of the year, all of the design flow
// through the fixtures, nothing else, solids by its people.
[[nodiscard]] Scenario under_code_flow(const Scenario& scenario, const CodeBasis& basis);

// Rate of a layer: as tested, else what a test in a 6-inch hole with 6 inches of water would show.
[[nodiscard]] double perc_rate_day_per_m(const SoilLayer& layer);

// The wall of pits of one size and what each code wants of it. Side wall only; layers slower than
// 30 min/inch do not count, the rate is weighted by thickness over the others (US EPA 1980).
// Nothing where the table gives nothing for the rate.
struct CodeAsk {
  std::optional<double> rate_day_per_m;  // nothing: no layer counts
  double wall_m2 = 0.0;                  // that counts, of all pits
  std::optional<double> phs_m2, ipsdc_m2, epa_m2;
  PitSuitability suitability = PitSuitability::too_slow;
  // Wall and rate both; the tables go on to 60 min/inch, but not for pits.
  [[nodiscard]] bool meets(const std::optional<double>& asked_m2) const;
  [[nodiscard]] bool meets_phs() const { return meets(phs_m2); }
};
[[nodiscard]] CodeAsk code_ask(const SoilConfig& soil, double inlet_depth_m, const PitSize& size,
                               const CodeBasis& basis);

// Clear ground asked for between pits: three diameters of the wider one (US PHS 526, from memory).
inline constexpr double clear_diameters = 3.0;

}  // namespace restwell
