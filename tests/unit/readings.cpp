// Readings from words, and the household's solids from readings.
#include "sim/readings.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;
using namespace std::chrono_literals;

namespace {

constexpr double in = 0.0254, ft = 0.3048;  // exact, 1959

Date on_day(int y, unsigned m, unsigned d) {
  return std::chrono::sys_days(std::chrono::year(y) / std::chrono::month(m) / std::chrono::day(d));
}

TankReading read(const std::string& text) {
  const auto parsed = parse_reading(text);
  INFO(text);
  if (const auto* problems = std::get_if<std::vector<std::string>>(&parsed)) {
    FAIL(problems->front());
  }
  return std::get<TankReading>(parsed);
}

// All problems of a text in one line.
std::string problems(const std::string& text) {
  const auto parsed = parse_reading(text);
  INFO(text);
  REQUIRE(std::holds_alternative<std::vector<std::string>>(parsed));
  std::string all;
  for (const std::string& p : std::get<std::vector<std::string>>(parsed)) all += p + "\n";
  return all;
}

Scenario four_people(const std::string& tank = "pumped: 2024-05-01") {
  return scenario_of(
      one_pit({.tank = "{volume: 1000 gal, liquid_depth: 48 in, " + tank + "}", .years = 20}));
}

Stretch since(Date begin, const std::vector<TankReading>& readings,
              Stretch::From from = Stretch::From::pumped) {
  return {from, begin, {}, readings};
}

// What the tank would show on dates if the household sent `factor` times the solids, every inch
// cut to `parts` parts as a stick does.
std::vector<TankReading> measured(const Scenario& scenario, const Stretch& begun, double factor,
                                  const std::vector<Date>& dates) {
  Stretch asked = begun;
  asked.readings.clear();
  for (const Date d : dates) asked.readings.push_back({d, 0.0, 0.0});
  std::vector<TankReading> readings;
  for (const ModelledReading& m : modelled_readings(scenario, {asked}, factor)) {
    readings.push_back({m.measured.date, m.sludge_m, m.scum_m});
  }
  return readings;
}

}  // namespace

TEST_CASE("a reading is a date, sludge and scum, in any length unit and any order") {
  const TankReading r = read("2026-05-01 sludge=14in scum=3in");
  CHECK(r.date == on_day(2026, 5, 1));
  CHECK(r.sludge_m == Approx(14 * in).epsilon(1e-12));
  CHECK(r.scum_m == Approx(3 * in).epsilon(1e-12));
  CHECK(r.total_m() == Approx(17 * in).epsilon(1e-12));
  CHECK(read("2026-05-01 scum=3 in sludge=1 ft 2 in").sludge_m == Approx(14 * in).epsilon(1e-12));
  CHECK(read("2026-05-01 sludge=1 ft 2 in, scum=0in").scum_m == 0.0);
  CHECK(read("2026-05-01 sludge=35 cm scum=2.5cm").sludge_m == Approx(0.35).epsilon(1e-12));
  CHECK(read("  2026-05-01\tsludge=0.4m   scum=75mm ").scum_m == Approx(0.075).epsilon(1e-12));
  CHECK(read("2026-05-01 sludge=2 1/2 ft scum=1/2 in").sludge_m == Approx(2.5 * ft).epsilon(1e-12));
}

TEST_CASE("what is wrong with a reading is said, all at once") {
  using Catch::Matchers::Contains;
  CHECK_THAT(problems(""), Contains("must begin with its date, as 2026-05-01"));
  CHECK_THAT(problems("sludge=14in scum=3in"), Contains("must begin with its date"));
  CHECK_THAT(problems("2026-13-01 sludge=14in scum=3in"), Contains("there is no day 2026-13-01"));
  CHECK_THAT(problems("5/1/2026 sludge=14in scum=3in"), Contains("must be a date as 2026-05-01"));
  CHECK_THAT(problems("2026-05-01 sludge=14 scum=3in"), Contains("sludge needs a unit"));
  CHECK_THAT(problems("2026-05-01 sludge=14 gal scum=3in"), Contains("sludge"));
  CHECK_THAT(problems("2026-05-01 sludge= scum=3in"), Contains("got nothing"));
  CHECK_THAT(problems("2026-05-01 sludge=14in"), Contains("needs scum=..., as scum=3in (scum=0in"));
  CHECK_THAT(problems("2026-05-01 sluge=14in scum=3in"),
             Contains("unknown key sluge; accepted: sludge, scum (did you mean sludge?)"));
  CHECK_THAT(problems("2026-05-01 sludge=14in sludge=2in scum=3in"), Contains("stands twice"));
  CHECK_THAT(problems("2026-05-01 about sludge=14in scum=3in"),
             Contains("about is not understood"));
  CHECK_THAT(problems("2026-05-01 sludge=-4in scum=3in"), Contains("sludge"));
  const std::string all = problems("soon sludge=14 scum=nan in depth=3in");
  CHECK_THAT(all, Contains("the date must be a date as 2026-05-01, got soon"));
  CHECK_THAT(all, Contains("sludge needs a unit"));
  CHECK_THAT(all, Contains("scum"));
  CHECK_THAT(all, Contains("unknown key depth"));
}

