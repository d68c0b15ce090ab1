#include "sim/calendar.hpp"

#include <fmt/core.h>

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
