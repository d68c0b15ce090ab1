// Pit geometry and long-term flux against code tables and published bands.
#include "models/pit.hpp"

#include <fmt/format.h>

#include <cmath>

#include "models/biomat.hpp"
#include "models/soil.hpp"
#include "models/soil_temperature.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;

namespace {
constexpr double m_of_foot = 0.3048;
constexpr double m_per_day_of_gpd_per_ft2 = 0.0407458;
constexpr double day_per_m_of_min_per_inch = 1.0 / 1440.0 / 0.0254;

double kfs_at(double min_per_inch) {
  return kfs_from_percolation_m_per_day({.day_per_m = min_per_inch * day_per_m_of_min_per_inch},
                                        12.0);
}
// Flux under 0.6 m of head at the mean soil temperature [m/day].
double flux_at(const BiomatParameters& p, double min_per_inch, double kg_per_m3) {
  return equilibrium_flux_m_per_day(p, clogging_coefficient(p, kfs_at(min_per_inch)), 0.6,
                                    kg_per_m3, SoilTemperature{}.mean_c);
}
}  // namespace

TEST_CASE("side wall area") {
  struct Row {
    double diameter_ft, depth_ft, area_ft2;
  };
  for (const auto& [diameter, depth, area] : {Row{5, 15, 236}, Row{10, 10, 314}}) {
    PitGeometry g;
    g.radius_m = 0.5 * diameter * m_of_foot;
    g.depth_m = depth * m_of_foot;
    check_row(fmt::format("{} ft x {} ft", diameter, depth),
              wall_area_m2(g) / (m_of_foot * m_of_foot), area, 0.0,
              "US EPA 1980, EPA-625/1-80-012, table 7-6, whole ft2", 0.5);
  }
}

TEST_CASE("long-term flux goes as the square root of conductivity") {
  const BiomatParameters p;
  for (const double t : {1.0, 5.0, 10.0, 15.0}) {
    check_row(fmt::format("{} against {} min/inch", t, 4 * t),
              flux_at(p, t, 0.21) / flux_at(p, 4 * t, 0.21), 2.0, 1e-12,
              "form 5/sqrt(t), US Public Health Service 1967, publication 526 (from memory)");
  }
  check_row("210 against 60 mg/L", flux_at(p, 10, 0.06) / flux_at(p, 10, 0.21), std::sqrt(3.5),
            1e-12, "derived: q* goes as C^-1/2");
  BiomatParameters even = p;
  even.soil_exponent = 0.0;
  check_row("m = 0: soil does not count", flux_at(even, 5, 0.21) / flux_at(even, 60, 0.21), 1.0,
            1e-12, "derived: beta is the same in every soil");
}

TEST_CASE("long-term flux of the defaults") {
  const BiomatParameters p;
  check_row("10 min/inch, 6-inch hole, alpha 12: K_10", kfs_at(10), p.reference_kfs_m_per_day,
            0.005, "derived: Reynolds, Galloway & Radcliffe 2015");
  const double gpd_per_ft2 = flux_at(p, 10, 0.15 + 0.06) / m_per_day_of_gpd_per_ft2;
  INFO("gpd/ft2: " << gpd_per_ft2);
  // Healy & Laak 1974, J. Environ. Eng. Div. ASCE 100(EE5): .3 (clay loam) to .8 (sand) gpd/ft2
  CHECK(gpd_per_ft2 > 0.3);
  CHECK(gpd_per_ft2 < 0.8);
  // No evidence of its own: the default f_sub was chosen for this rate, to two digits.
  check_row("10 min/inch, 0.6 m of head", gpd_per_ft2, 0.8, 0.02,
            "US EPA 1980, EPA-625/1-80-012, table 7-2, 6-15 min/inch (from memory)");
}

TEST_CASE("equilibrium flux is where growth and decay balance") {
  // derived: with eps = 0 and R_0 = 0 a ring under constant head settles at q = h/R = q*
  BiomatParameters p;
  p.residual_share = 0.0;
  p.clean_resistance_day = 0.0;
  const double beta = clogging_coefficient(p, 0.1), head = 0.6, load = 0.21, temperature = 15.0;
  BiomatState s{.labile_day = 5.0};
  for (int i = 0; i < 40000; ++i) {
    s = advance_biomat(p, s, beta, {head / s.resistance_day() * load, temperature, true}, 0.1);
  }
  check_row("h .6, Kfs .1, 15 degC", head / s.resistance_day(),
            equilibrium_flux_m_per_day(p, beta, head, load, temperature), 1e-6,
            "derived: fixed point of the layer's balance");
}
