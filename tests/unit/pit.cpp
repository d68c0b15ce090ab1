// Pit: geometry, intake over rings, inverse for the resistance.
#include "models/pit.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <vector>

#include "models/intake.hpp"
#include "models/pit_shape.hpp"

using namespace restwell;
using std::numbers::pi;

namespace {

Pit pit_of(int rings, const Soil& soil = {}, double height_m = 3.9624) {
  Pit pit{.geometry = {}, .rings = {}, .bottom_soil = soil};
  for (int i = 0; i < rings; ++i) {
    pit.rings.push_back({height_m * i / rings, height_m * (i + 1) / rings, soil});
  }
  return pit;
}

}  // namespace

TEST_CASE("storage area") {
  PitGeometry g{.radius_m = 1.0, .gravel_porosity = 0.4, .inside_open_share = 1.0};
  CHECK(storage_area_m2(g) == Approx(pi));  // open hole
  g.inside_open_share = 0.35;               // filled with stone
  CHECK(storage_area_m2(g) == Approx(0.35 * pi));
  // lining of 0.6 m inner and 0.75 m outer radius in gravel:
  // derived: pi (.36 + .4 (1 - .5625)) = .535 pi
  g.inside_open_share = 1.0;
  g.lining_inner_radius_m = 0.6;
  g.lining_outer_radius_m = 0.75;
  CHECK(storage_area_m2(g) == Approx(0.535 * pi).epsilon(1e-14));
  g.inside_open_share = 0.4;  // derived: pi (.144 + .175)
  CHECK(storage_area_m2(g) == Approx(0.319 * pi).epsilon(1e-14));
}

TEST_CASE("areas of rings and bottom") {
  const Pit pit = pit_of(26);
  double wall = 0;
  for (const Ring& ring : pit.rings) wall += ring_area_m2(pit.geometry, ring);
  CHECK(wall == Approx(2 * pi * 0.9144 * 3.9624));
  CHECK(bottom_area_m2(pit.geometry) == Approx(pi * 0.9144 * 0.9144));
  CHECK(wall_area_m2(pit.geometry) == Approx(2 * pi * 0.9144 * 3.048));
}

TEST_CASE("intake per ring sums to the whole and dry rings take nothing") {
  const Pit pit = pit_of(26);
  std::vector<double> r(27), flow(27, -1.0);
  for (std::size_t i = 0; i < r.size(); ++i) r[i] = 3.0 * static_cast<double>(i);
  const double level = 1.0;  // in ring 6, from .9144 to 1.0668
  const double sum = pit_intake_m3_per_day(pit, r, level, {}, flow);
  CHECK(sum == Approx(std::accumulate(flow.begin(), flow.end(), 0.0)).epsilon(1e-14));
  for (std::size_t i = 0; i < 26; ++i) CHECK((flow[i] > 0.0) == (i <= 6));
}

TEST_CASE("with one resistance wall and bottom take in what their shape factors say") {
  const Pit pit = pit_of(26);
  const double a = 0.9144, level = 1.0, resistance = 18.0;
  const std::vector<double> r(27, resistance);
  std::vector<double> flow(27);
  pit_intake_m3_per_day(pit, r, level, {}, flow);
  const WallDepth x = wall_depth(level / a);
  const WallSoil wall = wall_soil(12.0 * a);
  const double wall_activity =
      1 / (1 + 2 * 0.25 * resistance / (wall_shape_factor(wall, x, 1) * a));
  const BottomSpread spread = bottom_spreads(bottom_at_level({level / a, 12.0 * a}), wall_activity);
  const double bottom_activity = 1 / (1 + 0.25 / a * spread.saturated * resistance);
  // (pit.hpp) what stands behind the bottom's layer over what stands behind the wall's own
  const double beside = std::min(1.0, bottom_activity / wall_activity);
  const double factor = wall_shape_factor(wall, x, beside);
  // derived: of the whole wall the mean head is level/2, so alpha d is 12
  const double y = (factor / wall_suction_factor(wall, x, beside) - 1) / (1 + 12 * level);
  const SideConductance side{0.25 / (factor * a), 12.0, 1 + y * 12 * level, y};
  // derived: ring 6, wetted over .0856 m, mean head .0428 m
  CHECK(
      flow[6] ==
      Approx(side_intake_m_per_day(side, resistance, 0.0428) * 2 * pi * a * 0.0856).epsilon(1e-12));
  const BottomConductance below{.kfs_m_per_day = 0.25,
                                .alpha_per_m = 12.0,
                                .spread_per_day = 0.25 / a * spread.pressure,
                                .saturated_per_day = 0.25 / a * spread.saturated,
                                .suction_ratio = spread.suction / spread.pressure};
  CHECK(flow[26] ==
        Approx(bottom_intake_m_per_day(below, resistance, level) * bottom_area_m2(pit.geometry))
            .epsilon(1e-14));
}

