// Clogging and recovery against what was published of them. Every row is one observation and what
// the model gives for it, with the defaults and with both ends of the ranges of clogging per load,
// decay under water and decay. Rows the defaults miss are known misses. The table in
// models/sources.md is printed by `published_kinetics "[table]"`.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "models/biomat.hpp"
#include "models/drainage.hpp"
#include "models/intake.hpp"
#include "models/soil.hpp"
#include "models/soil_temperature.hpp"

using namespace restwell;

namespace {

constexpr double m_per_day_of_gpd_per_ft2 = 0.0407458;
constexpr double m_per_day_of_ft_per_min = 0.3048 * 1440.0;
constexpr double head_m = 0.6;                  // standing, as for the code rates
constexpr double trench_m = 0.3;                // water in a trench: a usual depth, assumed
constexpr double load_kg_per_m3 = 0.15 + 0.06;  // BOD and TSS of septic tank effluent
const double mean_c = SoilTemperature{}.mean_c;

double kfs_of(const char* texture) {
  return field_saturated_share * find_texture(texture)->ks_m_per_day;
}
double rate_m_per_day(const BiomatParameters& p, double kfs, double kg_per_m3 = load_kg_per_m3) {
  return equilibrium_flux_m_per_day(p, clogging_coefficient(p, kfs), head_m, kg_per_m3, mean_c);
}
double rate_gpd(const BiomatParameters& p, double kfs) {
  return rate_m_per_day(p, kfs) / m_per_day_of_gpd_per_ft2;
}

// A day under a standing head on a horizontal surface, long enough to take what the layer lets.
BiomatState ponded(const BiomatParameters& p, BiomatState s, double kfs, double pond_m, double days,
                   double temperature) {
  const double beta = clogging_coefficient(p, kfs);
  constexpr double dt = 0.25;
  for (double day = 0.0; day < days; day += dt) {
    const double q = bottom_intake_m_per_day({kfs, 12.0}, s.resistance_day(), pond_m);
    s = advance_biomat(p, s, beta, {q * load_kg_per_m3, temperature, true}, dt);
  }
  return s;
}
BiomatState rested(const BiomatParameters& p, BiomatState s, double kfs, double days,
                   double temperature) {
  const double drained =
      drainage_day({}, {.kfs_m_per_day = kfs, .alpha_per_m = 12.0}, under_bottom_m);
  return advance_biomat(p, s, clogging_coefficient(p, kfs), {0.0, temperature, false, drained},
                        days);
}
double flux_m_per_day(const BiomatState& s, double kfs, double pond_m) {
  return bottom_intake_m_per_day({kfs, 12.0}, s.resistance_day(), pond_m);
}

// Days of a constant loading until the surface cannot take it without standing water.
double first_ponding_day(const BiomatParameters& p, double kfs, double loading_m_per_day,
                         double kg_per_m3) {
  BiomatState s = clean_biomat(p);
  const double beta = clogging_coefficient(p, kfs);
  for (int day = 0; day < 40 * 365; ++day) {
    if (flux_m_per_day(s, kfs, 0.0) < loading_m_per_day) return day;
    s = advance_biomat(p, s, beta, {loading_m_per_day * kg_per_m3, mean_c, true}, 1.0);
  }
  return 40 * 365;
}

// A trench bottom with a resistance that lets through 2.8 cm/day, rested from June to August and
// then loaded again until April. Sandy loam; temperatures of the seasons 1 m below ground.
struct SummerRest {
  double rested_cm, spring_cm;
};
SummerRest summer_rest(const BiomatParameters& p) {
  const double kfs = kfs_of("sandy loam");
  double least = 0.2, most = 100.0;  // the resistance that lets 2.8 cm/day through
  while (most - least > 1e-9) {
    const double middle = 0.5 * (least + most);
    (flux_m_per_day({.labile_day = middle}, kfs, trench_m) > 0.028 ? least : most) = middle;
  }
  const double resistance = least;
  BiomatState s{.labile_day = (1.0 - p.start_residual_share) * resistance,
                .residual_day = p.start_residual_share * resistance};
  const SeasonAtDepth season = season_at_depth({}, 1.0);
  s = rested(p, s, kfs, 92.0, temperature_c(season, 197.0));
  SummerRest result{};
  result.rested_cm = 100.0 * flux_m_per_day(s, kfs, trench_m);
  for (int month = 0; month < 8; ++month)
    s = ponded(p, s, kfs, trench_m, 30.4, temperature_c(season, 258.0 + 30.4 * month));
  result.spring_cm = 100.0 * flux_m_per_day(s, kfs, trench_m);
  return result;
}

// Days of rest until what a wall clogged by its equilibrium takes at a standing head is `share` of
// what the clean one takes.
double recovery_days(const BiomatParameters& p, double kfs, double share) {
  const double resistance = head_m / rate_m_per_day(p, kfs);
  const double clean = flux_m_per_day(clean_biomat(p), kfs, 0.0);
  for (int day = 1; day < 5000; ++day) {
    const BiomatState s = rested(p, {.labile_day = resistance}, kfs, day, mean_c);
    if (flux_m_per_day(s, kfs, 0.0) >= share * clean) return day;
  }
  return 5000;
}

struct Row {
  const char* name;
  const char* measured;
  double low, high;  // the published band; a single value within a fifth
  std::function<double(const BiomatParameters&)> model;
  bool missed = false;
};

const std::vector<Row>& rows() {
  static const std::vector<Row> table = {
      // ---- long-term rate by texture, gal/ft2/day --------------------------------------------
      {"Healy & Laak 1974, clay loam", ".3 gal/ft2/day", 0.24, 0.36,
       [](const auto& p) { return rate_gpd(p, kfs_of("clay loam")); }},
      {"Healy & Laak 1974, sand", ".8 gal/ft2/day", 0.64, 0.96,
       [](const auto& p) { return rate_gpd(p, kfs_of("sand")); }, true},
      {"Healy & Laak 1974, K 1e-4 ft/min (from memory)", ".300 gal/ft2/day", 0.24, 0.36,
       [](const auto& p) { return rate_gpd(p, 1e-4 * m_per_day_of_ft_per_min); }},
      {"Healy & Laak 1974, K 1e-3 ft/min (from memory)", ".405 gal/ft2/day", 0.32, 0.49,
       [](const auto& p) { return rate_gpd(p, 1e-3 * m_per_day_of_ft_per_min); }, true},
      {"Bouma 1975, sand (from memory)", "5 cm/day", 4.0, 6.0,
       [](const auto& p) { return 100.0 * rate_m_per_day(p, kfs_of("sand")); }, true},
      {"Bouma 1975, sandy loam (from memory)", "3 cm/day", 2.4, 3.6,
       [](const auto& p) { return 100.0 * rate_m_per_day(p, kfs_of("sandy loam")); }, true},
      {"Tyler 2001, loam (from memory)", ".2-.8 gal/ft2/day", 0.2, 0.8,
       [](const auto& p) { return rate_gpd(p, kfs_of("loam")); }},
      // ---- the clogged layer ------------------------------------------------------------------
      {"Finch, Radcliffe & West 2008, layer's conductivity", ".2-2.8 cm/day", 0.2, 2.8,
       [](const auto& p) {  // of a layer of 2 cm, at the equilibrium of loam
         const double kfs = kfs_of("loam");
         return 100.0 * 0.02 * rate_m_per_day(p, kfs) / head_m;
       },
       true},
      {"Bumgarner & McCray 2007, Beach et al. 2005, orders lost", "1-3", 1.0, 3.0,
       [](const auto& p) {
         const double kfs = kfs_of("loam");
         return -std::log10(0.02 * rate_m_per_day(p, kfs) / head_m / kfs);
       }},
      // ---- load -------------------------------------------------------------------------------
      {"Laak 1986, 60 against 250 mg/L: (C/250)^(1/3) (from memory)", "x 1.61", 1.29, 1.93,
       [](const auto& p) { return rate_m_per_day(p, 0.25, 0.06) / rate_m_per_day(p, 0.25, 0.25); },
       true},
      {"treated effluent, 60 against 210 mg/L (from memory)", "x 1.5-2.5", 1.5, 2.5,
       [](const auto& p) { return rate_m_per_day(p, 0.25, 0.06) / rate_m_per_day(p, 0.25, 0.21); }},
      {"Jones & Taylor 1965, decay with air against without (from memory: clogging 3-10 times as "
       "fast without)",
       "x 3-10", 3.0, 10.0, [](const auto& p) { return 1.0 / p.submerged_factor; }},
      // ---- recovery ---------------------------------------------------------------------------
      {"summer rest 2004, after the summer", "2.8 -> 10.6 cm/day", 8.5, 12.7,
       [](const auto& p) { return summer_rest(p).rested_cm; }, true},
      {"summer rest 2004, next spring", "5.0 cm/day", 4.0, 6.0,
       [](const auto& p) { return summer_rest(p).spring_cm; }, true},
      {"US EPA 2002, rest of a failed field (from memory)", "6-12 months", 180.0, 365.0,
       [](const auto& p) { return recovery_days(p, kfs_of("sandy loam"), 0.5); }},
      {"two or three days of rest (common practice)", "nothing lasting, < 5 %", 0.0, 5.0,
       [](const auto& p) {
         const BiomatState s{.labile_day = 20.0};
         return 100.0 * (1.0 - rested(p, s, 0.25, 3.0, mean_c).resistance_day() / 20.0);
       }},
  };
  return table;
}

BiomatParameters with(double beta, double submerged, double decay) {
  BiomatParameters p;
  p.decay_20c_per_day = decay;
  p.beta_day_m2_per_kg = beta;
  p.submerged_factor = submerged;
  return p;
}
const BiomatParameters early = with(15.0, 0.05, 0.01), late = with(2.0, 0.45, 0.04);

void check(const Row& r) {
  const double got = r.model({});
  INFO(r.name << ": measured " << r.measured << ", the defaults give " << got);
  CHECK(got >= r.low);
  CHECK(got <= r.high);
}
void check(const std::string& name) {
  for (const Row& r : rows())
    if (r.name == name) return check(r);
  throw std::logic_error("no row " + name);
}

}  // namespace

