// Soil laws against published values and relations.
#include "models/soil.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <set>

#include "tests/support/csv_rows.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;
using restwell::test::csv_rows;

namespace {
constexpr double day_per_m_of_min_per_inch = 1.0 / 1440.0 / 0.0254;
constexpr double m_of_inch = 0.0254;
}  // namespace

TEST_CASE("shape factor of the curve for alpha 12 and more") {
  struct Row {
    double x, c;
  };
  const auto source =
      "Zhang, Groenevelt & Parkin 1998, Soil Tillage Res. 49:219 (from memory), to 4 decimals";
  for (const auto& [x, c] : {Row{0.5, 0.3364}, Row{1, 0.5582}, Row{2, 0.9120}, Row{4, 1.4490},
                             Row{5, 1.6669}, Row{10, 2.4764}, Row{20, 3.4078}}) {
    for (const double alpha : {12.0, 36.0}) {
      check_row(fmt::format("x {}, alpha {}", x, alpha), shape_factor(x, alpha), c, 0.0, source,
                0.5001e-4);
    }
  }
}

TEST_CASE("shape factor gives the published two-head coefficients") {
  // Kfs = G2 Q2 - G1 Q1 of a hole of radius 3 cm with ponds of 5 and 10 cm [cm, cm3, min].
  const double a = 3, h1 = 5, h2 = 10;
  const double c1 = shape_factor(h1 / a, 12), c2 = shape_factor(h2 / a, 12);
  const double divisor = std::numbers::pi * (2 * h1 * h2 * (h2 - h1) + a * a * (h1 * c2 - h2 * c1));
  const auto source = "Reynolds & Elrick 1986, Ground Water Monit. Rev. 6(1):84 (from memory)";
  check_row("G2", h1 * c2 / divisor, 0.0041, 0.04, source);
  check_row("G1", h2 * c1 / divisor, 0.0054, 0.04, source);
}

TEST_CASE("shape factor against the line source without gravity") {
  // Glover's solution leaves out gravity and capillarity; the fitted curves, which have both, lie
  // above it and near it. The band of 25 % is an assumption: the two are different theories.
  struct Row {
    double x, glover;
  };
  for (const auto& [x, glover] :
       {Row{1, 0.4672}, Row{2, 0.8256}, Row{5, 1.4926}, Row{10, 2.0932}}) {
    const double closed = std::asinh(x) - std::sqrt(1 + 1 / (x * x)) + 1 / x;
    check_row(fmt::format("closed form, x {}", x), closed, glover, 0.0,
              "Zangar 1953, USBR Eng. Monogr. 8 (Glover)", 0.5001e-4);
    check_row(fmt::format("x {}", x), shape_factor(x, 12), glover, 0.25,
              "Zangar 1953, USBR Eng. Monogr. 8 (Glover)");
    CHECK(shape_factor(x, 12) > glover);
  }
}

TEST_CASE("shape factor is continuous in alpha and in depth") {
  for (const double x : {0.2, 0.5, 2.0, 10.0}) {
    for (const double alpha : {1.0, 4.0, 12.0}) {
      CHECK(shape_factor(x, alpha * (1 + 1e-9)) ==
            Approx(shape_factor(x, alpha * (1 - 1e-9))).epsilon(1e-8));
    }
    // derived: half way between the classes in log(alpha) lies the mean of the two curves
    CHECK(shape_factor(x, 2) ==
          Approx(0.5 * (shape_factor(x, 1) + shape_factor(x, 4))).epsilon(1e-12));
    CHECK(shape_factor(x, std::sqrt(48.0)) ==
          Approx(0.5 * (shape_factor(x, 4) + shape_factor(x, 12))).epsilon(1e-12));
    CHECK(shape_factor(x, 0.1) == shape_factor(x, 1));
  }
  CHECK(shape_factor(0.0, 12) == shape_factor(0.5, 12));
  CHECK(shape_factor(0.5 + 1e-9, 12) == Approx(shape_factor(0.5, 12)).epsilon(1e-8));
  // derived: the two other curves at x = 2, worked out apart
  check_row("x 2, alpha 4", shape_factor(2, 4), 0.944617, 1e-5, "derived: (2/2.174)^.683");
  check_row("x 2, alpha 1", shape_factor(2, 1), 0.904289, 1e-5, "derived: (2/2.323)^.672");
}

TEST_CASE("conductivity from percolation tests") {
  for (const auto& row : csv_rows("perc_to_kfs.csv")) {
    const PercolationTest test{
        .day_per_m = row.number("perc_min_per_inch") * day_per_m_of_min_per_inch,
        .hole_radius_m = row.number("hole_radius_in") * m_of_inch,
        .mean_depth_m = 6 * m_of_inch};
    const double alpha = row.number("alpha_per_m");
    const double kfs = kfs_from_percolation_m_per_day(test, alpha);
    const auto inputs =
        fmt::format("{} min/inch, hole radius {} in, alpha {}", row.text("perc_min_per_inch"),
                    row.text("hole_radius_in"), alpha);
    check_row(inputs, kfs * 100, row.number("kfs_cm_per_day"), 0.005,
              "derived from Reynolds, Galloway & Radcliffe 2015 with Zhang et al. 1998");
    check_row(inputs + ", back", percolation_from_kfs_day_per_m(kfs, test, alpha), test.day_per_m,
              1e-14, "derived: inverse of the same relation");
  }
}

TEST_CASE("percolation relation is the borehole solution of the falling water") {
  // derived: water in the hole falls at Q/(pi a^2) with Q of the borehole solution
  const PercolationTest test{.day_per_m = 0.5, .hole_radius_m = 0.1, .mean_depth_m = 0.2};
  for (const double alpha : {1.0, 6.0, 36.0}) {
    const Soil soil{.kfs_m_per_day = kfs_from_percolation_m_per_day(test, alpha),
                    .alpha_per_m = alpha};
    const double fall_m_per_day =
        borehole_intake_m3_per_day(soil, 0.1, 0.2) / (std::numbers::pi * 0.01);
    CHECK(fall_m_per_day == Approx(1 / test.day_per_m).epsilon(1e-12));
  }
}

TEST_CASE("textures") {
  const auto rows = csv_rows("soil_textures.csv");
  CHECK(textures().size() == rows.size());
  const auto source =
      "Carsel & Parrish 1988, Water Resour. Res. 24(5):755-769, mean values (from memory)";
  for (const auto& row : rows) {
    const Texture* const t = find_texture(row.text("texture"));
    INFO(row.text("texture"));
    REQUIRE(t != nullptr);
    check_row("theta_r", t->theta_r, row.number("theta_r"), 1e-12, source);
    check_row("theta_s", t->theta_s, row.number("theta_s"), 1e-12, source);
    check_row("alpha", t->vg_alpha_per_m, 100 * row.number("alpha_per_cm"), 1e-12, source);
    check_row("n", t->vg_n, row.number("n"), 1e-12, source);
    check_row("Ks", t->ks_m_per_day, row.number("ks_cm_per_day") / 100, 1e-12, source);
    // Gardner classes of Elrick et al. 1989
    CHECK(std::set<double>{1, 4, 12, 36}.contains(t->gardner_alpha_per_m));
  }
  CHECK(find_texture("granite") == nullptr);
}
