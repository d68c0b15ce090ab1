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

TEST_CASE("months go by the calendar, and end where the month does") {
  const auto later = [](Date from, int months) { return iso_date(months_later(from, months)); };
  CHECK(later(2026y / 5 / 1, 12) == "2027-05-01");
  CHECK(later(2026y / 8 / 31, 6) == "2027-02-28");
  CHECK(later(2028y / 2 / 29, 12) == "2029-02-28");
  CHECK(later(2028y / 2 / 29, 48) == "2032-02-29");
  CHECK(later(2026y / 11 / 30, 2) == "2027-01-30");
}

TEST_CASE("years, half years and months come on one day, other intervals when they are over") {
  constexpr double year = 365.25;
  const auto after = [](Date from, double interval_day, int times) {
    return iso_date(intervals_later(from, interval_day, times));
  };
  const Date leap = 2028y / 2 / 29;
  CHECK(after(leap, year, 1) == "2029-02-28");
  CHECK(after(leap, year, 4) == "2032-02-29");
  CHECK(after(2025y / 5 / 1, 3 * year, 2) == "2031-05-01");
  CHECK(after(2026y / 5 / 1, year / 2, 3) == "2027-11-01");
  CHECK(after(2026y / 5 / 1, year / 12, 25) == "2028-06-01");
  CHECK(after(2026y / 5 / 1, 10, 2) == "2026-05-21");
  CHECK(after(2026y / 5 / 1, 10.4, 1) == "2026-05-12");
  CHECK(after(2026y / 5 / 1, 10.4, 5) == "2026-06-22");
}

TEST_CASE("a year of the run has the calendar's days, and the run's end ends its last") {
  CHECK(days_to_year_end(2026y / 5 / 1, 0, 7305) == 0);
  CHECK(days_to_year_end(2026y / 5 / 1, 1, 7305) == 365);
  CHECK(days_to_year_end(2027y / 5 / 1, 1, 7305) == 366);
  CHECK(days_to_year_end(2026y / 5 / 1, 20, 7305) == 7305);
  CHECK(days_to_year_end(2027y / 5 / 1, 1, 365) == 365);
  // Three years of 365.25 days, without a leap day between.
  CHECK(days_to_year_end(2028y / 5 / 1, 3, 1096) == 1096);
}

TEST_CASE("dates in words") {
  CHECK(iso_date(sys_days(2026y / 5 / 1)) == "2026-05-01");
  CHECK(iso_date(sys_days(1900y / 12 / 9)) == "1900-12-09");
  CHECK(month_and_year(sys_days(2026y / 1 / 31)) == "January 2026");
  CHECK(month_and_year(sys_days(2100y / 12 / 1)) == "December 2100");
}
