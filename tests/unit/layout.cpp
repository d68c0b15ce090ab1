#include "sim/layout.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double ft = 0.3048, in = 0.0254;  // exact, 1959

Approx about(double x) { return Approx(x).epsilon(1e-12); }

}  // namespace

TEST_CASE("rings cover the pit from the bottom to its cover, cut at the inlet") {
  Scenario s = scenario_of(one_pit({.depth = "7 ft 5 in"}));
  for (const double height : {0.02, 0.1016, 0.15, 0.9, 5.0}) {
    s.limits.ring_height_m = height;
    const Pit pit = lay_out(s).pits[0].pit;
    INFO("ring height " << height << ": " << pit.rings.size() << " rings");
    double level = 0.0, area = 0.0;
    bool inlet_is_a_cut = false;
    for (const Ring& ring : pit.rings) {
      CHECK(ring.bottom_m == Approx(level).margin(1e-12));
      CHECK(ring.top_m > ring.bottom_m);
      CHECK(ring.top_m - ring.bottom_m <= height * (1.0 + 1e-9));
      level = ring.top_m;
      area += ring_area_m2(pit.geometry, ring);
      inlet_is_a_cut = inlet_is_a_cut || std::abs(ring.top_m - (7 * ft + 5 * in)) < 1e-12;
    }
    CHECK(inlet_is_a_cut);
    CHECK(level == about(7 * ft + 5 * in + 3 * ft));  // the cover stands 3 ft over the inlet
    CHECK(area == about(2.0 * std::numbers::pi * 3 * ft * (10 * ft + 5 * in)));
  }
}

