// Pump-out dates against rules of practice and published intervals, through the whole of house and
// tank.
#include <catch2/catch.hpp>
#include <cmath>

#include "models/constants.hpp"
#include "sim/pump_study.hpp"
#include "tests/support/csv_rows.hpp"
#include "tests/support/rows.hpp"
#include "tests/support/sites.hpp"

namespace restwell::test {
namespace {

constexpr double in = 0.0254;

Date on_day(int y, unsigned m, unsigned d) {
  return std::chrono::sys_days(std::chrono::year(y) / std::chrono::month(m) / std::chrono::day(d));
}

Scenario tank_site(double gallons, double depth_in, double people, const std::string& more) {
  return scenario_of(one_pit(
      {.household = fmt::format("occupants: {}", people),
       .tank = fmt::format("{{volume: {} gal, liquid_depth: {} in, {}}}", gallons, depth_in, more),
       .years = 20}));
}

}  // namespace

TEST_CASE("18 inches of sludge and scum in 60 of liquid are at the mark, 2 inches are fine") {
  // Common practice, no published source: 18 in of 60 in is at the mark of 30 %, 2 in of 60 is
  // fine.
  const Scenario scenario = tank_site(1500, 60, 4, "pumped: 2024-05-01");
  const Date begin = on_day(2024, 5, 1), read = on_day(2026, 5, 1);
  const auto fitted_mark = [&](double sludge_in, double scum_in) -> std::optional<Date> {
    const Stretch s{Stretch::From::pumped, begin, {}, {{read, sludge_in * in, scum_in * in}}};
    const SolidsFit fit = fit_solids(scenario, {s});
    REQUIRE(fit.found());
    TankCourse course(with_solids(scenario, fit.factor), s);
    for (int d = 0; d < 20 * 365; ++d) {
      const Date date = course.next_date();
      if (criterion_met(Criterion::solids, course.next_day().readings, scenario.tank.limits)) {
        return date;
      }
    }
    return std::nullopt;
  };
  const auto at_mark = fitted_mark(15, 3);
  REQUIRE(at_mark);
  CHECK(std::abs((*at_mark - read).count()) <= 3);
  const auto fine = fitted_mark(2, 0);
  CHECK((!fine || (*fine - read).count() > 5 * 365));
}

TEST_CASE("a family of four pumps 1000 gallons every two to five years, the whole house modelled") {
  // Two to three years in practice, three to five as health authorities advise: common practice, no
  // published source.
  const Scenario scenario = tank_site(1000, 48, 4, "pumped: 2026-05-01");
  const auto mark = first_mark(scenario, emptied_tank(scenario), longest_interval_day);
  REQUIRE(mark);
  CHECK(mark->day > 2 * days_per_year);
  CHECK(mark->day < 5 * days_per_year);
}

TEST_CASE("intervals of Mancl 1984, the whole house modelled") {
  // Sludge and scum at 25 % of the volume stand for the table's premises: 24 h of retention and
  // half of the retained solids digested.
  const auto rows = csv_rows("pump_interval_years.csv");
  REQUIRE(rows.size() == 20);
  for (const auto& row : rows) {
    const double gallons = row.number("tank_gal"), people = row.number("people"),
                 years = row.number("years");
    Scenario scenario = tank_site(gallons, 48, people, "pumped: 2026-05-01");
    scenario.tank.limits = {.solids_share_of_depth = 0.25,
                            .sludge_clearance_m = -1.0,
                            .scum_clearance_m = -1.0,
                            .retention_day = 0.0};
    const auto mark = first_mark(scenario, emptied_tank(scenario), 40 * 365);
    REQUIRE(mark);
    check_row(fmt::format("{} gal, {} people: years", gallons, people), mark->day / days_per_year,
              years, 0.15, "Mancl 1984, J. Environ. Eng. 110(1):283-285");
  }
}

TEST_CASE("solids of a published household fit into the published range") {
  // US EPA 2002 (EPA/625/R-00/008), table 3-7, quoted from memory: 35 to 75 g per person and day.
  CHECK(published_least_kg_per_day == 0.035);
  CHECK(published_most_kg_per_day == 0.075);
  const double average = HouseholdParameters{}.tss_kg_per_person_day;
  CHECK(average > published_least_kg_per_day);
  CHECK(average < published_most_kg_per_day);
}

}  // namespace restwell::test
