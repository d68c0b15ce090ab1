#include "models/soil.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace restwell {

namespace {

using std::numbers::pi;

// C = (x/(offset + slope x))^exponent (Zhang et al. 1998).
struct ShapeCurve {
  double alpha_per_m, offset, slope, exponent;
};
constexpr std::array<ShapeCurve, 3> shape_curves{{
    {1.0, 2.081, 0.121, 0.672},
    {4.0, 1.992, 0.091, 0.683},
    {12.0, 2.074, 0.093, 0.754},  // 36 shares it
}};
constexpr double shape_floor = 0.5;  // the curves are fitted from x = .5 to about 20

double on_curve(const ShapeCurve& c, double x) {
  return std::pow(x / (c.offset + c.slope * x), c.exponent);
}

// Kfs = C a^2/(PT (2 H^2 + C a^2 + 2 H/alpha)): the product Kfs PT, the same both ways.
double kfs_times_percolation(const PercolationTest& test, double alpha_per_m) {
  const double a = test.hole_radius_m;
  const double h = test.mean_depth_m;
  const double ca2 = shape_factor(h / a, alpha_per_m) * a * a;
  return ca2 / (2.0 * h * h + ca2 + 2.0 * h / alpha_per_m);
}

constexpr double per_cm = 100.0;     // 1/cm in 1/m
constexpr double cm_per_day = 0.01;  // in m/day
constexpr double coarse = 36.0, structured = 12.0, fine = 4.0;

// Carsel & Parrish 1988, Water Resour. Res. 24(5):755-769: theta_r, theta_s, alpha, n, Ks.
// Gardner class: coarse for sand, fine for textures of silt and clay taken as without structure.
constexpr std::array<Texture, 12> texture_table{{
    {"sand", 0.045, 0.43, 0.145 * per_cm, 2.68, 712.8 * cm_per_day, coarse},
    {"loamy sand", 0.057, 0.41, 0.124 * per_cm, 2.28, 350.2 * cm_per_day, structured},
    {"sandy loam", 0.065, 0.41, 0.075 * per_cm, 1.89, 106.1 * cm_per_day, structured},
    {"loam", 0.078, 0.43, 0.036 * per_cm, 1.56, 24.96 * cm_per_day, structured},
    {"silt", 0.034, 0.46, 0.016 * per_cm, 1.37, 6.0 * cm_per_day, fine},
    {"silt loam", 0.067, 0.45, 0.020 * per_cm, 1.41, 10.8 * cm_per_day, structured},
    {"sandy clay loam", 0.100, 0.39, 0.059 * per_cm, 1.48, 31.44 * cm_per_day, structured},
    {"clay loam", 0.095, 0.41, 0.019 * per_cm, 1.31, 6.24 * cm_per_day, fine},
    {"silty clay loam", 0.089, 0.43, 0.010 * per_cm, 1.23, 1.68 * cm_per_day, fine},
    {"sandy clay", 0.100, 0.38, 0.027 * per_cm, 1.23, 2.88 * cm_per_day, fine},
    {"silty clay", 0.070, 0.36, 0.005 * per_cm, 1.09, 0.48 * cm_per_day, fine},
    {"clay", 0.068, 0.38, 0.008 * per_cm, 1.09, 4.8 * cm_per_day, fine},
}};

constexpr std::array<StructureClass, 4> structure_table{{
    {"gravelly", "coarse sand and gravel", 36.0},
    {"structured", "most structured soils", 12.0},
    {"unstructured", "fine soils without structure", 4.0},
    {"compacted", "compacted clay", 1.0},
}};

}  // namespace

double shape_factor(double depth_over_radius, double alpha_per_m) {
  const double x = std::max(depth_over_radius, shape_floor);
  if (alpha_per_m >= shape_curves.back().alpha_per_m) return on_curve(shape_curves.back(), x);
  if (alpha_per_m <= shape_curves.front().alpha_per_m) return on_curve(shape_curves.front(), x);
  const std::size_t upper = alpha_per_m <= shape_curves[1].alpha_per_m ? 1 : 2;
  const ShapeCurve& below = shape_curves[upper - 1];
  const ShapeCurve& above = shape_curves[upper];
  const double share =
      std::log(alpha_per_m / below.alpha_per_m) / std::log(above.alpha_per_m / below.alpha_per_m);
  return std::lerp(on_curve(below, x), on_curve(above, x), share);
}

double borehole_intake_m3_per_day(const Soil& soil, double radius_m, double pond_m) {
  const double c = shape_factor(pond_m / radius_m, soil.alpha_per_m);
  return soil.kfs_m_per_day * (2.0 * pi * pond_m * pond_m / c + pi * radius_m * radius_m +
                               2.0 * pi * pond_m / (soil.alpha_per_m * c));
}

double kfs_from_percolation_m_per_day(const PercolationTest& test, double alpha_per_m) {
  return kfs_times_percolation(test, alpha_per_m) / test.day_per_m;
}

double percolation_from_kfs_day_per_m(double kfs_m_per_day, const PercolationTest& hole,
                                      double alpha_per_m) {
  return kfs_times_percolation(hole, alpha_per_m) / kfs_m_per_day;
}

Soil soil_below(const Soil& upper, double thickness_m, const Soil& lower, double reach_m) {
  const double w = thickness_m / (thickness_m + reach_m);
  const double series = 1.0 / (w / upper.kfs_m_per_day + (1.0 - w) / lower.kfs_m_per_day);
  return {.kfs_m_per_day = std::max(series, upper.kfs_m_per_day),
          .alpha_per_m =
              std::exp(std::lerp(std::log(lower.alpha_per_m), std::log(upper.alpha_per_m), w))};
}

std::span<const Texture> textures() { return texture_table; }

const Texture* find_texture(std::string_view name) {
  const auto found = std::find_if(texture_table.begin(), texture_table.end(),
                                  [&](const Texture& t) { return t.name == name; });
  return found == texture_table.end() ? nullptr : &*found;
}

std::span<const StructureClass> structure_classes() { return structure_table; }

const StructureClass* find_structure(std::string_view name) {
  const auto found = std::find_if(structure_table.begin(), structure_table.end(),
                                  [&](const StructureClass& c) { return c.name == name; });
  return found == structure_table.end() ? nullptr : &*found;
}

}  // namespace restwell