TEST_CASE("observations of clogging and recovery that the defaults meet") {
  for (const Row& r : rows())
    if (!r.missed) check(r);
}

TEST_CASE("first ponding comes sooner at a higher loading and for stronger effluent") {
  // Siegrist 1987, Siegrist & Boyle 1987: silt loam, septic tank effluent at 1.3, 2.6 and 5.2
  // cm/day clogged in this order, and as the mass of BOD and solids went (from memory, the order
  // only).
  const double kfs = kfs_of("silt loam");
  const auto days = [&](double cm_per_day, double kg_per_m3) {
    return first_ponding_day({}, kfs, 0.01 * cm_per_day, kg_per_m3);
  };
  CHECK(days(5.2, 0.21) < days(2.6, 0.21));
  CHECK(days(2.6, 0.21) < days(1.3, 0.21));
  CHECK(days(2.6, 0.21) < days(2.6, 0.06));
  BiomatParameters no_decay;
  no_decay.decay_20c_per_day = 0.0;
  const double mass = 0.013 * 0.21 * first_ponding_day(no_decay, kfs, 0.013, 0.21);
  CHECK(0.013 * 0.06 * first_ponding_day(no_decay, kfs, 0.013, 0.06) ==
        Approx(mass).epsilon(0.05));  // without decay the mass alone counts
}