TEST_CASE("a clean part of the wall takes more beside a clogged one than as part of a clean wall") {
  const Pit pit = pit_of(26);
  std::vector<double> r(27, 0.0), flow(27), beside(27);
  const double clean = pit_intake_m3_per_day(pit, r, 3.0, {}, flow);
  for (std::size_t i = 0; i < 10; ++i) r[i] = 300.0;
  const double front = pit_intake_m3_per_day(pit, r, 3.0, {}, beside);
  CHECK(beside[15] > flow[15]);
  CHECK(beside[26] > flow[26]);
  CHECK(front < clean);
}

TEST_CASE("one resistance for all is the same as a list of equals") {
  const Pit pit = pit_of(26);
  const std::vector<double> r(27, 12.5);
  std::vector<double> flow(27);
  for (const double level : {0.0, 0.07, 1.3, 3.9}) {
    CHECK(uniform_intake_m3_per_day(pit, 12.5, level) ==
          pit_intake_m3_per_day(pit, r, level, {}, flow));
  }
}

TEST_CASE("what hangs on the level alone may be worked out ahead") {
  Pit pit = pit_of(26);
  for (std::size_t i = 10; i < 20; ++i)
    pit.rings[i].soil = {.kfs_m_per_day = 0.02, .alpha_per_m = 4};
  std::vector<double> r(27), flow(27), ahead(27);
  for (std::size_t i = 0; i < r.size(); ++i) r[i] = 3.0 * static_cast<double>(i);
  for (const double level : {0.0, 0.07, 1.3, 3.9}) {
    const PitAtLevel at = pit_at_level(pit, level);
    // Over the level the table wets more of the wall than `at` knows.
    for (const double table : {far_below_m, -1.0, level + 0.5}) {
      CHECK(pit_intake_m3_per_day(pit, at, r, level, {.table_m = table}, ahead) ==
            pit_intake_m3_per_day(pit, r, level, {.table_m = table}, flow));
      CHECK(ahead == flow);
    }
  }
}

TEST_CASE("at no depth only the bottom is left") {
  const Pit pit = pit_of(26);
  for (const double r : {0.0, 10.0}) {
    // Without a pond suction alone is left.
    const double spread =
        0.25 / 0.9144 * bottom_spreads(bottom_at_level({0.0, 12.0 * 0.9144}), 0.0).suction;
    const double bottom =
        bottom_area_m2(pit.geometry) * bottom_intake_m_per_day({0.25, 12.0, spread}, r, 0.0);
    CHECK(uniform_intake_m3_per_day(pit, r, 0.0) == bottom);
    CHECK(uniform_intake_m3_per_day(pit, r, 1e-9) == Approx(bottom).epsilon(1e-7));
  }
}

