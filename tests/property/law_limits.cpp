// Intake over generated soils, pits and layers: bounds and directions that always hold.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "models/intake.hpp"
#include "models/pit.hpp"

using namespace restwell;

namespace {

// Uniform in the logarithm; written out because library distributions differ between platforms.
double draw(std::mt19937_64& generator, double low, double high) {
  const double u = static_cast<double>(generator() >> 11U) * 0x1.0p-53;
  return low * std::pow(high / low, u);
}

Soil draw_soil(std::mt19937_64& generator) {
  return {.kfs_m_per_day = draw(generator, 1e-3, 20.0), .alpha_per_m = draw(generator, 0.5, 50.0)};
}

Pit draw_pit(std::mt19937_64& generator) {
  Pit pit{.geometry = {.radius_m = draw(generator, 0.3, 3.0)},
          .rings = {},
          .bottom_soil = draw_soil(generator)};
  double bottom = 0.0;
  for (int layer = 0; layer < 3; ++layer) {
    const Soil soil = draw_soil(generator);
    const double height = draw(generator, 0.03, 0.2);
    for (int i = 0; i < 8; ++i, bottom += height) {
      pit.rings.push_back({bottom, bottom + height, soil});
    }
  }
  return pit;
}

}  // namespace

TEST_CASE("side and bottom laws keep their bounds") {
  std::mt19937_64 generator(20240611);
  for (int i = 0; i < 20000; ++i) {
    const SideConductance side{draw(generator, 1e-4, 50.0), draw(generator, 0.5, 50.0)};
    const double r = draw(generator, 1e-4, 1e4), h = draw(generator, 1e-4, 5.0);
    INFO("kappa " << side.kappa_per_day << " alpha " << side.alpha_per_m << " R " << r << " h "
                  << h);
    const double q = side_intake_m_per_day(side, r, h);
    const double clean = side_intake_m_per_day(side, 0.0, h);
    REQUIRE(q > 0.0);
    REQUIRE(q < clean);
    REQUIRE(side_intake_m_per_day(side, 1.1 * r, h) < q);
    REQUIRE(side_intake_m_per_day(side, r, 1.1 * h) > q);
    // The layer's equation holds with the soil's: p from one, q from the other.
    const double p = h - q * r;
    const double soil =
        side.kappa_per_day *
        (2.0 * std::max(p, 0.0) + std::exp(side.alpha_per_m * std::min(p, 0.0)) / side.alpha_per_m);
    const double rounding =
        1e-15 * (1.0 + h + std::abs(p)) * (2.0 + side.alpha_per_m) * side.kappa_per_day;
    REQUIRE(std::abs(soil - q) <= 1e-11 * q + rounding);

    const BottomConductance bottom{side.kappa_per_day, side.alpha_per_m};
    const double q_b = bottom_intake_m_per_day(bottom, r, h);
    REQUIRE(q_b > 0.0);
    REQUIRE(q_b <= bottom.kfs_m_per_day);
    REQUIRE(bottom_intake_m_per_day(bottom, 1.1 * r, h) <= q_b);
    REQUIRE(bottom_intake_m_per_day(bottom, r, 1.1 * h) >= q_b);
  }
}

// Shape factors couple the parts of a pit (pit_shape.hpp); where resistances differ wildly from
// ring to ring that may cost this much of strict order. (Soils that differ wildly too may cost
// more.)
constexpr double coupling = 0.05;

TEST_CASE("a pit takes in more with depth, less with resistance, never more than clean") {
  std::mt19937_64 generator(19740612);
  for (int i = 0; i < 2000; ++i) {
    const Pit pit = draw_pit(generator);
    const std::size_t count = pit.rings.size() + 1;
    const double top = pit.rings.back().top_m;
    const double radius = pit.geometry.radius_m;
    const double level = std::min(radius * draw(generator, 0.3, 8.0), top);  // the fit's range
    if (level < 0.3 * radius) continue;
    std::vector<double> r(count), more(count), flow(count);
    for (std::size_t j = 0; j < count; ++j) more[j] = 1.2 * (r[j] = draw(generator, 1e-2, 1e3));
    INFO("pit " << i << ", level " << level);
    REQUIRE(pit_intake_m3_per_day(pit, r, level, {}, flow) > 0.0);
    Pit uniform = pit;
    for (Ring& ring : uniform.rings) ring.soil = pit.rings.front().soil;
    uniform.bottom_soil = pit.rings.front().soil;
    const double intake = pit_intake_m3_per_day(uniform, r, level, {}, flow);
    const double clean = uniform_intake_m3_per_day(uniform, 0.0, level);
    REQUIRE(intake <= clean * (1 + coupling));
    REQUIRE(pit_intake_m3_per_day(uniform, more, level, {}, flow) <= intake * (1 + coupling));
    // Rising with depth: one soil and one resistance, any water table.
    const double table = -draw(generator, 0.05, 20.0);
    REQUIRE(uniform_intake_m3_per_day(uniform, r.front(), level, {.table_m = table}) >=
            0.999 *
                uniform_intake_m3_per_day(uniform, r.front(), 0.97 * level, {.table_m = table}));
  }
}

