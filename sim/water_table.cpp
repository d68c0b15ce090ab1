#include "sim/water_table.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "sim/units.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr int common_year = 2023;

double day_of_high(const WaterTable& table) {
  return day_of_year(std::chrono::year{common_year} / std::chrono::month{table.high.month} /
                     std::chrono::day{table.high.day});
}

}  // namespace

double table_depth_m(const WaterTable& table, Date date) {
  const auto& all = table.readings;
  if (all.empty()) {
    if (table.amplitude_m == 0.0) return table.mean_m;
    return seasonal_depth_m(table.mean_m, table.amplitude_m, day_of_high(table), day_of_year(date));
  }
  const auto next = std::ranges::upper_bound(all, date, {}, &WaterTable::Reading::date);
  if (next == all.begin()) return next->depth_m;
  const auto last = std::prev(next);
  if (next == all.end()) return last->depth_m;
  return std::lerp(
      last->depth_m, next->depth_m,
      static_cast<double>(days_between(last->date, date)) / days_between(last->date, next->date));
}

bool is_changing(const WaterTable& table) {
  return table.amplitude_m != 0.0 || table.readings.size() > 1;
}

double shallowest_table_m(const WaterTable& table) {
  if (table.readings.empty()) return table.mean_m - table.amplitude_m;
  return std::ranges::min(table.readings, {}, &WaterTable::Reading::depth_m).depth_m;
}

double mean_table_m(const WaterTable& table) {
  const auto& all = table.readings;
  if (all.empty()) return table.mean_m;
  if (all.size() == 1) return all.front().depth_m;
  double sum = 0.0;
  for (std::size_t i = 1; i < all.size(); ++i) {
    sum += 0.5 * (all[i - 1].depth_m + all[i].depth_m) * days_between(all[i - 1].date, all[i].date);
  }
  return sum / days_between(all.front().date, all.back().date);
}

std::string table_words(const WaterTable& table, UnitSystem units) {
  const auto shown = [&](double m) { return show_text(m, Quantity::level, units); };
  const auto between = [&](double least_m, double most_m) {
    const std::string least = shown(least_m), most = shown(most_m);
    return (least == most ? least : least + " to " + most) + " below ground";
  };
  if (!table.readings.empty()) {
    const auto [least, most] =
        std::ranges::minmax(table.readings, {}, &WaterTable::Reading::depth_m);
    return fmt::format("{} by {}", between(least.depth_m, most.depth_m),
                       counted(static_cast<int>(table.readings.size()), "reading"));
  }
  if (table.amplitude_m == 0.0) return shown(table.mean_m) + " below ground";
  return fmt::format("{} through the year, highest on {:02}-{:02}",
                     between(table.mean_m - table.amplitude_m, table.mean_m + table.amplitude_m),
                     table.high.month, table.high.day);
}

}  // namespace restwell
