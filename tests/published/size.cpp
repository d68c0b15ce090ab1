// The code columns of `size`, row by row as the codes' tables are printed.
#include "tests/support/size.hpp"

#include <fmt/format.h>

#include "sim/size_report.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

constexpr double ft2_m2 = 0.3048 * 0.3048;

// The codes' row of one pit of 6 ft by 10 ft, three bedrooms, in a soil of that rate.
struct CodesRow {
  double phs_ft2 = 0.0, ipsdc_ft2 = 0.0, epa_ft2 = 0.0;
  std::string phs_met;
};
CodesRow codes_row(double min_per_inch) {
  SiteText text;
  text.household = "occupants: 2, bedrooms: 3";
  text.soil = fmt::format("{{perc: {} min/inch}}", min_per_inch);
  text.extra = "limits: {ring_height: 2 ft, pit_step: 1 day}\n";  // only the codes are looked at
  SizeArguments a = small_question();
  set(a.depths, "10 ft");
  a.life = "1 years";
  a.service = "0.25 years";
  const SizeResult r = sized(two_pits(text), a);
  for (const ReportTable& t : size_tables(r)) {
    if (t.key != "codes") continue;
    const auto cell = [&](const std::string& key) {
      for (std::size_t c = 0; c < t.columns.size(); ++c)
        if (t.columns[c].key == key) return t.rows.front()[c];
      return Cell{};
    };
    const auto area = [&](const std::string& key) {
      const Cell c = cell(key);
      const auto* amount = std::get_if<Amount>(&c);
      return amount != nullptr ? amount->value / ft2_m2 : std::nan("");
    };
    return {area("phs_per_bedroom"), area("ipsdc_per_bedroom"), area("epa_per_bedroom"),
            std::get<std::string>(cell("phs_met"))};
  }
  return {};
}

}  // namespace

TEST_CASE("columns of what the codes ask for equal the published tables") {
  struct Row {
    double min_per_inch, phs, ipsdc, epa;
  };
  // EPA: derived, 150 gal/day over the table's loading.
  const std::vector<Row> rows = {{1, 70, 165, 150 / 1.2},   {2, 85, 165, 150 / 1.2},
                                 {3, 100, 165, 150 / 1.2},  {4, 115, 165, 150 / 1.2},
                                 {5, 125, 165, 150 / 1.2},  {10, 165, 250, 150 / .8},
                                 {15, 190, 250, 150 / .8},  {30, 250, 300, 150 / .6},
                                 {45, 300, 330, 150 / .45}, {60, 330, 330, 150 / .45}};
  for (const Row& row : rows) {
    const CodesRow got = codes_row(row.min_per_inch);
    const std::string rate = fmt::format("{} min/inch", row.min_per_inch);
    check_row(rate, got.phs_ft2, row.phs, 1e-6, "US PHS 1967, pub. 526, table 1");
    check_row(rate, got.ipsdc_ft2, row.ipsdc, 1e-6, "IPSDC 603.1");
    check_row(rate, got.epa_ft2, row.epa, 1e-6, "US EPA 1980, table 7-2 (from memory)");
    // derived: pi 6 10 = 188.5 ft2 of wall never reaches three bedrooms' least, 210 ft2
    CHECK(got.phs_met == "no");
  }
}

TEST_CASE("three bedrooms at 15 min/inch: the codes' wall and depths") {
  SiteText text;
  text.household = "occupants: 4, bedrooms: 3";
  const Scenario s = scenario_of(two_pits(text));
  const CodeBasis basis = code_basis(s);
  constexpr double ft = 0.3048;
  const auto source = "derived: 3 x 190 ft2 (US PHS 526) over pi D";
  const auto ask = [&](double diameter_ft, double depth_ft, int count) {
    return code_ask(s.soil, 3 * ft, {diameter_ft * ft, depth_ft * ft, count}, basis);
  };
  check_row("area", *ask(10, 18, 1).phs_m2 / ft2_m2, 570, 1e-6, source);
  CHECK(ask(10, 18.15, 1).meets_phs());
  CHECK_FALSE(ask(10, 18.13, 1).meets_phs());
  CHECK(ask(6, 15.13, 2).meets_phs());
  CHECK_FALSE(ask(6, 15.11, 2).meets_phs());
  check_row("wall", ask(5, 15, 1).wall_m2 / ft2_m2, 236, 2e-3, "US EPA 1980, table 7-6");
  check_row("wall", ask(10, 10, 1).wall_m2 / ft2_m2, 314, 2e-3, "US EPA 1980, table 7-6");
}

TEST_CASE("layers are weighted over the pit's wall, slow ones left out") {
  SiteText text;
  text.soil =
      "{layers: [{to: 3 ft, perc: 60 min/inch}, {to: 7 ft, perc: 5 min/inch}, {to: 10 ft, perc: "
      "20 min/inch}, {to: 12 ft, perc: 45 min/inch}, {perc: 10 min/inch}]}";
  const Scenario s = scenario_of(two_pits(text));
  constexpr double ft = 0.3048;
  const CodeAsk ask = code_ask(s.soil, 3 * ft, {6 * ft, 12 * ft, 1}, code_basis(s));
  REQUIRE(ask.rate_day_per_m);
  check_row("4 ft at 5, 3 at 20, 2 at 45, 3 at 10 min/inch",
            *ask.rate_day_per_m / us::minute_per_inch_day_per_m, 11.0, 1e-6,
            "derived by the rule of US EPA 1980, 7.2.3.3");
  check_row("wall of 10 ft", ask.wall_m2, pit_wall_area_m2(6 * ft, 10 * ft), 1e-9,
            "derived: 12 ft less the slow 2 ft");
}
