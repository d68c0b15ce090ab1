// Dates of a run: days since the start, parts of a year.
#pragma once

#include <chrono>
#include <string>

namespace restwell {

using Date = std::chrono::sys_days;

[[nodiscard]] inline Date date_of(Date start, int day_index) {
  return start + std::chrono::days(day_index);
}

// From one date to a later one; negative if it is the earlier one.
[[nodiscard]] inline int days_between(Date from, Date to) {
  return static_cast<int>((to - from).count());
}
// Whole days of so many years, 365.25 days each.
[[nodiscard]] int days_of_years(double years);
// The same day of the month, or the month's last: a year after 02-29 comes 02-28.
[[nodiscard]] Date months_later(Date from, int months);
// So many intervals later: by the calendar if they are whole months, else the day they are over.
[[nodiscard]] Date intervals_later(Date from, double interval_day, int times);
// Days from the start to the end of its so-manieth year by the calendar, at most those of the run.
// A run is so many times 365.25 days long: a day left over belongs to its last year.
[[nodiscard]] int days_to_year_end(Date start, int year, int run_days);

// 1..366.
[[nodiscard]] double day_of_year(Date date);
// "2026-05-01".
[[nodiscard]] std::string iso_date(Date date);
// "March 5, 2026".
[[nodiscard]] std::string spoken_date(Date date);
// "March 2026".
[[nodiscard]] std::string month_and_year(Date date);
// "Mar 2026".
[[nodiscard]] std::string short_month_and_year(Date date);

}  // namespace restwell
