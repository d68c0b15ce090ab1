// Soil around a dry well: conductivity, capillarity, shape factor, percolation test, textures.
//
// Gardner soil: K = Kfs exp(alpha p) for pressure head p < 0, Kfs for p >= 0.
// Constant-head well of radius a, pond H (Reynolds & Elrick):
//     Q = Kfs (2 pi H^2/C + pi a^2 + 2 pi H/(alpha C))                                      (1)
// C(H/a): Zhang et al. 1998. Percolation test (Reynolds, Galloway & Radcliffe 2015; Elrick &
// Reynolds 1986): Kfs = C a^2 / (PT (2 H^2 + C a^2 + 2 H/alpha))                            (2)
// Sources: models/sources.md.
#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace restwell {

struct Soil {
  double kfs_m_per_day = 0.25;  // field-saturated conductivity, > 0
  double alpha_per_m = 12.0;    // Gardner alpha: 36 coarse sand and gravel, 12 most structured
                                // soils, 4 unstructured fine, 1 compacted clay (Elrick et al. 1989)
  [[nodiscard]] bool operator==(const Soil&) const = default;
};

// C of (1) for x = H/a. Zhang's three curves hold for alpha 1, 4 and 12 or more; between them C is
// interpolated in log(alpha). Below x = .5 the value at .5 (assumed floor).
[[nodiscard]] double shape_factor(double depth_over_radius, double alpha_per_m);

// Q of (1) [m3/day].
[[nodiscard]] double borehole_intake_m3_per_day(const Soil& soil, double radius_m, double pond_m);

struct PercolationTest {
  double day_per_m = 0.0;         // time per length of fall; 10 min/inch = .2734 day/m
  double hole_radius_m = 0.0762;  // 3 in
  double mean_depth_m = 0.1524;   // mean depth of water during the reading: 6 in
};
// Kfs of (2) [m/day].
[[nodiscard]] double kfs_from_percolation_m_per_day(const PercolationTest& test,
                                                    double alpha_per_m);

// Inverse of (2): the rate [day/m] the test would show in a soil of kfs_m_per_day.
[[nodiscard]] double percolation_from_kfs_day_per_m(double kfs_m_per_day,
                                                    const PercolationTest& hole,
                                                    double alpha_per_m);

// What the bottom of a pit meets that stands thickness_m above the next layer: the two in series,
// the upper with the weight w = thickness/(thickness + reach_m); K harmonic, alpha geometric mean.
// reach_m: bottom_reach times the radius, or half the width of a trench.
[[nodiscard]] Soil soil_below(const Soil& upper, double thickness_m, const Soil& lower,
                              double reach_m);
inline constexpr double bottom_reach = 0.2;  // fitted to an independent solution (tests/reference)

// USDA textures: mean van Genuchten parameters after Carsel & Parrish 1988, and the Gardner alpha
// class that Elrick et al. 1989 would give the texture (assumed assignment).
struct Texture {
  std::string_view name;
  double theta_r, theta_s, vg_alpha_per_m, vg_n, ks_m_per_day;
  double gardner_alpha_per_m;
};
[[nodiscard]] std::span<const Texture> textures();
[[nodiscard]] const Texture* find_texture(std::string_view name);

// Classes of structure and their Gardner alpha (Elrick et al. 1989).
struct StructureClass {
  std::string_view name;
  std::string_view soils;
  double alpha_per_m;
};
[[nodiscard]] std::span<const StructureClass> structure_classes();  // coarse to fine
[[nodiscard]] const StructureClass* find_structure(std::string_view name);

// Entrapped air makes field-saturated conductivity about half of the saturated value (Reynolds &
// Elrick; quoted widely).
inline constexpr double field_saturated_share = 0.5;

}  // namespace restwell