TEST_CASE("the words after --reading are joined as far as they are a reading's") {
  using Words = std::vector<std::string>;
  CHECK(join_reading_words(
            {"pump", "a.yaml", "--reading", "2026-05-01", "sludge=14in", "scum=3in"}) ==
        Words{"pump", "a.yaml", "--reading", "2026-05-01 sludge=14in scum=3in"});
  CHECK(join_reading_words({"pump", "--reading", "2026-05-01", "sludge=1", "ft", "2", "in",
                            "scum=1/2", "in", "a.yaml", "--json"}) ==
        Words{"pump", "--reading", "2026-05-01 sludge=1 ft 2 in scum=1/2 in", "a.yaml", "--json"});
  CHECK(join_reading_words({"--reading=2026-05-01", "sludge=1in", "scum=0in", "--reading",
                            "2026-05-01 sludge=14in scum=3in", "b.yaml"}) ==
        Words{"--reading=2026-05-01 sludge=1in scum=0in", "--reading",
              "2026-05-01 sludge=14in scum=3in", "b.yaml"});
  CHECK(join_reading_words({"pump", "--reading"}) == Words{"pump", "--reading"});
  CHECK(join_reading_words({"run", "a.yaml", "sludge=1in"}) ==
        Words{"run", "a.yaml", "sludge=1in"});
}

TEST_CASE("the fit recovers a known rate of solids from readings made with it") {
  const Scenario scenario = four_people();
  const Stretch pumped = since(on_day(2024, 5, 1), {});
  for (const double factor : {0.6, 1.0, 1.5}) {
    INFO(factor);
    for (const std::vector<Date>& dates :
         {std::vector<Date>{on_day(2026, 5, 1)},
          std::vector<Date>{on_day(2024, 11, 3), on_day(2025, 8, 2), on_day(2026, 5, 1)},
          std::vector<Date>{on_day(2027, 1, 10)}}) {
      Stretch s = pumped;
      s.readings = measured(scenario, pumped, factor, dates);
      const SolidsFit fit = fit_solids(scenario, {s});
      CHECK(fit.factor == Approx(factor).epsilon(1e-3));
      CHECK(fit.worst_misfit_m() < 1e-4);
      CHECK(fit.found());
    }
  }
}

TEST_CASE("without a pump-out the growth between two readings tells the rate") {
  const Scenario scenario = four_people("new: yes");
  const Stretch begun{
      Stretch::From::reading, on_day(2024, 5, 1), {on_day(2024, 5, 1), 5 * in, 1 * in}, {}};
  Stretch s = begun;
  s.readings = measured(scenario, begun, 1.3, {on_day(2026, 5, 1)});
  CHECK(s.readings.front().total_m() > 6 * in);
  CHECK(fit_solids(scenario, {s}).factor == Approx(1.3).epsilon(1e-3));
}

TEST_CASE("a new tank tells a rate too, and a longer story with two fillings") {
  const Scenario scenario = four_people("new: yes");
  Stretch fresh = since(on_day(2026, 5, 1), {}, Stretch::From::brand_new);
  fresh.readings = measured(scenario, fresh, 0.8, {on_day(2027, 5, 1)});
  Stretch after = since(on_day(2027, 6, 1), {});
  after.readings = measured(scenario, after, 0.8, {on_day(2028, 6, 1)});
  CHECK(fit_solids(scenario, {fresh, after}).factor == Approx(0.8).epsilon(1e-3));
}

TEST_CASE("several readings are met by least squares, between the rates of each alone") {
  const Scenario scenario = four_people();
  const Stretch pumped = since(on_day(2024, 5, 1), {});
  const std::vector<Date> dates = {on_day(2025, 5, 1), on_day(2026, 5, 1)};
  Stretch first = pumped, second = pumped, both = pumped;
  first.readings = {measured(scenario, pumped, 0.8, dates)[0]};
  second.readings = {measured(scenario, pumped, 1.4, dates)[1]};
  both.readings = {first.readings[0], second.readings[0]};
  const SolidsFit fit = fit_solids(scenario, {both});
  CHECK(fit.factor > 0.8);
  CHECK(fit.factor < 1.4);
  // derived: the definition of least squares. Any other rate misses by more.
  const auto squares = [&](double factor) {
    double sum = 0.0;
    for (const ModelledReading& m : modelled_readings(scenario, {both}, factor)) {
      sum += std::pow(m.total_m() - m.measured.total_m(), 2);
    }
    return sum;
  };
  const double best = squares(fit.factor);
  for (const double other : {0.98, 1.02}) CHECK(squares(other * fit.factor) > best);
}

TEST_CASE("a rate that does not exist is said, not invented") {
  const Scenario scenario = four_people();
  const Date begin = on_day(2024, 5, 1);
  CHECK(fit_solids(scenario, {since(begin, {{on_day(2026, 5, 1), 0.0, 0.0}})}).at_least);
  CHECK(fit_solids(scenario, {since(begin, {{begin + 1 * std::chrono::days(3), 40 * in, 6 * in}})})
            .at_most);
  CHECK_THROWS_AS(fit_solids(scenario, {since(begin, {})}), std::logic_error);
}

TEST_CASE("a course before the start and after it is the same tank as a run's") {
  const Scenario scenario = four_people();
  TankCourse course(scenario, since(on_day(2024, 5, 1), {}));
  while (course.next_date() < scenario.start) course.next_day();
  // The start state of a run takes the same way with finer surge steps.
  const TankState start = tank_at_start(scenario);
  const Layers expected = layers(scenario.tank.tank, scenario.tank_parameters, start.solids);
  CHECK(course.layers().sludge_first_m == Approx(expected.sludge_first_m).epsilon(2e-3));
  CHECK(course.layers().scum_first_m == Approx(expected.scum_first_m).epsilon(2e-3));
  const RunResult r = run_expected(scenario);
  for (int d = 0; d < 400; ++d) course.next_day();
  CHECK(course.layers().sludge_first_m == Approx(r.tank[399].layers.sludge_first_m).epsilon(2e-3));
}