TEST_CASE("rings are cut where a layer ends, so that each lies in one soil") {
  // Inlet 3 ft down, bottom 10 ft down. derived: wall below the inlet 2 ft in the upper layer, 4 ft
  // in the middle one, 1 ft in the lower.
  const Scenario s = scenario_of(one_pit({.depth = "7 ft", .soil = R"(
  layers:
    - {to: 5 ft, conductivity: 0.6 m/day, alpha: 4 1/m}
    - {to: 9 ft, conductivity: 0.1 m/day, alpha: 12 1/m}
    - {conductivity: 2 m/day, alpha: 36 1/m})"}));
  Scenario coarse = s;
  coarse.limits.ring_height_m = 7 * ft;
  const Pit one_ring = lay_out(coarse).pits[0].pit;
  REQUIRE(one_ring.rings.size() == 4);  // three below the inlet and one above
  const double tops_ft[] = {1, 5, 7, 10}, kfs[] = {2.0, 0.1, 0.6, 0.6};
  double from_m = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(one_ring.rings[i].bottom_m == about(from_m).margin(1e-12));
    CHECK(one_ring.rings[i].top_m == about(tops_ft[i] * ft));
    CHECK(one_ring.rings[i].soil.kfs_m_per_day == kfs[i]);
    from_m = one_ring.rings[i].top_m;
  }
  CHECK(one_ring.bottom_soil.kfs_m_per_day == 2.0);
  CHECK(one_ring.bottom_soil.alpha_per_m == 36.0);

  // Whatever the cut, the wall's conductivity summed over its height is the layers'.
  for (const double height : {0.03, 0.1, 0.37, 1.0}) {
    Scenario cut = s;
    cut.limits.ring_height_m = height;
    double sum = 0.0;
    const Pit pit = lay_out(cut).pits[0].pit;
    for (const Ring& ring : pit.rings) {
      if (ring.bottom_m < 7 * ft - 1e-9) {
        sum += ring.soil.kfs_m_per_day * (ring.top_m - ring.bottom_m);
      }
    }
    CHECK(sum == about(ft * (2 * 0.6 + 4 * 0.1 + 1 * 2.0)));
  }
}

TEST_CASE("a pit's own soil and the water table under it") {
  Scenario s = scenario_of(two_pits({.soil = "{perc: 15 min/inch, water_table: 30 ft}"}));
  SoilLayer own;
  own.soil = {.kfs_m_per_day = 3.0, .alpha_per_m = 36.0};
  s.pits[1].layers = std::vector{own};
  s.pits[1].inlet_depth_m = 5 * ft;
  const SiteLayout site = lay_out(s);
  CHECK(site.pits[0].pit.rings[3].soil.kfs_m_per_day == about(s.soil.layers[0].soil.kfs_m_per_day));
  CHECK(site.pits[1].pit.rings[3].soil.kfs_m_per_day == about(3.0));
  CHECK(site.pits[1].pit.bottom_soil.kfs_m_per_day == 3.0);
  CHECK(site.pits[0].water_table_m == about(-(30 - 3 - 8) * ft));
  CHECK(site.pits[1].water_table_m == about(-(30 - 5 - 8) * ft));
  s.soil.water_table.reset();
  CHECK(lay_out(s).pits[0].water_table_m == far_below_m);
}

TEST_CASE("lips: invert, tilt, leveler and growth add up, capped outlets are left out") {
  // derived: z = invert + x tan ax + y tan ay + e (1 - cos angle) + growth.
  const Scenario s = scenario_of(R"(name: Test site (invented)
start: 2026-05-01
household: {occupants: 4}
tank: {volume: 1000 gal}
box:
  lid: 9 in
  tilt: {x: 0.5 deg, y: -1 deg}
  outlets:
    - {name: A, to: a, invert: 0.5 in, x: 6 in, y: -4 in}
    - {name: B, capped: yes}
    - {name: C, to: c, leveler: {eccentricity: 0.5 in, angle: 90 deg}, x: -6 in, check_valve: yes}
    - {name: D, to: d, leveler: {eccentricity: 0.5 in, angle: 180 deg}, lip_growth: 0.125 in,
       diameter: 3 in}
pits:
  - {name: c, diameter: 5 ft, depth: 8 ft, new: yes, inlet_below_box: 6 in}
  - {name: a, diameter: 6 ft, depth: 10 ft, new: yes}
  - {name: d, diameter: 6 ft, depth: 10 ft, new: yes}
soil: {perc: 15 min/inch}
)");
  const SiteLayout site = lay_out(s);
  REQUIRE(site.outlets.size() == 3);
  CHECK(site.outlet_config == std::vector<std::size_t>{0, 2, 3});
  CHECK(site.outlet_pit == std::vector<std::size_t>{1, 0, 2});
  const double deg = std::numbers::pi / 180.0;
  CHECK(site.outlets[0].lip_m ==
        about(0.5 * in + 6 * in * std::tan(0.5 * deg) + 4 * in * std::tan(1.0 * deg)));
  CHECK(site.outlets[1].lip_m == about(-6 * in * std::tan(0.5 * deg) + 0.5 * in));
  CHECK(site.outlets[2].lip_m == about(2 * 0.5 * in + 0.125 * in));
  CHECK_FALSE(site.outlets[0].check_valve);
  CHECK(site.outlets[1].check_valve);
  CHECK(site.outlets[2].opening.diameter_m == about(3 * in));
  CHECK(site.lid.level_m == about(9 * in));
  // The pit's inlet lies below the invert as built; tilt and leveler move the lip, not the pit.
  CHECK(site.pits[1].bottom_over_datum_m == about(0.5 * in - 1 * in - 10 * ft));
  CHECK(site.pits[0].bottom_over_datum_m == about(-6 * in - 8 * ft));
  CHECK(site.pits[0].backs_up_to_box);
  CHECK(site.pits[0].brim_m == about(8 * ft + 3 * ft));
}

TEST_CASE("pits in series: after their feeders, whatever the order in the file") {
  const Scenario s = scenario_of(R"(name: Test site (invented)
start: 2026-05-01
household: {occupants: 4}
tank: {volume: 1000 gal}
box:
  outlets:
    - {name: A, to: first}
    - {name: B, to: other}
pits:
  - {name: last, diameter: 5 ft, depth: 8 ft, new: yes, when_full: surface}
  - {name: middle, diameter: 5 ft, depth: 7 ft, new: yes, when_full: {to: last}}
  - {name: other, diameter: 5 ft, depth: 6 ft, new: yes, when_full: {to: last}}
  - {name: first, diameter: 5 ft, depth: 5 ft, new: yes, when_full: {to: middle}}
soil: {perc: 15 min/inch}
)");
  const SiteLayout site = lay_out(s);
  REQUIRE(site.flow_order.size() == 4);
  const auto place = [&](std::size_t pit) {
    return std::find(site.flow_order.begin(), site.flow_order.end(), pit) - site.flow_order.begin();
  };
  CHECK(place(3) < place(1));
  CHECK(place(1) < place(0));
  CHECK(place(2) < place(0));
  CHECK(site.pits[3].over_brim == Destination::next_pit);
  CHECK(site.pits[3].next_pit == 1);
  CHECK(site.pits[1].next_pit == 0);
  CHECK(site.pits[0].over_brim == Destination::surface);
  // Water leaves for the next pit at the inlet, for the surface at the cover, 3 ft higher.
  for (std::size_t p = 0; p < 4; ++p) {
    CHECK_FALSE(site.pits[p].backs_up_to_box);
    CHECK(site.pits[p].brim_m == about(s.pits[p].geometry.depth_m + (p == 0 ? 3 * ft : 0.0)));
  }
}

TEST_CASE("without a box one pipe leads to the pit, and nothing backs up to a box") {
  for (const std::string destination : {"surface", "house"}) {
    const Scenario s = scenario_of(fmt::format(R"(name: Test site (invented)
start: 2026-05-01
household: {{occupants: 4}}
tank: {{volume: 1000 gal}}
single_outlet: {{to: a}}
pits: [{{name: a, diameter: 5 ft, depth: 8 ft, new: yes, when_full: {}}}]
soil: {{perc: 15 min/inch}}
)",
                                               destination));
    const SiteLayout site = lay_out(s);
    CHECK_FALSE(site.box_present);
    REQUIRE(site.outlets.size() == 1);
    CHECK(site.outlet_pit == std::vector<std::size_t>{0});
    CHECK_FALSE(site.pits[0].backs_up_to_box);
    // To the house it runs back through the pipe's far end, an inch over the inlet.
    CHECK(site.pits[0].brim_m == about(8 * ft + (destination == "house" ? 1 * in : 3 * ft)));
    CHECK(site.pits[0].over_brim ==
          (destination == "house" ? Destination::house : Destination::surface));
  }
}