TEST_CASE("no pit gives water to soil that is fuller than it, and a higher table never helps") {
  std::mt19937_64 generator(19370101);
  const auto between = [&](double low, double high) {
    return low + (high - low) * std::log(draw(generator, 1.0, std::exp(1.0)));
  };
  for (int i = 0; i < 4000; ++i) {
    const Pit pit = draw_pit(generator);
    const std::size_t count = pit.rings.size() + 1;
    const double top = pit.rings.back().top_m;
    const double level = i % 7 == 0 ? 0.0 : between(0.0, top);
    const double table = between(-1.0, 1.2 * top);
    std::vector<double> r(count), flow(count), other(count);
    for (double& x : r) x = i % 5 == 0 ? 0.0 : draw(generator, 1e-2, 1e3);
    INFO("pit " << i << ", level " << level << ", table " << table);
    const double intake = pit_intake_m3_per_day(pit, r, level, {.table_m = table}, flow);
    for (const double q : flow) {
      if (table >= level) REQUIRE(q <= 0.0);
      if (table <= level) REQUIRE(q >= 0.0);
    }
    if (table > level) REQUIRE(intake < 0.0);
    const double higher = table + draw(generator, 1e-4, 0.5);
    REQUIRE(pit_intake_m3_per_day(pit, r, level, {.table_m = higher}, other) <=
            intake + coupling * std::abs(intake));
    // Rising with the level, for one soil and one resistance.
    Pit uniform = pit;
    for (Ring& ring : uniform.rings) ring.soil = pit.rings.front().soil;
    uniform.bottom_soil = pit.rings.front().soil;
    const double lower = 0.97 * level;
    const double at = uniform_intake_m3_per_day(uniform, r.front(), level, {.table_m = table});
    REQUIRE(at + 1e-12 * std::abs(at) >=
            uniform_intake_m3_per_day(uniform, r.front(), lower, {.table_m = table}));
  }
}

TEST_CASE("a pit takes in more with every centimeter from empty on") {
  for (const double alpha : {1.0, 4.0, 12.0, 36.0}) {
    for (const double radius : {0.3, 0.9, 1.8}) {
      for (const double r : {0.0, 1.0, 30.0}) {
        for (const double table : {far_below_m, -1.0}) {
          Pit pit{.geometry = {.radius_m = radius},
                  .rings = {},
                  .bottom_soil = {.kfs_m_per_day = 0.25, .alpha_per_m = alpha}};
          for (int i = 0; i < 20; ++i)
            pit.rings.push_back({0.1 * i, 0.1 * (i + 1), pit.bottom_soil});
          INFO("alpha " << alpha << ", radius " << radius << ", R " << r << ", table " << table);
          double below = 0.0;
          for (int mm = 0; mm < 2000; ++mm) {
            const double at = uniform_intake_m3_per_day(pit, r, 0.001 * mm, {.table_m = table});
            REQUIRE(at >= below);
            below = at;
          }
        }
      }
    }
  }
}

TEST_CASE("the uniform resistance reproduces any intake below the clean pit's") {
  std::mt19937_64 generator(19560101);
  for (int i = 0; i < 500; ++i) {
    const Pit pit = draw_pit(generator);
    const double level = std::min(draw(generator, 0.01, 4.0), pit.rings.back().top_m);
    const double intake = uniform_intake_m3_per_day(pit, 0.0, level) * draw(generator, 1e-4, 0.999);
    const auto r = uniform_resistance_for_intake(pit, level, intake);
    INFO("pit " << i << ", level " << level << ", intake " << intake);
    REQUIRE(r.has_value());
    REQUIRE(uniform_intake_m3_per_day(pit, *r, level) == Approx(intake).epsilon(1e-11));
  }
}

// The order that the physics has and the law keeps only within `coupling`, or not at all.
TEST_CASE("known miss: a pit clogged unevenly never takes in more than a clean one",
          "[!shouldfail]") {
  std::mt19937_64 generator(19740612);
  for (int i = 0; i < 2000; ++i) {
    const Pit pit = draw_pit(generator);
    const std::size_t count = pit.rings.size() + 1;
    const double level = std::min(draw(generator, 0.01, 4.0), pit.rings.back().top_m);
    std::vector<double> r(count), more(count), flow(count);
    for (std::size_t j = 0; j < count; ++j) more[j] = 1.2 * (r[j] = draw(generator, 1e-2, 1e3));
    const double intake = pit_intake_m3_per_day(pit, r, level, {}, flow);
    const double clean = uniform_intake_m3_per_day(pit, 0.0, level);
    REQUIRE(intake <= clean);
    REQUIRE(pit_intake_m3_per_day(pit, more, level, {}, flow) <= intake);
  }
}

TEST_CASE("known miss: a higher table never helps a pit clogged unevenly", "[!shouldfail]") {
  std::mt19937_64 generator(19370101);
  for (int i = 0; i < 20000; ++i) {
    const Pit pit = draw_pit(generator);
    const double top = pit.rings.back().top_m;
    const double level = draw(generator, 0.01, 1.0) * top;
    const double table = draw(generator, 0.01, 1.2) * top;
    std::vector<double> r(pit.rings.size() + 1), flow(pit.rings.size() + 1);
    for (double& x : r) x = draw(generator, 1e-2, 1e3);
    const double intake = pit_intake_m3_per_day(pit, r, level, {.table_m = table}, flow);
    REQUIRE(pit_intake_m3_per_day(pit, r, level, {.table_m = table + draw(generator, 1e-4, 0.5)},
                                  flow) <= intake + 1e-12 * std::abs(intake));
  }
}
