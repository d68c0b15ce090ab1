#include "plots/axis.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstddef>

namespace restwell::plots {
namespace {

using std::chrono::days;
using std::chrono::sys_days;
using std::chrono::year_month_day;

constexpr double minute_s = 60.0;
constexpr double hour_s = 3600.0;
constexpr double day_s = 86400.0;

double seconds_of(const year_month_day& date) {
  return day_s * static_cast<double>(sys_days(date).time_since_epoch().count());
}

year_month_day date_of(double seconds) {
  return year_month_day(sys_days(days(static_cast<int>(std::floor(seconds / day_s)))));
}

// Digits at text[from, from + count), or nothing.
std::optional<int> digits(std::string_view text, std::size_t from, std::size_t count) {
  if (from + count > text.size()) return {};
  int value = 0;
  for (const char c : text.substr(from, count)) {
    if (c < '0' || c > '9') return {};
    value = 10 * value + (c - '0');
  }
  return value;
}

std::string number_label(double value, double step) {
  const double size = std::max(std::abs(value), step);
  if (size >= 1e7 || step < 1e-4) return fmt::format("{:g}", value);
  const int decimals = std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9)));
  return fmt::format("{:.{}f}", value + 0.0, decimals);
}

std::string clock_label(double seconds) {
  const double in_day = seconds - day_s * std::floor(seconds / day_s);
  const auto minutes = static_cast<int>(std::lround(in_day / minute_s));
  return fmt::format("{:02d}:{:02d}", minutes / 60, minutes % 60);
}

std::vector<Tick> month_ticks(double low, double high, int months) {
  std::vector<Tick> ticks;
  const year_month_day first = date_of(low);
  // Counted in months from year 0, so that steps fall on round years and on January.
  int month = 12 * static_cast<int>(first.year()) + static_cast<int>(unsigned(first.month())) - 1;
  month = month / months * months;
  for (;; month += months) {
    const year_month_day date(std::chrono::year(month / 12),
                              std::chrono::month(static_cast<unsigned>(month % 12 + 1)),
                              std::chrono::day(1));
    const double at = seconds_of(date);
    if (at > high) return ticks;
    if (at < low) continue;
    ticks.push_back({at, to_iso(at, false).substr(0, months % 12 == 0 ? 4 : 7)});
  }
}

std::vector<Tick> clock_ticks(double low, double high, double step) {
  std::vector<Tick> ticks;
  for (double at = std::ceil(low / step) * step; at <= high; at += step) {
    if (step >= day_s) {
      ticks.push_back({at, to_iso(at, false)});
      continue;
    }
    Tick tick{at, clock_label(at)};
    // The date stands under the first tick and under each midnight, unless that only ends the axis.
    const bool midnight = std::fmod(at, day_s) == 0.0 && at < high;
    if (ticks.empty() || midnight) tick.label += '\n' + to_iso(at, false);
    ticks.push_back(std::move(tick));
  }
  return ticks;
}

}  // namespace

std::optional<double> parse_iso(std::string_view text) {
  const auto year = digits(text, 0, 4), month = digits(text, 5, 2), day = digits(text, 8, 2);
  if (!year || !month || !day || text[4] != '-' || text[7] != '-') return {};
  const year_month_day date(std::chrono::year(*year),
                            std::chrono::month(static_cast<unsigned>(*month)),
                            std::chrono::day(static_cast<unsigned>(*day)));
  if (!date.ok()) return {};
  const double midnight = seconds_of(date);
  if (text.size() == 10) return midnight;
  const auto hour = digits(text, 11, 2), minute = digits(text, 14, 2);
  if (!hour || !minute || (text[10] != 'T' && text[10] != ' ') || text[13] != ':') return {};
  const double time = midnight + hour_s * *hour + minute_s * *minute;
  if (*hour > 24 || *minute > 59) return {};
  if (text.size() == 16) return time;
  const auto second = digits(text, 17, 2);
  if (!second || text[16] != ':' || *second > 59 || text.size() != 19) return {};
  return time + *second;
}

std::string to_iso(double seconds, bool with_time) {
  const auto whole = static_cast<long long>(std::llround(seconds));
  const year_month_day date = date_of(static_cast<double>(whole));
  std::string text = fmt::format("{:04d}-{:02d}-{:02d}", static_cast<int>(date.year()),
                                 unsigned(date.month()), unsigned(date.day()));
  if (with_time) {
    const long long in_day = whole - static_cast<long long>(seconds_of(date));
    text += fmt::format("T{:02d}:{:02d}:{:02d}", in_day / 3600, in_day / 60 % 60, in_day % 60);
  }
  return text;
}

