// Septic tank against published values and closed forms.
#include "models/tank.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "models/constants.hpp"
#include "tests/support/csv_rows.hpp"
#include "tests/support/fill_tank.hpp"
#include "tests/support/rows.hpp"

namespace restwell::test {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double second_day = 1.0 / seconds_per_day;
constexpr double litre_per_s = 86.4;    // m3/day
constexpr double litre_per_min = 1.44;  // m3/day

// An opening so wide that every head here is a low head: Q = k h^2 within 1e-5.
constexpr double k_si = 0.643;
CircularOpening quadratic_outlet() {
  constexpr double wide_m = 1e4;
  const double unit = std::sqrt(2.0 * 9.80665 * wide_m) * std::numbers::pi / 4.0;
  return {.diameter_m = wide_m, .discharge_coefficient = k_si / unit};
}

double low_head_peak_ratio(double area_m2, double inflow_l_per_s, double duration_s) {
  const double inflow = inflow_l_per_s * litre_per_s;
  const SurgeStep s = surge_step(area_m2, quadratic_outlet(), 0.0, inflow, duration_s * second_day);
  return k_si * seconds_per_day * s.head_m * s.head_m / inflow;
}

}  // namespace

TEST_CASE("Hazen's removal for cells in series") {
  const double cells[] = {1, 2, 3, 4, 8, infinity};
  struct Row {
    double ratio;
    double percent[6];
  };
  const Row rows[] = {{0.5, {33.3, 36.0, 37.0, 37.6, 38.4, 39.3}},
                      {1.0, {50.0, 55.6, 57.8, 59.0, 61.0, 63.2}},
                      {2.0, {66.7, 75.0, 78.4, 80.2, 83.2, 86.5}},
                      {5.0, {83.3, 91.8, 94.7, 96.1, 97.9, 99.3}}};
  for (const Row& row : rows) {
    for (int i = 0; i < 6; ++i) {
      check_row("v/q " + std::to_string(row.ratio) + ", n " + std::to_string(cells[i]),
                100.0 * hazen_removal(row.ratio, cells[i]), row.percent[i], 0.0,
                "derived: 1 - [1 + v/(n q)]^-n (form of Fair, Geyer & Okun), rounded to 0.1",
                0.05001);
    }
  }
}

TEST_CASE("One surge step is exact for a quadratic outlet") {
  const char* source = "derived: exact solution of A dh/dt = Q - k h^2, k .643, A 3.5 m2";
  const double half_um = 0.5e-3;  // heads printed to 1 um, in mm
  const CircularOpening outlet = quadratic_outlet();
  const double inflow = 0.5 * litre_per_s;
  const SurgeStep peak = surge_step(3.5, outlet, 0.0, inflow, 120 * second_day);
  check_row(".5 L/s, 120 s, from dry: mm", 1e3 * peak.head_m, 15.266, 1e-5, source, half_um);
  check_row("the same: peak ratio", low_head_peak_ratio(3.5, 0.5, 120), 0.2997, 0.0, source, 6e-5);

  const SurgeStep rest = surge_step(3.5, outlet, peak.head_m, 0.0, 3600 * second_day);
  check_row("then 3600 s dry: mm", 1e3 * rest.head_m, 1.376, 1e-5, source, half_um);
  check_row("then 3600 s dry: L/min", k_si * rest.head_m * rest.head_m * 6e4, 0.0730, 0.0, source,
            5e-5);

  const SurgeStep high = surge_step(3.5, outlet, 0.050, inflow, 120 * second_day);
  check_row(".5 L/s, 120 s, from 50 mm: mm", 1e3 * high.head_m, 32.936, 1e-5, source, half_um);
}

TEST_CASE("Peak of the outflow over that of a rectangular inflow") {
  struct Row {
    const char* fixture;
    double litre_per_s, seconds;
    double ratio[3];  // A = 2.3, 3.5, 4.6 m2
    double last_digit;
  };
  const Row rows[] = {{"toilet", .6, 10, {.0073, .0031, .0018}, 1e-4},
                      {"shower", .133, 450, {.898, .689, .516}, 1e-3},
                      {"washer", .5, 120, {.538, .300, .190}, 1e-3},
                      {"bath", .5, 300, {.963, .831, .679}, 1e-3}};
  const double areas[] = {2.3, 3.5, 4.6};
  for (const Row& row : rows) {
    for (int i = 0; i < 3; ++i) {
      check_row(std::string(row.fixture) + ", A " + std::to_string(areas[i]),
                low_head_peak_ratio(areas[i], row.litre_per_s, row.seconds), row.ratio[i], 0.0,
                "derived: tanh^2(t0 sqrt(k Q)/A), k .643, rounded", 0.51 * row.last_digit);
    }
  }
}

