// Where the ticks of an axis stand and what they say; dates as seconds since 1970.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace restwell::plots {

struct Tick {
  double at;
  std::string label;
};
struct Axis {
  double low, high;
  std::vector<Tick> ticks;
};

// ISO 8601 date, or date and time of day (blank or T between, seconds optional); nothing else.
[[nodiscard]] std::optional<double> parse_iso(std::string_view text);
// "2001-05-03", or "2001-05-03T14:05:00" if with_time.
[[nodiscard]] std::string to_iso(double seconds, bool with_time);

// A round step of 1, 2 or 5 times a power of ten that gives about count steps; parts of a
// day for an axis from 0 to 24 (hours) or to 1440 (minutes).
[[nodiscard]] double round_step(double low, double high, int count);
// Whether ends move out to the next tick (an axis of values) or stay (an axis of time or place).
enum class Ends { out_to_tick, stay };
[[nodiscard]] Axis linear_axis(double low, double high, int count, Ends ends);
// Ticks at 1, 2, 5 of each decade, or at decades if these are many. low and high above zero.
[[nodiscard]] Axis log_axis(double low, double high);
// Ticks at whole years, months, days, hours or minutes; labels do not overlap if each character
// takes character_px.
[[nodiscard]] Axis date_axis(double low, double high, double width_px, double character_px);

// Moves sorted places apart to at least distance, as little as can be, inside low..high if they
// fit there.
[[nodiscard]] std::vector<double> spread(const std::vector<double>& places, double distance,
                                         double low, double high);

}  // namespace restwell::plots
