// The codes' tables, row by row as they are printed.
#include "models/code_tables.hpp"

#include <fmt/format.h>

#include <cmath>

#include "tests/support/rows.hpp"

using namespace restwell;
using restwell::test::check_row;

namespace {

constexpr double day_per_m_of_min_per_inch = 1.0 / 1440.0 / 0.0254;
constexpr double ft_m = 0.3048;
constexpr double ft2_m2 = ft_m * ft_m;
constexpr double gallon_m3 = 3.785411784e-3;
// 1 gal/day/ft2 = .0407458 m/day
constexpr double gal_per_day_ft2 = gallon_m3 / ft2_m2;

double rate(double min_per_inch) { return min_per_inch * day_per_m_of_min_per_inch; }
double in_ft2(std::optional<double> m2) { return m2.value_or(std::nan("")) / ft2_m2; }
double in_gal(std::optional<double> m_per_day) {
  return m_per_day.value_or(std::nan("")) / gal_per_day_ft2;
}

const auto phs = "US PHS 1967, Manual of Septic-Tank Practice, pub. 526, table 1";
const auto epa_7_2 = "US EPA 1980, design manual, table 7-2 (from memory)";
const auto ipsdc = "International Private Sewage Disposal Code 603.1";

struct Row {
  double min_per_inch, expected;
};

}  // namespace

TEST_CASE("wall area per bedroom by percolation rate") {
  const std::vector<Row> rows = {{1, 70},   {2, 85},   {3, 100},  {4, 115},  {5, 125},
                                 {10, 165}, {15, 190}, {30, 250}, {45, 300}, {60, 330}};
  for (const auto& [t, area] : rows) {
    check_row(fmt::format("{} min/inch", t), in_ft2(phs_area_m2_per_bedroom(rate(t))), area, 1e-9,
              phs);
  }
  REQUIRE(phs_area_table().size() == rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    check_row("row", in_ft2(phs_area_table()[i].area_m2_per_bedroom), rows[i].expected, 1e-9, phs);
  }
}

TEST_CASE("wall area between the rows of the table is linear, outside it is nothing") {
  const auto source = "derived: middle of the rows beside it";
  for (const auto& [t, area] : {Row{1.5, 77.5}, Row{7.5, 145}, Row{22.5, 220}, Row{52.5, 315}}) {
    check_row(fmt::format("{} min/inch", t), in_ft2(phs_area_m2_per_bedroom(rate(t))), area, 1e-9,
              source);
  }
  CHECK_FALSE(phs_area_m2_per_bedroom(rate(0.99)));
  CHECK_FALSE(phs_area_m2_per_bedroom(rate(60.01)));
  CHECK_FALSE(phs_area_m2_per_bedroom(std::nan("")));
}

TEST_CASE("pits are for rates from 1 to 30 min/inch") {
  CHECK(pit_suitability(rate(0.9)) == PitSuitability::too_fast);  // US EPA 1980, table 7-2
  CHECK(pit_suitability(rate(1)) == PitSuitability::suited);
  CHECK(pit_suitability(rate(30)) == PitSuitability::suited);  // US PHS 1967
  CHECK(pit_suitability(rate(30.1)) == PitSuitability::too_slow);
}

TEST_CASE("area per bedroom in steps") {
  for (const auto& [t, area] : {Row{0.5, 165}, Row{9.9, 165}, Row{10, 250}, Row{29.9, 250},
                                Row{30, 300}, Row{44.9, 300}, Row{45, 330}, Row{60, 330}}) {
    check_row(fmt::format("{} min/inch", t), in_ft2(ipsdc_area_m2_per_bedroom(rate(t))), area, 1e-9,
              ipsdc);
  }
  CHECK_FALSE(ipsdc_area_m2_per_bedroom(rate(60.1)));
}