TEST_CASE("A bath through the full rating of a 4-inch pipe") {
  const CircularOpening outlet{.diameter_m = 0.1016, .discharge_coefficient = 0.58};
  double head_m = 0.0;
  double outflow_m3 = 0.0;
  for (int i = 0; i < 300; ++i) {
    const SurgeStep s = surge_step(3.5, outlet, head_m, 0.5 * litre_per_s, second_day);
    head_m = s.head_m;
    outflow_m3 = s.outflow_m3;
  }
  const char* source = "derived: independent integration of the surge with the full rating";
  check_row(".5 L/s for 300 s, A 3.5: mm", 1e3 * head_m, 26.0, 0.0, source, 0.05);
  check_row("the same: L/min", free_flow_m3_per_day(outlet, head_m) / litre_per_min, 24.3, 0.0,
            source, 0.05);
  // The last second's mean lies just under the peak.
  check_row("the same from the step's volume", outflow_m3 * 60e3, 24.3, 0.0, source, 0.1);
}

TEST_CASE("Two pools of sludge follow the closed form") {
  TankParameters p;
  p.scum_share = 0.0;
  p.sludge_biodegradable_share = 0.6;
  p.digestion_20c_per_day = 0.015;
  p.digestion_yield = 0.0;
  p.biodegradable_kg_per_m3 = 40.0;
  p.inert_fresh_kg_per_m3 = p.inert_old_kg_per_m3 = 80.0;
  const double deposit = 0.0216 + 0.0144;
  struct Row {
    double years, litre;
  };
  const Row rows[] = {{.25, 43.27}, {.5, 66.52}, {1, 101.55},
                      {2, 167.40},  {5, 364.50}, {10, 693.00}};
  SolidsState s{.activity = 1.0};
  double day = 0.0;
  for (const Row& row : rows) {
    const int steps = static_cast<int>(std::lround((row.years * 365.0 - day) * 4.0));
    for (int i = 0; i < steps; ++i) s = rk4_step(p, s, deposit, 20.0, 0.25);
    day = row.years * 365.0;
    check_row(std::to_string(row.years) + " years of 365 days: L", 1e3 * sludge_volume_m3(p, s),
              row.litre, 1e-4,
              "derived: V = f m/(k c_B) (1 - exp(-k t)) + (1 - f) m t/c_I, f m 21.6 g/d, "
              "(1 - f) m 14.4 g/d, k .015/d, c 40 and 80 kg/m3");
  }
}

// Litres per person in a tank of four people, from a pump-out (sludge) or brand-new (sludge, scum).
double sludge_litre(double years) {
  const TankParameters p;
  const double people = 4;
  const int days = static_cast<int>(std::lround(years * year_day));
  return 1e3 / people *
         sludge_volume_m3(p, after_days(p, pumped(p, SolidsState{}),
                                        deposit_kg_per_day(Tank{}, p, people), days));
}
double new_tank_litre(double years) {
  const TankParameters p;
  const double people = 4;
  const int days = static_cast<int>(std::lround(years * 365));
  return 1e3 / people *
         solids_m3(p, after_days(p, brand_new(p), deposit_kg_per_day(Tank{}, p, people), days));
}

// The band is the studies' own: at five years two of them differ by a factor of 383/325 = 1.18.
constexpr double between_studies = 383.0 / 325.0;
void check_within_studies(double got, double measured, const std::string& source) {
  INFO("measured: " << measured << "\ngot: " << got << "\nsource: " << source);
  CHECK(got < between_studies * measured);
  CHECK(got > measured / between_studies);
}

TEST_CASE("Sludge per person at five years lies within the scatter between studies") {
  // These two measured sludge (from memory): the scum is left out.
  check_within_studies(sludge_litre(5), 325, "Gray 1995");
  check_within_studies(sludge_litre(5), 383, "Philip et al. 1993");
  // 27 Irish tanks, 2022: less than 150 L a year after two years.
  CHECK((new_tank_litre(5) - new_tank_litre(2)) / 3.0 < 150.0);
}

// Known misses. Each must fail: if the model comes to meet the measurement, the test turns red and
// the README's list of misses is to be mended.
TEST_CASE("known miss: sludge half a year after a pump-out, too much", "[!shouldfail]") {
  check_within_studies(sludge_litre(0.5), 46, "Gray 1995");
}
TEST_CASE("known miss: sludge and scum of a new tank's first year, too little", "[!shouldfail]") {
  check_within_studies(new_tank_litre(1), 250, "27 Irish tanks, 2022");
}

