// Quantities: exact factors, what is refused, what people read.
#if defined(__GNUC__) && !defined(__clang__)
// False alarm of g++ 12 inside <regex> when the sanitizers are on.
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif

#include "sim/units.hpp"

#include <cmath>
#include <limits>
#include <numbers>
#include <regex>

#include "tests/support/rows.hpp"

using namespace restwell;

namespace {

const std::string nist = "NIST SP 811, appendix B (1 in = 25.4 mm, 1 US gal = 231 in3, exact)";

double value(std::string_view text, Dimension d) {
  const auto parsed = parse_quantity(text, d);
  INFO(text);
  REQUIRE(std::holds_alternative<double>(parsed));
  return std::get<double>(parsed);
}

std::string error(std::string_view text, Dimension d) {
  const auto parsed = parse_quantity(text, d);
  INFO(text);
  REQUIRE(std::holds_alternative<UnitError>(parsed));
  return std::get<UnitError>(parsed).message;
}

}  // namespace

TEST_CASE("units become internal units") {
  struct Row {
    const char* text;
    Dimension d;
    double expected;
    std::string source;
  };
  const std::string exact = "derived: definition of the unit";
  const Row rows[] = {
      {"3 ft", Dimension::length, 0.9144, nist},
      {"48 in", Dimension::length, 1.2192, nist},
      {"7 ft 6 in", Dimension::length, 2.286, nist},
      {"-7 ft 6 in", Dimension::length, -2.286, nist},
      {"7ft 6in", Dimension::length, 2.286, nist},
      {"1/8 in", Dimension::length, 0.003175, nist},
      {"2 1/2 in", Dimension::length, 0.0635, nist},
      {"-1/4 in", Dimension::length, -0.00635, nist},
      {".5 m", Dimension::length, 0.5, exact},
      {"+5. cm", Dimension::length, 0.05, exact},
      {"2e3 mm", Dimension::length, 2, exact},
      {"1000 gal", Dimension::volume, 3.785411784, nist},
      {"1 ft3", Dimension::volume, 0.028316846592, nist},
      {"40 L", Dimension::volume, 0.040, exact},
      {"4.3 gal/day", Dimension::flow, 0.0162772706712, nist},
      {"1 gal/min", Dimension::flow, 5.45099296896, nist},
      {"1 gpm", Dimension::flow, 5.45099296896, nist},
      {"2 L/s", Dimension::flow, 172.8, exact},
      {"4 L/min", Dimension::flow, 5.76, exact},
      {"90 seconds", Dimension::duration, 1.0 / 960, exact},
      {"2 hours", Dimension::duration, 1.0 / 12, exact},
      {"3 weeks", Dimension::duration, 21, exact},
      {"3 years", Dimension::duration, 1095.75, "derived: Julian year of 365.25 days"},
      {"10 min/inch", Dimension::percolation, 0.273403324584, nist},
      {"1 min/cm", Dimension::percolation, 0.0694444444444, exact},
      {"2 in/day", Dimension::conductivity, 0.0508, nist},
      {"1 in/hour", Dimension::conductivity, 0.6096, nist},
      {"24.96 cm/day", Dimension::conductivity, 0.2496, exact},
      {"5 m/hour", Dimension::conductivity, 120, exact},
      {"50 g/day", Dimension::mass_per_day, 0.05, exact},
      {"1 lb/day", Dimension::mass_per_day, 0.45359237, "NIST SP 811, appendix B"},
      {"50 degF", Dimension::temperature, 10, "derived: (F - 32) 5/9"},
      {"12 degC", Dimension::temperature, 12, exact},
      {"9 degF", Dimension::temperature_difference, 5, "derived: 5/9 per degF"},
      {"180 deg", Dimension::angle, std::numbers::pi, exact},
      {"1/4 turn", Dimension::angle, std::numbers::pi / 2, exact},
      {"30 %", Dimension::percent, 0.3, exact},
      {"30%", Dimension::percent, 0.3, exact},
      {"12 1/m", Dimension::inverse_length, 12, exact},
      {"0.12 1/cm", Dimension::inverse_length, 12, exact},
      {"6 day m2/kg", Dimension::clogging, 6, exact},
      {"0.6 mm2/s", Dimension::diffusivity, 0.05184, exact},
      {"2 %/day", Dimension::rate, 0.02, exact},
      {"3.6525 1/year", Dimension::rate, 0.01, exact},
      {"60 mg/L", Dimension::concentration, 0.06, exact},
  };
  for (const Row& r : rows)
    test::check_row(r.text, value(r.text, r.d), r.expected, 1e-11, r.source);
}