TEST_CASE("halving the rings converges") {
  const Soil soil;
  const auto intake = [&](int rings) {
    return uniform_intake_m3_per_day(pit_of(rings, soil, 1.6), 100.0, 1.6);
  };
  const double fine = intake(4096);
  const double e1 = std::abs(intake(8) - fine), e2 = std::abs(intake(16) - fine);
  CHECK(e2 < 0.27 * e1);    // mean head per ring: second order
  CHECK(e1 < 1e-3 * fine);  // rings of .2 m are fine enough
  // and the clean pit is exact with any rings
  CHECK(uniform_intake_m3_per_day(pit_of(1, soil, 1.6), 0.0, 1.6) ==
        Approx(uniform_intake_m3_per_day(pit_of(64, soil, 1.6), 0.0, 1.6)).epsilon(1e-13));
}

TEST_CASE("intake is continuous as the level passes a ring") {
  const Pit pit = pit_of(26);
  for (const double edge : {0.1524, 1.524, 3.048}) {
    CHECK(uniform_intake_m3_per_day(pit, 20.0, edge - 1e-9) ==
          Approx(uniform_intake_m3_per_day(pit, 20.0, edge + 1e-9)).epsilon(1e-7));
  }
}

TEST_CASE("each ring and the bottom take the soil they lie in") {
  const Soil clay{.kfs_m_per_day = 0.002, .alpha_per_m = 4.0};
  const std::vector<double> r(5, 0.0);
  std::vector<double> mixed(5), loam(5);
  const double all = pit_intake_m3_per_day(pit_of(4, {}, 2.0), r, 2.0, {}, loam);
  Pit pit = pit_of(4, {}, 2.0);
  pit.rings[0].soil = pit.rings[1].soil = pit.bottom_soil = clay;
  const double sum = pit_intake_m3_per_day(pit, r, 2.0, {}, mixed);
  CHECK(sum < all);
  for (const std::size_t i : {0U, 1U, 4U}) CHECK(mixed[i] < 0.1 * loam[i]);
  for (const std::size_t i : {2U, 3U}) CHECK(mixed[i] > loam[i]);  // no rival below
}

TEST_CASE("a pit that reaches down into a slow layer takes no less than a shallower one") {
  // The pond stands 1.5 m deep in good soil, then another meter into clay.
  const Soil clay{.kfs_m_per_day = 0.002, .alpha_per_m = 4.0};
  for (const double resistance : {0.0, 2.0, 50.0}) {
    const double shallow = uniform_intake_m3_per_day(pit_of(15, {}, 1.5), resistance, 1.5);
    Pit bedded = pit_of(15, {}, 1.5);  // on the clay, to set the bottom's soil apart
    bedded.bottom_soil = clay;
    Pit deep = pit_of(25, {}, 2.5);
    deep.bottom_soil = clay;
    for (std::size_t i = 0; i < 10; ++i) deep.rings[i].soil = clay;
    const double on_clay = uniform_intake_m3_per_day(bedded, resistance, 1.5);
    INFO("R " << resistance);
    CHECK(uniform_intake_m3_per_day(deep, resistance, 2.5) >= on_clay);
    CHECK(shallow > on_clay);
  }
}

TEST_CASE("a near water table holds wall and bottom back") {
  // alpha 36: a meter over the table nothing is left of the soil's moisture.
  const Pit pit = pit_of(10, {.kfs_m_per_day = 0.25, .alpha_per_m = 36.0}, 2.0);
  const std::vector<double> r(11, 0.0);
  std::vector<double> far(11), near(11);
  pit_intake_m3_per_day(pit, r, 2.0, {}, far);
  pit_intake_m3_per_day(pit, r, 2.0, {.table_m = -1.0}, near);  // Tu/H = 1.5
  for (std::size_t i = 0; i < 10; ++i)
    CHECK(near[i] == Approx((1 - 0.22 * 0.75) * far[i]).epsilon(1e-12));
  // Bare bottom: the root of squares of free flow and of saturated soil down to the table.
  const auto joined = [&](double table_m) {
    const double saturated =
        bottom_area_m2(pit.geometry) * 0.25 / 0.9144 *
        bottom_spreads(bottom_at_level({2.0 / 0.9144, 36.0 * 0.9144}), 1.0).saturated *
        (2.0 - table_m);
    return far[10] * saturated / std::hypot(far[10], saturated);
  };
  CHECK(near[10] == Approx(joined(-1.0)).epsilon(1e-12));
  pit_intake_m3_per_day(pit, r, 2.0, {.table_m = -4.0}, near);  // Tu/H = 3: far enough for the wall
  for (std::size_t i = 0; i < 10; ++i) CHECK(near[i] == far[i]);
  CHECK(near[10] == Approx(joined(-4.0)).epsilon(1e-12));
}

