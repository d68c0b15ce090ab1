#include "sim/calendar.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "models/constants.hpp"

namespace restwell {
namespace {

constexpr std::array<const char*, 12> month_names = {
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December"};

}  // namespace

int days_of_years(double years) { return static_cast<int>(std::lround(years * days_per_year)); }

Date months_later(Date from, int months) {
  const std::chrono::year_month_day ymd(from);
  const auto month = ymd.year() / ymd.month() + std::chrono::months(months);
  const std::chrono::year_month_day same = month / ymd.day();
  return same.ok() ? Date(same) : Date(month / std::chrono::last);
}

Date intervals_later(Date from, double interval_day, int times) {
  const double months = interval_day * 12.0 / days_per_year;
  constexpr double same = 1e-6;
  if (months > 0.5 && std::abs(months - std::round(months)) < same) {
    return months_later(from, static_cast<int>(std::lround(months)) * times);
  }
  return from + std::chrono::days(static_cast<int>(std::ceil(interval_day * times - same)));
}

int days_to_year_end(Date start, int year, int run_days) {
  const int end = days_between(start, months_later(start, 12 * year));
  return end + 1 >= run_days ? run_days : end;
}

double day_of_year(Date date) {
  const std::chrono::year_month_day ymd(date);
  const Date new_year = std::chrono::sys_days(ymd.year() / std::chrono::January / 1);
  return static_cast<double>((date - new_year).count() + 1);
}

std::string iso_date(Date date) {
  const std::chrono::year_month_day ymd(date);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(ymd.year()),
                     static_cast<unsigned>(ymd.month()), static_cast<unsigned>(ymd.day()));
}

std::string spoken_date(Date date) {
  const std::chrono::year_month_day ymd(date);
  return fmt::format("{} {}, {}", month_names[static_cast<unsigned>(ymd.month()) - 1],
                     static_cast<unsigned>(ymd.day()), static_cast<int>(ymd.year()));
}

std::string month_and_year(Date date) {
  const std::chrono::year_month_day ymd(date);
  return fmt::format("{} {}", month_names[static_cast<unsigned>(ymd.month()) - 1],
                     static_cast<int>(ymd.year()));
}

std::string short_month_and_year(Date date) {
  const std::chrono::year_month_day ymd(date);
  return fmt::format("{:.3} {}", month_names[static_cast<unsigned>(ymd.month()) - 1],
                     static_cast<int>(ymd.year()));
}

}  // namespace restwell