TEST_CASE("what is no quantity is refused with the accepted units") {
  CHECK(error("3", Dimension::length) == "needs a unit, e.g. 3 ft; accepted: ft, in, m, cm, mm");
  CHECK(error("3 furlongs", Dimension::length) ==
        "unknown unit 'furlongs'; accepted: ft, in, m, cm, mm");
  CHECK(error("3 gal", Dimension::length) ==
        "'gal' measures volume, not length; accepted: ft, in, m, cm, mm");
  CHECK(error("6' 3\"", Dimension::length) ==
        "unknown unit '' 3\"'; accepted: ft, in, m, cm, mm; feet and inches as 6 ft 3 in");
  CHECK(error("1-1/2 in", Dimension::length) ==
        "unknown unit '-1/2 in'; accepted: ft, in, m, cm, mm; a fraction after a blank, 1 1/2 in");
  CHECK(error("30", Dimension::percent) == "needs a unit, e.g. 30 %; accepted: %");
  for (const char* text :
       {"nan ft", "inf ft", ".nan", "-.inf", "ft", "", " ", "one ft", "- ft", ". ft", "0x10 ft"})
    CHECK_FALSE(error(text, Dimension::length).empty());
  for (const char* text : {"1e999 ft", "1/0 ft", "1e308 1/ft"})
    CHECK_FALSE(error(text, Dimension::length).empty());
  CHECK(error("1e999 ft", Dimension::length) == "must be a finite number");
  CHECK(error("1e308 1/cm", Dimension::inverse_length) == "must be a finite number");
  CHECK(error("1,000 gal", Dimension::volume) == "write the number without a comma, e.g. 1000 gal");
  for (const char* text : {"7 ft 6", "7 ft 6 cm", "7 m 6 in", "7 in 6 ft", "7 ft 6 in 2 in"})
    CHECK_FALSE(error(text, Dimension::length).empty());
}

TEST_CASE("the pattern for editors accepts what the reader accepts") {
  const char* texts[] = {"3 ft",        "3",           "7 ft 6 in",   "7ft6in", "7 ft  6 in",
                         "1/8 in",      "2 1/2 in",    "1e3 gal",     "12 1/m", "1/m",
                         "30%",         "%",           "-3 ft",       "+.5 m",  "5. m",
                         ". m",         "1,5 m",       "3 ft 2",      " 3 ft ", "3 Ft",
                         "0.02 1/day",  "6 day m2/kg", "nan ft",      "1e m",   "2 1/2 ft 3 in",
                         "3 ft 1/2 in", "7 m 6 in",    "10 min/inch", "1e3e3 m"};
  for (const Dimension d : all_dimensions()) {
    const std::regex pattern(quantity_pattern(d));
    CHECK(std::regex_match(quantity_example(d), pattern));
    for (const char* text : texts) {
      INFO(dimension_name(d) << ": " << text);
      CHECK(std::regex_match(text, pattern) ==
            std::holds_alternative<double>(parse_quantity(text, d)));
    }
  }
}

TEST_CASE("a value is shown in its writer's unit") {
  CHECK(quantity_in_unit(0.9144, Dimension::length, "ft") == "3 ft");
  CHECK(quantity_in_unit(10, Dimension::temperature, "degF") == "50 degF");
  CHECK(quantity_in_unit_of(3.048, Dimension::length, "7 ft 6 in") == "10 ft");
  CHECK(quantity_in_unit_of(3.048, Dimension::length, "2 1/2 in") == "120 in");
  CHECK_THROWS_AS(quantity_in_unit(1, Dimension::length, "gal"), std::invalid_argument);
}

TEST_CASE("numbers for people have sensible digits") {
  struct Row {
    double internal;
    Quantity q;
    const char* us;
    const char* metric;
  };
  // derived: exact factors as above, rounded by hand
  const Row rows[] = {
      {2.1336, Quantity::level, "7.0 ft", "2.13 m"},
      {-0.00001, Quantity::depth, "0.0 ft", "0.00 m"},
      {0.003175, Quantity::small_length, "0.125 in", "3.17 mm"},
      {3.785411784, Quantity::volume, "1,000 gal", "3,785 L"},
      {4673.2, Quantity::volume, "1,234,529 gal", "4,673,200 L"},
      {0.6889449, Quantity::flow, "182 gal/day", "689 L/day"},
      {5.76, Quantity::minute_flow, "1.06 gal/min", "4.00 L/min"},
      {0.0407458, Quantity::flux, "1.00 gal/day/ft2", "40.7 L/day/m2"},
      {0.25, Quantity::conductivity, "9.84 in/day", "25.0 cm/day"},
      {0.2734033, Quantity::percolation, "10.0 min/inch", "3.94 min/cm"},
      {10, Quantity::area, "108 ft2", "10.0 m2"},
      {100, Quantity::mass, "220 lb", "100 kg"},
      {0.2, Quantity::mass_per_year, "161 lb/year", "73.0 kg/year"},
      // derived: 0.0005 kg/day x 365.25 = 0.18 kg, 0.40 lb; a hundredth of it is nothing to read
      {0.0005, Quantity::mass_per_year, "0.4 lb/year", "0.2 kg/year"},
      {0.000005, Quantity::mass_per_year, "0 lb/year", "0 kg/year"},
      {0.06, Quantity::concentration, "60.0 mg/L", "60.0 mg/L"},
      {0.2, Quantity::resistance, "0.200 days", "0.200 days"},
      {0.0, Quantity::volume, "0 gal", "0 L"},
  };
  for (const Row& r : rows) {
    CHECK(show_text(r.internal, r.q, UnitSystem::us) == r.us);
    CHECK(show_text(r.internal, r.q, UnitSystem::metric) == r.metric);
  }
  CHECK(
      show(std::numeric_limits<double>::infinity(), Quantity::resistance, UnitSystem::us).number ==
      "unlimited");
  const ColumnUnit column = column_unit(Quantity::flow, UnitSystem::us);
  CHECK(column.label == "gal/day");
  CHECK(column.factor * 0.003785411784 == Approx(1).epsilon(1e-12));
}