double round_step(double low, double high, int count) {
  if (low == 0.0 && high == 24.0) return 3.0;
  if (low == 0.0 && high == 1440.0) return 180.0;
  const double rough = (high - low) / std::max(count, 1);
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= 0.85 * rough) return factor * power;
  }
  return 10.0 * power;
}

Axis linear_axis(double low, double high, int count, Ends ends) {
  if (!(high > low)) {  // one value only: room on both sides, but zero stays an end
    const double room = low == 0.0 ? 1.0 : 0.5 * std::abs(low);
    high += low < 0.0 ? 0.0 : room;
    if (low != 0.0 && ends == Ends::stay) low -= room;
    if (low < 0.0 && ends == Ends::out_to_tick) low -= room;
  }
  const double step = round_step(low, high, count);
  constexpr double slack = 1e-9;  // rounding must not cost or add a tick
  const double first =
      ends == Ends::stay ? std::ceil(low / step - slack) : std::floor(low / step + slack);
  const double last =
      ends == Ends::stay ? std::floor(high / step + slack) : std::ceil(high / step - slack);
  Axis axis{low, high, {}};
  if (ends == Ends::out_to_tick) {
    axis.low = first * step;
    axis.high = last * step;
  }
  for (double k = first; k <= last; ++k) {
    axis.ticks.push_back({k * step, number_label(k * step, step)});
  }
  return axis;
}

Axis log_axis(double low, double high) {
  std::vector<double> ladder;
  const double first = std::floor(std::log10(low)), last = std::ceil(std::log10(high));
  for (double decade = first; decade <= last; ++decade) {
    for (const double factor : {1.0, 2.0, 5.0}) {
      ladder.push_back(factor * std::pow(10.0, decade));
    }
  }
  // The ends move out to the next rung.
  std::size_t begin = 0, end = ladder.size() - 1;
  while (begin + 1 < ladder.size() && ladder[begin + 1] <= low * (1.0 + 1e-9)) ++begin;
  while (end > begin + 1 && ladder[end - 1] >= high * (1.0 - 1e-9)) --end;
  Axis axis{ladder[begin], ladder[end], {}};
  const bool decades_only = end - begin > 12;
  const auto every = static_cast<std::size_t>(std::max(1.0, std::ceil((last - first) / 10.0)));
  for (std::size_t i = begin; i <= end; ++i) {
    if (decades_only && i % (3 * every) != 0) continue;
    axis.ticks.push_back({ladder[i], fmt::format("{:g}", ladder[i])});
  }
  return axis;
}

Axis date_axis(double low, double high, double width_px, double character_px) {
  if (!(high > low)) {
    low -= day_s;
    high += day_s;
  }
  const double px_per_s = width_px / (high - low);
  // Step from fine to coarse: the first whose labels have room.
  constexpr double blank = 2.0;  // characters between labels
  const auto fits = [&](double step_s, double characters) {
    return step_s * px_per_s >= (characters + blank) * character_px;
  };
  for (const double minutes : {1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 180.0, 360.0, 720.0}) {
    if (fits(minutes * minute_s, 10.0)) {  // the date under midnight is the widest
      return {low, high, clock_ticks(low, high, minutes * minute_s)};
    }
  }
  for (const double step : {1.0, 2.0, 7.0, 14.0}) {
    if (fits(step * day_s, 10.0)) return {low, high, clock_ticks(low, high, step * day_s)};
  }
  for (const int months : {1, 2, 3, 6}) {
    if (fits(28.0 * day_s * months, 7.0)) return {low, high, month_ticks(low, high, months)};
  }
  for (const int years : {1, 2, 5, 10, 20, 50, 100}) {
    if (fits(365.0 * day_s * years, 4.0)) return {low, high, month_ticks(low, high, 12 * years)};
  }
  return {low, high, month_ticks(low, high, 12 * 500)};
}

std::vector<double> spread(const std::vector<double>& places, double distance, double low,
                           double high) {
  // Least squares under an order: pool neighbours that are too close around their mean.
  struct Pool {
    double sum;
    std::size_t count;
    [[nodiscard]] double mean() const { return sum / static_cast<double>(count); }
  };
  std::vector<Pool> pools;
  for (std::size_t i = 0; i < places.size(); ++i) {
    pools.push_back({places[i] - distance * static_cast<double>(i), 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back().sum += last.sum;
      pools.back().count += last.count;
    }
  }
  const double room = distance * (static_cast<double>(places.size()) - 1.0);
  std::vector<double> moved;
  for (const Pool& pool : pools) {
    const double start = std::max(low, std::min(pool.mean(), high - room));
    for (std::size_t k = 0; k < pool.count; ++k) {
      moved.push_back(start + distance * static_cast<double>(moved.size()));
    }
  }
  return moved;
}

}  // namespace restwell::plots
