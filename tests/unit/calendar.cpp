// All dates: the Gregorian calendar (leap years: every fourth, not 1900, 2100, 2200, but 2000).
#include "sim/calendar.hpp"

#include <catch2/catch.hpp>

using namespace restwell;
using namespace std::chrono;

TEST_CASE("day of the year counts from 1, with the leap day where there is one") {
  CHECK(day_of_year(sys_days(2026y / 1 / 1)) == 1.0);
  CHECK(day_of_year(sys_days(2026y / 2 / 28)) == 59.0);
  CHECK(day_of_year(sys_days(2026y / 3 / 1)) == 60.0);
  CHECK(day_of_year(sys_days(2026y / 12 / 31)) == 365.0);
  CHECK(day_of_year(sys_days(2028y / 2 / 29)) == 60.0);
  CHECK(day_of_year(sys_days(2028y / 3 / 1)) == 61.0);
  CHECK(day_of_year(sys_days(2028y / 12 / 31)) == 366.0);
  for (const int plain : {1900, 2100, 2200}) {
    CHECK(day_of_year(sys_days(year(plain) / 12 / 31)) == 365.0);
  }
  CHECK(day_of_year(sys_days(2000y / 12 / 31)) == 366.0);
}

TEST_CASE("days of a run are calendar days, over leap days and centuries") {
  CHECK(iso_date(date_of(sys_days(2028y / 2 / 28), 1)) == "2028-02-29");
  CHECK(iso_date(date_of(sys_days(2026y / 5 / 1), 365)) == "2027-05-01");
  CHECK(iso_date(date_of(sys_days(2027y / 5 / 1), 366)) == "2028-05-01");
  CHECK(iso_date(date_of(sys_days(2100y / 2 / 28), 1)) == "2100-03-01");
  // 400 years have 146 097 days.
  CHECK(iso_date(date_of(sys_days(1900y / 1 / 1), 146097)) == "2300-01-01");
  CHECK(iso_date(date_of(sys_days(2026y / 5 / 1), 0)) == "2026-05-01");
}

TEST_CASE("dates in words") {
  CHECK(iso_date(sys_days(2026y / 5 / 1)) == "2026-05-01");
  CHECK(iso_date(sys_days(1900y / 12 / 9)) == "1900-12-09");
  CHECK(month_and_year(sys_days(2026y / 1 / 31)) == "January 2026");
  CHECK(month_and_year(sys_days(2100y / 12 / 1)) == "December 2100");
}
