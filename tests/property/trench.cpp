// What must hold for any drain field, alone and beside old pits.
#include <catch2/catch.hpp>

#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::test;

namespace {

struct FieldText {
  double length_ft = 60.0, width_ft = 2.0, gravel_in = 12.0;
  int number = 2;
  std::string soil = "{perc: 20 min/inch}";
  double years = 6;
};

// One pipe to a drain field that comes to the surface.
Scenario field_alone(const FieldText& f) {
  return scenario_of(fmt::format(R"(name: Test field (invented)
start: 2026-05-01
years: {}
household: {{occupants: 5}}
tank: {{volume: 1000 gal, liquid_depth: 48 in, pumped: 2026-05-01, pump_out: {{when: solids}}}}
single_outlet: {{to: field}}
trenches:
  - {{name: field, length: {} ft, width: {} ft, gravel_depth: {} in, number: {}, when_full: surface}}
soil: {}
)",
                                 f.years, f.length_ft, f.width_ft, f.gravel_in, f.number, f.soil));
}

// Two old pits and a field on one box; what is wanted at the box, and the plan.
Scenario with_field(const std::string& field_invert, const std::string& plan = "") {
  std::string text = two_pits({.start = "in_service: 12 years", .years = 4});
  text.replace(text.find("pits:\n"), 6,
               "    - {name: C, to: field, invert: " + field_invert + "}\npits:\n");
  text.insert(text.find("soil:"),
              "trenches:\n  - {name: field, length: 50 ft, width: 2 ft, gravel_depth: 12 in, "
              "number: 2, in_service: 3 years}\n");
  return scenario_of(text + plan);
}

int day_full(const Scenario& s) {
  return day_or_beyond(run_expected(s).cases[0].pits[0].first_full);
}

// Dates of a family of fields must come later and later, or stay; and the family reaches from
// fields that fill to fields that last.
template <typename Make>
void check_never_earlier(const std::vector<double>& values, const Make& make) {
  int last = -1, first = 0;
  for (const double v : values) {
    const int day = day_full(field_alone(make(v)));
    INFO("value " << v << ": full " << day << ", before " << last);
    CHECK(day >= last);
    if (last < 0) first = day;
    last = day;
  }
  CHECK(first < 1000000);
  CHECK(last > first);
}

}  // namespace

TEST_CASE("a longer field, wider, deeper, or of more trenches never fills earlier") {
  check_never_earlier({15, 20, 30, 50, 100}, [](double v) { return FieldText{.length_ft = v}; });
  check_never_earlier({1, 1.5, 2, 3, 5},
                      [](double v) { return FieldText{.length_ft = 25, .width_ft = v}; });
  check_never_earlier({4, 8, 12, 24, 36},
                      [](double v) { return FieldText{.length_ft = 25, .gravel_in = v}; });
  check_never_earlier({1, 2, 4, 6}, [](double v) {
    return FieldText{.length_ft = 20, .number = static_cast<int>(v)};
  });
}

TEST_CASE("a slower soil never lets a field fill later") {
  int last = 2000000;
  for (const double perc : {5.0, 10.0, 20.0, 45.0}) {
    const int day = day_full(
        field_alone({.length_ft = 30, .soil = fmt::format("{{perc: {} min/inch}}", perc)}));
    CHECK(day <= last);
    last = day;
  }
  CHECK(last < 1000000);
}

TEST_CASE("water and solids balances close with a drain field, alone, on a box, and under a plan") {
  CHECK(worst_balance_error(run_expected(field_alone({.length_ft = 15}))) < 1e-9);
  CHECK(worst_balance_error(run_expected(with_field("0 in"))) < 1e-9);
  CHECK(worst_balance_error(
            run_expected(with_field("0 in",
                                    "plan:\n  - {date: 2026-08-01, outlet: A, raised: 1 in}\n"
                                    "  - {date: 2026-08-01, outlet: B, capped: yes}\n"
                                    "  - {date: 2027-08-01, outlet: C, raised: 1 in}\n"))) < 1e-9);
}

TEST_CASE("a field set lower in the box gets more of the water, and old pits stand lower for it") {
  const RunResult level = run_expected(with_field("0 in"));
  const RunResult lower = run_expected(with_field("-1/2 in"));
  CHECK(lower.free_share[2] > level.free_share[2]);
  double sum_level = 0.0, sum_lower = 0.0;
  for (int d = 0; d < level.days(); ++d) {
    sum_level += level.cases[0].days[0][static_cast<std::size_t>(d)].level_m;
    sum_lower += lower.cases[0].days[0][static_cast<std::size_t>(d)].level_m;
  }
  CHECK(sum_lower < sum_level);
}

TEST_CASE("halving the rings and steps moves the date a field fills by less than 2 %") {
  // A shallow field is full for hours on the week's busiest day: a date can move by whole weeks.
  for (const double length_ft : {25.0, 40.0}) {
    const Scenario coarse = field_alone({.length_ft = length_ft, .years = 10});
    Scenario fine = coarse;
    fine.limits.ring_height_m /= 2;
    fine.limits.pit_step_day /= 2;
    fine.limits.surge_head_change /= 2;
    const int a = day_full(coarse), b = day_full(fine);
    REQUIRE(a < 1000000);
    CHECK(a == Approx(b).epsilon(0.02).margin(7.0));
  }
}
