#include "sim/size_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <variant>

#include "models/constants.hpp"
#include "models/us_units.hpp"
#include "sim/diagnostic.hpp"
#include "sim/new_pits.hpp"
#include "sim/text_parts.hpp"
#include "sim/units.hpp"

namespace restwell {
namespace {

constexpr std::size_t most_diameters = 12, most_depths = 100;
constexpr double longest_life_year = 90.0, longest_service_year = 20.0;
constexpr double most_money = 1e9;

using Problems = std::vector<std::string>;

std::vector<std::string> split_list(std::string_view text) {
  std::vector<std::string> parts;
  while (true) {
    const auto comma = text.find(',');
    parts.push_back(trimmed(text.substr(0, comma)));
    if (comma == std::string_view::npos) return parts;
    text.remove_prefix(comma + 1);
  }
}

// What a list option accepts.
struct LengthOption {
  std::string name, example;
  double least_m, most_m;
  std::size_t most_values;
};

std::optional<double> length(const LengthOption& option, std::string_view text,
                             Problems& problems) {
  const auto parsed = parse_quantity(text, Dimension::length);
  if (const auto* error = std::get_if<UnitError>(&parsed)) {
    problems.push_back(fmt::format("{}: {}: {}; write it like {}", option.name,
                                   text.empty() ? "nothing" : printable(text), error->message,
                                   option.example));
    return std::nullopt;
  }
  const double value = std::get<double>(parsed);
  constexpr double rounding = 1e-9;
  if (value < option.least_m - rounding || value > option.most_m + rounding) {
    problems.push_back(fmt::format("{}: must be from {} to {}, got {}", option.name,
                                   quantity_in_unit_of(option.least_m, Dimension::length, text),
                                   quantity_in_unit_of(option.most_m, Dimension::length, text),
                                   printable(text)));
    return std::nullopt;
  }
  return value;
}

// "6 ft..20 ft by 1 ft"
void add_range(const LengthOption& option, std::string_view text, UnitSystem units,
               std::vector<double>& values, Problems& problems) {
  const auto dots = text.find("..");
  const auto by = text.find(" by ", dots);
  if (by == std::string_view::npos) {
    problems.push_back(fmt::format("{}: the range {} needs a step; write it like {}", option.name,
                                   printable(text), option.example));
    return;
  }
  const auto low = length(option, trimmed(text.substr(0, dots)), problems);
  const auto high = length(option, trimmed(text.substr(dots + 2, by - dots - 2)), problems);
  const std::string step_text = trimmed(text.substr(by + 4));
  const auto step = parse_quantity(step_text, Dimension::length);
  if (!low || !high) return;
  const double* step_m = std::get_if<double>(&step);
  if (step_m == nullptr || *step_m <= 0.0) {
    problems.push_back(fmt::format("{}: the step must be a length over 0, got {}", option.name,
                                   printable(step_text)));
    return;
  }
  if (*high < *low) {
    problems.push_back(
        fmt::format("{}: the range {} runs backwards", option.name, printable(text)));
    return;
  }
  const double count = std::floor((*high - *low) / *step_m + 1e-6);
  if (count + 1 > static_cast<double>(option.most_values)) {
    problems.push_back(fmt::format("{}: the range {} has {:.0f} values, at most {} are tried",
                                   option.name, printable(text), count + 1, option.most_values));
    return;
  }
  for (int i = 0; i <= static_cast<int>(count); ++i)
    values.push_back(as_written_m(*low + i * *step_m, units));
}

std::vector<double> lengths(const LengthOption& option, const std::string& text, UnitSystem units,
                            Problems& problems) {
  std::vector<double> values;
  for (const std::string& part : split_list(text)) {
    if (part.find("..") != std::string_view::npos) {
      add_range(option, part, units, values, problems);
    } else if (const auto value = length(option, part, problems)) {
      values.push_back(as_written_m(*value, units));
    }
  }
  std::ranges::sort(values);
  const auto same =
      std::ranges::unique(values, [](double a, double b) { return std::abs(a - b) < 1e-6; });
  values.erase(same.begin(), same.end());
  if (values.size() > option.most_values)
    problems.push_back(fmt::format("{}: {} values, at most {} are tried", option.name,
                                   values.size(), option.most_values));
  return values;
}

// "1..3" or "1, 2"
std::vector<int> pit_counts(const std::string& text, std::size_t most, Problems& problems) {
  std::vector<int> counts;
  const auto refuse = [&](std::string_view part) {
    problems.push_back(
        fmt::format("--pits: must be whole numbers from 1 to {}, like 2, or 1..3, or 1, 2; got {}",
                    most, part.empty() ? "nothing" : printable(part)));
  };
  const auto whole = [&](std::string_view part) -> std::optional<int> {
    const auto value = bare_number(trimmed(part));
    if (!value || *value != std::floor(*value) || *value < 1.0 ||
        *value > static_cast<double>(most))
      return std::nullopt;
    return static_cast<int>(*value);
  };
  for (const std::string& part : split_list(text)) {
    const auto dots = part.find("..");
    const auto low = whole(part.substr(0, dots));
    const auto high = dots == std::string_view::npos ? low : whole(part.substr(dots + 2));
    if (!low || !high || *high < *low) {
      refuse(part);
      continue;
    }
    for (int n = *low; n <= *high; ++n) counts.push_back(n);
  }
  std::ranges::sort(counts);
  const auto same = std::ranges::unique(counts);
  counts.erase(same.begin(), same.end());
  return counts;
}

double years(const std::string& option, const std::string& text, double least, double most,
             Problems& problems) {
  const auto parsed = parse_quantity(text, Dimension::duration);
  const double* day = std::get_if<double>(&parsed);
  if (day != nullptr && *day >= least * days_per_year * (1 - 1e-9) &&
      *day <= most * days_per_year * (1 + 1e-9))
    return *day;
  problems.push_back(fmt::format("{}: must be from {:g} to {:g} years, like \"{:g} years\"; got {}",
                                 option, least, most, std::min(20.0, most / 4), printable(text)));
  return least * days_per_year;
}

double money(const std::string& option, std::string_view text, const std::string& example,
             Problems& problems) {
  const auto value = bare_number(trimmed(text));
  if (value && *value >= 0.0 && *value <= most_money) return *value;
  problems.push_back(
      fmt::format("{}: must be a number from 0 up, like {}, without a sign of "
                  "currency or commas; got {}",
                  option, example, printable(text)));
  return 0.0;
}

double money_per_m3(const std::string& text, Problems& problems) {
  const std::string option = "--cost-per-volume";
  const auto slash = text.find('/');
  const std::string unit =
      slash == std::string::npos ? "" : trimmed(std::string_view(text).substr(slash + 1));
  const double volume = unit == "yd3"   ? us::cubic_yard_m3
                        : unit == "ft3" ? us::cubic_foot_m3
                        : unit == "m3"  ? 1.0
                                        : 0.0;
  if (volume == 0.0) {
    problems.push_back(
        fmt::format("{}: must be a number per yd3, ft3 or m3, like \"30 /yd3\"; got {}", option,
                    printable(text)));
    return 0.0;
  }
  return money(option, std::string_view(text).substr(0, slash), "\"30 /yd3\"", problems) / volume;
}

// Why the old pits cannot stay, or nothing.
std::optional<std::string> cannot_keep(const Scenario& scenario) {
  if (!scenario.box.present)
    return "there is no box that could serve old and new pits; leave the old ones, or give the "
           "file a box";
  if (scenario.pits.size() >= max_pits || scenario.box.outlets.size() >= max_outlets)
    return fmt::format("the file has no room for another pit (at most {} pits and {} outlets)",
                       max_pits, max_outlets);
  return std::nullopt;
}

}  // namespace

SizeQuestion size_question(const SizeArguments& a, const Scenario& scenario) {
  Problems problems;
  SizeQuestion q;
  const bool us = scenario.units == UnitSystem::us;
  const LengthOption diameter{"--diameters", us ? "\"5 ft, 6 ft, 8 ft\"" : "\"1.5 m, 1.8 m\"",
                              us::foot_m, 50 * us::foot_m, most_diameters};
  const LengthOption depth{"--depths", us ? "\"6 ft..20 ft by 1 ft\"" : "\"2 m..6 m by 0.25 m\"",
                           us::foot_m, 100 * us::foot_m, most_depths};
  q.diameters_m = lengths(
      diameter, a.diameters.value_or(us ? "5 ft, 6 ft, 8 ft, 10 ft" : "1.5 m, 1.8 m, 2.4 m, 3 m"),
      scenario.units, problems);
  q.depths_m = lengths(depth, a.depths.value_or(us ? "6 ft..20 ft by 1 ft" : "2 m..6 m by 0.25 m"),
                       scenario.units, problems);
  q.old_pits = a.old_pits.value_or(cannot_keep(scenario) ? OldPits::leave : OldPits::keep);
  std::size_t room = max_pits;
  if (q.old_pits == OldPits::keep) {
    if (const auto why = cannot_keep(scenario)) {
      problems.push_back("--old keep: " + *why);
    } else {
      room = std::min(max_pits - scenario.pits.size(), max_outlets - scenario.box.outlets.size());
    }
  }
  // The default is cut to the room there is; what the user says is not.
  q.pits = pit_counts(a.pits.value_or(fmt::format("1..{}", std::min<std::size_t>(3, room))), room,
                      problems);
  const PitPattern pattern = pit_pattern(scenario);
  const double least = pattern.least_diameter_m();
  if (!q.diameters_m.empty() && q.diameters_m.front() < least)
    problems.push_back(fmt::format(
        "--diameters: new pits are built like the {} (wall and gravel take {}): must be at least "
        "{}",
        pattern.like, length_text(2 * (pattern.wall_m + pattern.gravel_ring_m), scenario.units),
        length_text(least, scenario.units)));
  q.life_day = years("--life", a.life, 1.0, longest_life_year, problems);
  q.service_day = years("--service", a.service, 0.25, longest_service_year, problems);
  q.basis = a.basis;
  q.by = a.by;
  if (a.cost_per_pit || a.cost_per_volume) {
    UnitCosts costs;
    if (a.cost_per_pit) costs.per_pit = money("--cost-per-pit", *a.cost_per_pit, "2500", problems);
    if (a.cost_per_volume) costs.per_m3 = money_per_m3(*a.cost_per_volume, problems);
    q.costs = costs;
  }
  if (problems.empty()) return q;
  refuse_question(problems, "restwell help size");
}

}  // namespace restwell