TEST_CASE("Pump-out intervals of Mancl 1984") {
  // That table supposes 24 h of retention and half of the retained solids digested; sludge and scum
  // at 25 % of the volume stand for it. No season in it: the tank's mean temperature.
  const TankParameters p;
  const auto rows = csv_rows("pump_interval_years.csv");
  REQUIRE(rows.size() == 20);
  for (const auto& row : rows) {
    const double gallons = row.number("tank_gal"), people = row.number("people"),
                 years = row.number("years");
    REQUIRE(years > 1.0);
    const Tank tank = tank_of_gallons(gallons);
    const double deposit = deposit_kg_per_day(tank, p, people);
    const double mark_m3 = 0.25 * gallons * gallon_m3;
    SolidsState s = brand_new(p);
    (void)days_to_fill(p, s, deposit, mark_m3);
    s = pumped(p, s);
    const double got = days_to_fill(p, s, deposit, mark_m3) / year_day;
    check_row(std::to_string(gallons) + " gal, " + std::to_string(people) + " people: years", got,
              years, 0.15, "Mancl 1984, J. Environ. Eng. 110(1):283-285");
    // Half of the retained solids digested, the table's own premise, when the interval is long.
    if (years > 2.5) {
      const double share =
          1.0 - (s.biodegradable_kg + s.inert_kg + s.scum_kg) / (deposit * got * year_day);
      check_row("share digested", share, 0.5, 0.15, "Mancl 1984");
    }
  }
}

TEST_CASE("A family of four pumps a 1000-gallon tank every two to five years") {
  // Two to three years in practice, three to five as health authorities advise: common practice, no
  // published source.
  const TankParameters p;
  const Tank tank = tank_of_gallons(1000);
  SolidsState s = pumped(p, SolidsState{});
  const double mark_m3 = PumpOutLimits{}.solids_share_of_depth * 1000 * gallon_m3;
  const double years = days_to_fill(p, s, deposit_kg_per_day(tank, p, 4), mark_m3) / year_day;
  CHECK(years > 2.0);
  CHECK(years < 5.0);
  // A disposer (US EPA 2002, table 3-8: +26.5 g TSS) brings the date forward by more than its
  // share of the load: what is digested does not grow with it.
  SolidsState with = pumped(p, SolidsState{});
  const double sooner =
      days_to_fill(p, with, deposit_kg_per_day(tank, p, 4, 0.0765), mark_m3) / year_day;
  CHECK(sooner < years * 0.050 / 0.0765);
}

// 55 g BOD5 per person and day, US EPA 2002, table 3-7.
double effluent_bod_mg_per_l(int people) {
  const TankParameters p;
  const double flow = typical_flow_m3_per_day(people);
  const double kept = bod_settled_share(p, settled_share(Tank{}, p, flow));
  return people * 0.055 * (1.0 - kept) / flow * 1e3;
}

TEST_CASE("Removals and effluent of 1000 gallons for one to six people") {
  const char* source = "US EPA 2002 (EPA/625/R-00/008), quoted from memory";
  const TankParameters p;
  const Tank tank;
  for (int people = 1; people <= 6; ++people) {
    INFO(people << " people; " << source);
    const double flow = typical_flow_m3_per_day(people);
    const double tss = settled_share(tank, p, flow);
    const double bod = bod_settled_share(p, tss);
    CHECK((tss > 0.60 && tss < 0.80));
    CHECK((bod > 0.30 && bod < 0.50));
    const double tss_mg_per_l = people * tss_kg_per_person_day * (1.0 - tss) / flow * 1e3;
    CHECK((tss_mg_per_l > 40.0 && tss_mg_per_l < 140.0));
    if (people == 6) continue;  // see the known miss below
    const double bod_mg_per_l = effluent_bod_mg_per_l(people);
    CHECK((bod_mg_per_l > 120.0 && bod_mg_per_l < 250.0));
  }
}

TEST_CASE("known miss: BOD that leaves the tank of six people, too strong", "[!shouldfail]") {
  CHECK(effluent_bod_mg_per_l(6) < 250.0);  // US EPA 2002, quoted from memory
}

TEST_CASE("The carry-over cone at 20 L/min is about a foot, the published sludge clearance") {
  // The header's limit, 12 in (US EPA): with more clearance than the cone nothing is carried over.
  const TankParameters p;
  const Tank tank;
  const double reach_m = tank.liquid_depth_m - tank.outlet_mouth_depth_m;
  const auto carried = [&](double clearance_m) {
    const Layers l{.sludge_outlet_m = reach_m - clearance_m};
    return carry_over(tank, p, l, 20 * litre_per_min).sludge_kg_per_m3;
  };
  // derived: r_c = sqrt(20 L/min/(2 pi 2 m/h)) = 309 mm
  CHECK(carried(0.3095) == 0.0);
  CHECK(carried(0.3085) > 0.0);
  CHECK(PumpOutLimits{}.sludge_clearance_m == Approx(0.309).epsilon(0.02));
}

}  // namespace restwell::test