TEST_CASE("below the table layer and saturated soil are in series") {
  const Pit pit = pit_of(4, {}, 2.0);
  const std::vector<double> r{0.0, 3.0, 20.0, 100.0, 7.0};
  std::vector<double> flow(5);
  const double ring_m2 = 2 * pi * 0.9144 * 0.5;
  // Rings of unlike resistance share one conductance; the first one's flow tells it.
  const auto kappa_of = [&](double head, double resistance, double q) {
    return 0.5 / (head / (q / ring_m2) - resistance);
  };
  SECTION("pond over the table: what is lost is the difference of levels") {
    pit_intake_m3_per_day(pit, r, 1.9, {.table_m = 1.0}, flow);
    const double kappa = kappa_of(0.9, r[0], flow[0]);
    CHECK(flow[1] == Approx(ring_m2 * 0.9 / (r[1] + 0.5 / kappa)).epsilon(1e-12));
    CHECK(kappa >
          0.78 * 0.25 /
              (wall_shape_factor(wall_soil(12.0 * 0.9144), wall_depth(1.9 / 0.9144), 0) * 0.9144));
    CHECK(flow[4] > 0.0);
    CHECK(flow[4] < bottom_area_m2(pit.geometry) * 0.9 / 7.0);
  }
  SECTION("table over the pond: water comes in, above the pond by seepage faces") {
    pit_intake_m3_per_day(pit, r, 0.5, {.table_m = 1.75}, flow);
    const double kappa = kappa_of(1.25, r[0], -flow[0]);
    CHECK(flow[1] == Approx(-ring_m2 * 1.00 / (r[1] + 0.5 / kappa)).epsilon(1e-12));
    CHECK(flow[2] == Approx(-ring_m2 * 0.50 / (r[2] + 0.5 / kappa)).epsilon(1e-12));
    CHECK(flow[3] == Approx(-0.5 * ring_m2 * 0.125 / (r[3] + 0.5 / kappa)).epsilon(1e-12));
  }
  SECTION("level with the table nothing moves") {
    pit_intake_m3_per_day(pit, r, 1.3, {.table_m = 1.3}, flow);
    for (const double q : flow) CHECK(q == 0.0);
  }
  SECTION("a table over the pit's top finds no wall there") {
    CHECK(pit_intake_m3_per_day(pit, r, 0.0, {.table_m = 2.5}, flow) < 0.0);
    for (const double q : flow) CHECK(q < 0.0);
  }
}

TEST_CASE("intake is continuous as the level enters a ring far cleaner than those below") {
  const Pit pit = pit_of(26);
  std::vector<double> r(27, 80.0), flow(27);
  r[10] = 0.0;
  const double edge = pit.rings[10].bottom_m;
  CHECK(pit_intake_m3_per_day(pit, r, edge + 1e-7, {}, flow) ==
        Approx(pit_intake_m3_per_day(pit, r, edge - 1e-7, {}, flow)).epsilon(1e-5));
}

TEST_CASE("intake is continuous as the table passes bottom, rings and pond") {
  const Pit pit = pit_of(26);
  for (const double level : {0.0, 0.4, 1.3716, 3.0}) {
    for (const double table : {0.0, 0.1524, level, 1.524, 3.9624}) {
      for (const double r : {0.0, 0.2, 20.0, 400.0}) {
        INFO("level " << level << " table " << table << " R " << r);
        const double below = uniform_intake_m3_per_day(pit, r, level, {.table_m = table - 1e-9});
        CHECK(uniform_intake_m3_per_day(pit, r, level, {.table_m = table + 1e-9}) ==
              Approx(below).epsilon(1e-6).margin(1e-7));
        if (table > 0.0) {
          CHECK(uniform_intake_m3_per_day(pit, r, table + 1e-9, {.table_m = table}) ==
                Approx(uniform_intake_m3_per_day(pit, r, table - 1e-9, {.table_m = table}))
                    .margin(1e-7));
        }
      }
    }
  }
}