TEST_CASE("known miss: Healy & Laak's rate in sand", "[!shouldfail]") {
  check("Healy & Laak 1974, sand");
}
TEST_CASE("known miss: Healy & Laak's rate at 1e-3 ft/min", "[!shouldfail]") {
  check("Healy & Laak 1974, K 1e-3 ft/min (from memory)");
}
TEST_CASE("known miss: Bouma's rate in sand", "[!shouldfail]") {
  check("Bouma 1975, sand (from memory)");
}
TEST_CASE("known miss: Bouma's rate in sandy loam", "[!shouldfail]") {
  check("Bouma 1975, sandy loam (from memory)");
}
TEST_CASE("known miss: conductivity of the layer", "[!shouldfail]") {
  check("Finch, Radcliffe & West 2008, layer's conductivity");
}
TEST_CASE("known miss: Laak's cube root of strength", "[!shouldfail]") {
  check("Laak 1986, 60 against 250 mg/L: (C/250)^(1/3) (from memory)");
}
TEST_CASE("known miss: the field after its summer of rest", "[!shouldfail]") {
  check("summer rest 2004, after the summer");
}
TEST_CASE("print the table of observations", "[.][table]") {
  fmt::print("| study | measured | early | default | late | |\n|---|---|---|---|---|---|\n");
  for (const Row& r : rows()) {
    const double got = r.model({});
    fmt::print("| {} | {} | {:.3g} | {:.3g} | {:.3g} | {} |\n", r.name, r.measured, r.model(early),
               got, r.model(late), got >= r.low && got <= r.high ? "met" : "known miss");
  }
  for (const double cm : {1.3, 2.6, 5.2})
    fmt::print("| first ponding at {} cm/day, silt loam, days | - | {:.0f} | {:.0f} | {:.0f} | |\n",
               cm, first_ponding_day(early, kfs_of("silt loam"), 0.01 * cm, 0.21),
               first_ponding_day({}, kfs_of("silt loam"), 0.01 * cm, 0.21),
               first_ponding_day(late, kfs_of("silt loam"), 0.01 * cm, 0.21));
}