TEST_CASE("loading by percolation range") {
  for (const auto& [t, q] : {Row{1, 1.2}, Row{5, 1.2}, Row{6, .8}, Row{15, .8}, Row{16, .6},
                             Row{30, .6}, Row{31, .45}, Row{60, .45}, Row{61, .2}, Row{120, .2}}) {
    check_row(fmt::format("{} min/inch", t), in_gal(epa_loading_m_per_day(rate(t))), q, 1e-9,
              epa_7_2);
  }
  check_row("5.5 min/inch, between two ranges", in_gal(epa_loading_m_per_day(rate(5.5))), .8, 1e-9,
            "assumption: the slower range");
  CHECK_FALSE(epa_loading_m_per_day(rate(0.9)));
  CHECK_FALSE(epa_loading_m_per_day(rate(121)));
}

TEST_CASE("loading by the square root of the rate") {
  const auto source = "US PHS 1967, q = 5/sqrt(t) (from memory)";
  for (const auto& [t, q] : {Row{1, 5}, Row{4, 2.5}, Row{25, 1}}) {
    check_row(fmt::format("{} min/inch", t), in_gal(phs_loading_m_per_day(rate(t))), q, 1e-9,
              source);
  }
  CHECK_FALSE(phs_loading_m_per_day(rate(0.9)));
  CHECK_FALSE(phs_loading_m_per_day(rate(61)));
}

TEST_CASE("area per bedroom and loading by the square root are two rules") {
  // Their product is no design flow: 350 gal/day per bedroom in fast soil, 213 in slow.
  const auto flow = [](double t) {
    return *phs_area_m2_per_bedroom(rate(t)) * *phs_loading_m_per_day(rate(t)) / gallon_m3;
  };
  check_row("1 min/inch", flow(1), 350, 1e-9, "derived: 70 x 5/sqrt(1)");
  check_row("60 min/inch", flow(60), 213, 0, "derived: 330 x 5/sqrt(60), printed digits", 0.5);
}

TEST_CASE("loading by conductivity") {
  const auto source = "Healy & Laak 1974, 5 K - 1.2/log10 K, K in ft/min (from memory)";
  struct Loading {
    double k_ft_per_min, q;
  };
  for (const auto& [k, q] : {Loading{1e-4, .300}, Loading{1e-3, .405}, Loading{1e-2, .650}}) {
    check_row(fmt::format("K {} ft/min", k), in_gal(healy_laak_loading_m_per_day(k * ft_m * 1440)),
              q, 0, source + std::string(", printed digits"), 0.5001e-3);
  }
  CHECK_FALSE(healy_laak_loading_m_per_day(0.0));
  CHECK_FALSE(healy_laak_loading_m_per_day(0.1 * ft_m * 1440));
}

TEST_CASE("wall of a round pit") {
  struct Pit {
    double diameter_ft, depth_ft, area_ft2;
  };
  for (const auto& [diameter, depth, area] : {Pit{5, 15, 236}, Pit{10, 10, 314}}) {
    check_row(fmt::format("{} ft x {} ft", diameter, depth),
              in_ft2(pit_wall_area_m2(diameter * ft_m, depth * ft_m)), area, 0,
              "US EPA 1980, table 7-6, whole ft2", 0.5);
  }
}

TEST_CASE("three bedrooms at 15 min/inch") {
  const double area = 3 * *phs_area_m2_per_bedroom(rate(15));
  check_row("area", in_ft2(area), 570, 1e-9, phs);
  const auto source = "derived: area / (pi D), printed digits";
  check_row("one pit of 10 ft", pit_depth_for_wall_m(area, 10 * ft_m) / ft_m, 18.14, 0, source,
            0.005001);
  check_row("each of two pits of 6 ft", pit_depth_for_wall_m(area / 2, 6 * ft_m) / ft_m, 15.12, 0,
            source, 0.005001);
}

TEST_CASE("design flow per bedroom") {
  const DesignFlow flow;
  const auto source = "common practice in US codes: 150 gal/day, 90 to 200";
  check_row("usual", flow.m3_per_bedroom_day / gallon_m3, 150, 1e-9, source);
  check_row("least", flow.least_m3_per_bedroom_day / gallon_m3, 90, 1e-9, source);
  check_row("most", flow.most_m3_per_bedroom_day / gallon_m3, 200, 1e-9, source);
}