TEST_CASE("a far table is no table") {
  const Pit pit = pit_of(26, {.kfs_m_per_day = 0.25, .alpha_per_m = 4.0});
  for (const double r : {0.0, 5.0, 200.0}) {
    const double far = uniform_intake_m3_per_day(pit, r, 2.0);
    const auto lost = [&](double table_m) {
      return 1.0 - uniform_intake_m3_per_day(pit, r, 2.0, {.table_m = table_m}) / far;
    };
    CHECK(lost(-300.0) < 1e-4);
    CHECK(lost(-3000.0) == Approx(0.01 * lost(-300.0)).epsilon(0.05));  // with the depth's square
    CHECK(lost(-3e8) == 0.0);
  }
}

TEST_CASE("the resistance is found again from the intake it gives") {
  const Pit pit = pit_of(26);
  for (const double level : {0.0, 0.3, 1.0, 3.9}) {
    for (const double r : {0.5, 3.0, 12.5, 150.0, 1e6}) {
      if (level == 0.0 && r * 0.25 < 0.02) continue;
      const auto found =
          uniform_resistance_for_intake(pit, level, uniform_intake_m3_per_day(pit, r, level));
      REQUIRE(found.has_value());
      CHECK(*found == Approx(r).epsilon(1e-10));
    }
  }
  const double tiny = 1e-6;
  CHECK(*uniform_resistance_for_intake(pit, 1.0, uniform_intake_m3_per_day(pit, tiny, 1.0)) ==
        Approx(tiny).epsilon(1e-6));
}

TEST_CASE("no resistance gives more than a clean pit takes in") {
  const Pit pit = pit_of(26);
  const double clean = uniform_intake_m3_per_day(pit, 0.0, 1.0);
  CHECK(uniform_resistance_for_intake(pit, 1.0, clean) == 0.0);
  CHECK_FALSE(uniform_resistance_for_intake(pit, 1.0, clean * (1 + 1e-12)).has_value());
  CHECK(uniform_resistance_for_intake(pit, 1.0, 0.0) == std::numeric_limits<double>::infinity());
  const auto nearly_clean = uniform_resistance_for_intake(pit, 1.0, clean * (1 - 1e-6));
  REQUIRE(nearly_clean.has_value());
  CHECK(uniform_intake_m3_per_day(pit, *nearly_clean, 1.0) ==
        Approx(clean * (1 - 1e-6)).epsilon(1e-12));
}

TEST_CASE("flow through the wall is dimensionally homogeneous") {
  // alpha stays at 12 or more, where C depends on H/a alone: the classes of C are in 1/m.
  const double s = 2.0, t = 0.3;  // units of length and time
  const Soil soil{.kfs_m_per_day = 0.4, .alpha_per_m = 36.0};
  Pit pit = pit_of(5, soil, 2.0);
  Pit scaled = pit_of(5, {.kfs_m_per_day = 0.4 * s / t, .alpha_per_m = 36.0 / s}, 2.0 * s);
  scaled.geometry.radius_m *= s;
  std::vector<double> a(6), b(6);
  for (const double r : {0.0, 2.0, 70.0}) {
    for (const double table : {-1.1, 0.9, 1.9}) {
      pit_intake_m3_per_day(pit, std::vector<double>(6, r), 1.7, {.table_m = table}, a);
      pit_intake_m3_per_day(scaled, std::vector<double>(6, r * t), 1.7 * s, {.table_m = table * s},
                            b);
      for (std::size_t i = 0; i < 5; ++i) {
        CHECK(b[i] == Approx(a[i] * s * s * s / t).epsilon(1e-13));
      }
    }
  }
}
