// Dates of a run: days since the start, parts of a year.
#pragma once

#include <chrono>
#include <string>

namespace restwell {

using Date = std::chrono::sys_days;

[[nodiscard]] inline Date date_of(Date start, int day_index) {
  return start + std::chrono::days(day_index);
}

// 1..366.
[[nodiscard]] double day_of_year(Date date);
// "2026-05-01".
[[nodiscard]] std::string iso_date(Date date);
// "March 2026".
[[nodiscard]] std::string month_and_year(Date date);
// "Mar 2026".
[[nodiscard]] std::string short_month_and_year(Date date);

}  // namespace restwell
