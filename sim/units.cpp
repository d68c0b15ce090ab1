#include "sim/units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>
#include <stdexcept>
#include <vector>

#include "models/constants.hpp"
#include "sim/text_parts.hpp"

namespace restwell {
namespace {

// Exact by definition (NIST Special Publication 811, appendix B): 1 in = 25.4 mm, 1 US gal =
// 231 in3, 1 lb = 0.45359237 kg.
constexpr double inch_m = 0.0254;
constexpr double foot_m = 12 * inch_m;
constexpr double gallon_m3 = 231 * inch_m * inch_m * inch_m;
constexpr double litre_m3 = 1e-3;
constexpr double pound_kg = 0.45359237;
constexpr double minute_day = 1.0 / 1440.0;
constexpr double hour_day = 1.0 / 24.0;

struct Unit {
  std::string_view name;
  double factor;  // internal = (number - offset) * factor
  double offset = 0.0;
  bool listed = true;  // false: another spelling, accepted but not listed
};

struct DimensionInfo {
  std::string_view name;
  std::string_view example;
  std::vector<Unit> units;
};

DimensionInfo make_info(Dimension d) {
  constexpr bool alias = false;
  switch (d) {
    case Dimension::length:
      return {"length",
              "3 ft",
              {{"ft", foot_m},
               {"in", inch_m},
               {"m", 1},
               {"cm", .01},
               {"mm", .001},
               {"feet", foot_m, 0, alias},
               {"foot", foot_m, 0, alias},
               {"inches", inch_m, 0, alias},
               {"inch", inch_m, 0, alias}}};
    case Dimension::volume:
      return {"volume",
              "1000 gal",
              {{"gal", gallon_m3},
               {"L", litre_m3},
               {"m3", 1},
               {"ft3", foot_m * foot_m * foot_m},
               {"gallons", gallon_m3, 0, alias},
               {"gallon", gallon_m3, 0, alias},
               {"l", litre_m3, 0, alias},
               {"liters", litre_m3, 0, alias},
               {"litres", litre_m3, 0, alias}}};
    case Dimension::flow:
      return {"flow",
              "50 gal/day",
              {{"gal/day", gallon_m3},
               {"gal/min", gallon_m3 / minute_day},
               {"L/day", litre_m3},
               {"L/min", litre_m3 / minute_day},
               {"L/s", litre_m3 * seconds_per_day},
               {"m3/day", 1},
               {"gpd", gallon_m3, 0, alias},
               {"gpm", gallon_m3 / minute_day, 0, alias},
               {"l/day", litre_m3, 0, alias},
               {"l/min", litre_m3 / minute_day, 0, alias},
               {"l/s", litre_m3 * seconds_per_day, 0, alias}}};
    case Dimension::duration:
      return {"duration",
              "3 years",
              {{"seconds", 1 / seconds_per_day},
               {"minutes", minute_day},
               {"hours", hour_day},
               {"days", 1},
               {"weeks", 7},
               {"months", days_per_year / 12},
               {"years", days_per_year},
               {"second", 1 / seconds_per_day, 0, alias},
               {"minute", minute_day, 0, alias},
               {"min", minute_day, 0, alias},
               {"hour", hour_day, 0, alias},
               {"day", 1, 0, alias},
               {"week", 7, 0, alias},
               {"month", days_per_year / 12, 0, alias},
               {"h", hour_day, 0, alias},
               {"hr", hour_day, 0, alias},
               {"hrs", hour_day, 0, alias},
               {"yr", days_per_year, 0, alias},
               {"yrs", days_per_year, 0, alias},
               {"year", days_per_year, 0, alias}}};
    case Dimension::percolation:
      return {"percolation rate",
              "10 min/inch",
              {{"min/inch", minute_day / inch_m},
               {"min/cm", minute_day / .01},
               {"min/mm", minute_day / .001},
               {"min/in", minute_day / inch_m, 0, alias},
               {"mpi", minute_day / inch_m, 0, alias}}};
    case Dimension::conductivity:
      return {"velocity (conductivity, falling level)",
              "2 in/day",
              {{"in/day", inch_m},
               {"in/hour", inch_m / hour_day},
               {"ft/day", foot_m},
               {"cm/day", .01},
               {"cm/hour", .01 / hour_day},
               {"m/day", 1},
               {"m/hour", 1 / hour_day},
               {"mm/hour", .001 / hour_day},
               {"inch/day", inch_m, 0, alias},
               {"inches/day", inch_m, 0, alias},
               {"in/h", inch_m / hour_day, 0, alias},
               {"cm/h", .01 / hour_day, 0, alias},
               {"m/h", 1 / hour_day, 0, alias},
               {"mm/h", .001 / hour_day, 0, alias}}};
    case Dimension::mass_per_day:
      return {"mass per day", "50 g/day", {{"g/day", .001}, {"kg/day", 1}, {"lb/day", pound_kg}}};
    case Dimension::temperature:
      return {"temperature", "12 degC", {{"degC", 1}, {"degF", 5. / 9., 32}}};
    case Dimension::temperature_difference:
      return {"temperature difference", "6 degC", {{"degC", 1}, {"degF", 5. / 9.}}};
    case Dimension::angle:
      return {"angle",
              "0.5 deg",
              {{"deg", std::numbers::pi / 180},
               {"turn", 2 * std::numbers::pi},
               {"degrees", std::numbers::pi / 180, 0, alias},
               {"turns", 2 * std::numbers::pi, 0, alias}}};
    case Dimension::percent:
      return {"percentage", "30 %", {{"%", .01}, {"percent", .01, 0, alias}}};
    case Dimension::inverse_length:
      return {"inverse length", "12 1/m", {{"1/m", 1}, {"1/cm", 100}, {"1/ft", 1 / foot_m}}};
    case Dimension::clogging:
      return {"clogging per load", "6 day m2/kg", {{"day m2/kg", 1}}};
    case Dimension::diffusivity:
      return {"diffusivity",
              "0.6 mm2/s",
              {{"mm2/s", 1e-6 * seconds_per_day},
               {"cm2/s", 1e-4 * seconds_per_day},
               {"m2/day", 1},
               {"ft2/day", foot_m * foot_m}}};
    case Dimension::rate:
      return {"rate", "0.02 1/day", {{"1/day", 1}, {"1/year", 1 / days_per_year}, {"%/day", .01}}};
    case Dimension::concentration:
      return {"concentration",
              "60 mg/L",
              {{"mg/L", .001}, {"g/m3", .001}, {"kg/m3", 1}, {"mg/l", .001, 0, alias}}};
  }
  throw std::logic_error("unknown dimension");
}

constexpr std::array dimensions{
    Dimension::length,       Dimension::volume,      Dimension::flow,
    Dimension::duration,     Dimension::percolation, Dimension::conductivity,
    Dimension::mass_per_day, Dimension::temperature, Dimension::temperature_difference,
    Dimension::angle,        Dimension::percent,     Dimension::inverse_length,
    Dimension::clogging,     Dimension::diffusivity, Dimension::rate,
    Dimension::concentration};

const DimensionInfo& info(Dimension d) {
  static const std::vector<DimensionInfo> table = [] {
    std::vector<DimensionInfo> t;
    for (const Dimension each : dimensions) t.push_back(make_info(each));
    return t;
  }();
  return table[static_cast<std::size_t>(d)];
}

const Unit* find_unit(Dimension d, std::string_view name) {
  const auto& units = info(d).units;
  const auto it = std::ranges::find(units, name, &Unit::name);
  return it == units.end() ? nullptr : &*it;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::string_view without_spaces(std::string_view s) {
  while (!s.empty() && s.front() == ' ') s.remove_prefix(1);
  while (!s.empty() && s.back() == ' ') s.remove_suffix(1);
  return s;
}

std::size_t digits_at(std::string_view s, std::size_t at) {
  std::size_t n = 0;
  while (at + n < s.size() && is_digit(s[at + n])) ++n;
  return n;
}

// A number at the front: "12", "-3.5", "1e3", "3/4", "2 1/2". length 0: none there; value empty:
// not finite.
struct NumberAtFront {
  std::size_t length = 0;
  std::optional<double> value;
};

double plain_number(std::string_view s, bool* finite) {
  const auto number = leading_number(s);
  *finite = number.has_value();
  return number ? number->value : 0.0;
}

NumberAtFront number_at_front(std::string_view s) {
  std::size_t at = 0;
  double sign = 1.0;
  if (at < s.size() && (s[at] == '-' || s[at] == '+')) sign = s[at++] == '-' ? -1.0 : 1.0;
  const std::size_t whole = digits_at(s, at);
  // fraction, with or without a whole number before it
  std::size_t top_at = at;
  if (whole > 0 && at + whole < s.size() && s[at + whole] == ' ') top_at = at + whole + 1;
  for (const std::size_t start : {top_at, at}) {
    const std::size_t top = digits_at(s, start);
    if (top == 0 || start + top >= s.size() || s[start + top] != '/') continue;
    const std::size_t bottom = digits_at(s, start + top + 1);
    if (bottom == 0) continue;
    bool ok[3] = {true, true, true};
    const double lead = start == at ? 0.0 : plain_number(s.substr(at, whole), &ok[0]);
    const double numerator = plain_number(s.substr(start, top), &ok[1]);
    const double denominator = plain_number(s.substr(start + top + 1, bottom), &ok[2]);
    const double v = sign * (lead + numerator / denominator);
    const bool finite = ok[0] && ok[1] && ok[2] && std::isfinite(v);
    return {start + top + 1 + bottom, finite ? std::optional(v) : std::nullopt};
  }
  std::size_t end = at + whole;
  std::size_t decimals = 0;
  if (end < s.size() && s[end] == '.') {
    decimals = digits_at(s, end + 1);
    if (whole + decimals == 0) return {};
    end += 1 + decimals;
  }
  if (whole + decimals == 0) return {};
  if (end < s.size() && (s[end] == 'e' || s[end] == 'E')) {
    std::size_t e = end + 1;
    if (e < s.size() && (s[e] == '-' || s[e] == '+')) ++e;
    if (const std::size_t n = digits_at(s, e); n > 0) end = e + n;
  }
  bool finite = false;
  const double v = sign * plain_number(s.substr(at, end - at), &finite);
  return {end, finite ? std::optional(v) : std::nullopt};
}

// The unit's name at the front of what follows a number, up to the next number.
std::string_view first_unit(std::string_view after_number, Dimension d) {
  const std::string_view rest = without_spaces(after_number);
  if (d != Dimension::length) return rest;
  const std::size_t gap = rest.find(' ');
  return gap == std::string_view::npos ? rest : rest.substr(0, gap);
}

std::string wrong_unit(std::string_view unit, Dimension d) {
  const std::string accepted = accepted_units(d);
  for (const Dimension other : dimensions) {
    if (other == d || find_unit(other, unit) == nullptr) continue;
    return fmt::format("'{}' measures {}, not {}; accepted: {}", unit, info(other).name,
                       info(d).name, accepted);
  }
  const std::string cut =
      unit.size() > 30 ? std::string(unit.substr(0, 27)) + "..." : std::string(unit);
  std::string_view instead;
  if (d == Dimension::length && (unit.front() == '\'' || unit.front() == '"'))
    instead = "; feet and inches as 6 ft 3 in";
  if (d == Dimension::length && unit.front() == '-')
    instead = "; a fraction after a blank, 1 1/2 in";
  return fmt::format("unknown unit '{}'; accepted: {}{}", cut, accepted, instead);
}

// ---- numbers for people ------------------------------------------------------------------------
struct Style {
  double factor;
  std::string_view unit;
  int decimals;  // negative: three significant digits
};

constexpr int significant = -1;

Style style(Quantity q, UnitSystem system) {
  const bool us = system == UnitSystem::us;
  switch (q) {
    case Quantity::level:
    case Quantity::depth:
      return us ? Style{1 / foot_m, "ft", 1} : Style{1, "m", 2};
    case Quantity::small_length:
      return us ? Style{1 / inch_m, "in", significant} : Style{1000, "mm", significant};
    case Quantity::volume:
      return us ? Style{1 / gallon_m3, "gal", significant} : Style{1000, "L", significant};
    case Quantity::flow:
      return us ? Style{1 / gallon_m3, "gal/day", significant} : Style{1000, "L/day", significant};
    case Quantity::minute_flow:
      return us ? Style{minute_day / gallon_m3, "gal/min", significant}
                : Style{minute_day / litre_m3, "L/min", significant};
    case Quantity::flux:
      return us ? Style{foot_m * foot_m / gallon_m3, "gal/day/ft2", significant}
                : Style{1000, "L/day/m2", significant};
    case Quantity::conductivity:
      return us ? Style{1 / inch_m, "in/day", significant} : Style{100, "cm/day", significant};
    case Quantity::percolation:
      return us ? Style{inch_m / minute_day, "min/inch", significant}
                : Style{.01 / minute_day, "min/cm", significant};
    case Quantity::area:
      return us ? Style{1 / (foot_m * foot_m), "ft2", significant} : Style{1, "m2", significant};
    case Quantity::mass:
      return us ? Style{1 / pound_kg, "lb", significant} : Style{1, "kg", significant};
    case Quantity::mass_per_year:
      return us ? Style{days_per_year / pound_kg, "lb/year", significant}
                : Style{days_per_year, "kg/year", significant};
    case Quantity::concentration:
      return {1000, "mg/L", significant};
    case Quantity::resistance:
      return {1, "days", significant};
  }
  throw std::logic_error("unknown quantity");
}

std::string with_thousands(std::string digits) {
  const std::size_t point = std::min(digits.find('.'), digits.size());
  const std::size_t first = digits.front() == '-' ? 1 : 0;
  for (std::size_t at = point; at > first + 3; at -= 3) digits.insert(at - 3, 1, ',');
  return digits;
}

}  // namespace

std::span<const Dimension> all_dimensions() { return dimensions; }

std::string dimension_name(Dimension d) { return std::string(info(d).name); }

std::string quantity_example(Dimension d) { return std::string(info(d).example); }

std::string accepted_units(Dimension d) {
  std::string list;
  for (const Unit& u : info(d).units)
    if (u.listed) list.append(list.empty() ? "" : ", ").append(u.name);
  return list;
}

std::string quantity_pattern(Dimension d) {
  std::string units;
  for (const Unit& u : info(d).units) units.append(units.empty() ? "" : "|").append(u.name);
  const std::string number =
      "[-+]?(?:(?:[0-9]+ )?[0-9]+/[0-9]+|(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)(?:[eE][-+]?[0-9]+)?)";
  if (d == Dimension::length)
    return fmt::format("^ *(?:{0} *(?:ft|feet|foot) +{0} *(?:in|inches|inch)|{0} *(?:{1})) *$",
                       number, units);
  return fmt::format("^ *{} *(?:{}) *$", number, units);
}

std::string quantity_in_unit(double value_internal, Dimension d, std::string_view unit,
                             int digits) {
  const Unit* u = find_unit(d, unit);
  if (u == nullptr) throw std::invalid_argument("not a unit of this dimension");
  return fmt::format("{:.{}g} {}", value_internal / u->factor + u->offset, digits, unit);
}

std::string quantity_in_unit_of(double value_internal, Dimension d, std::string_view other_text) {
  const std::string_view text = without_spaces(other_text);
  const NumberAtFront number = number_at_front(text);
  return quantity_in_unit(value_internal, d, first_unit(text.substr(number.length), d));
}

std::variant<double, UnitError> parse_quantity(std::string_view text_given, Dimension d) {
  const std::string_view text = without_spaces(text_given);
  const NumberAtFront number = number_at_front(text);
  const std::string_view rest = without_spaces(text.substr(number.length));
  if (number.length == 0)
    return UnitError{fmt::format("must be a number with a unit, e.g. {}; accepted: {}",
                                 info(d).example, accepted_units(d))};
  if (!rest.empty() && rest.front() == ',')
    return UnitError{fmt::format("write the number without a comma, e.g. {}", info(d).example)};
  if (!number.value) return UnitError{"must be a finite number"};
  if (rest.empty())
    return UnitError{
        fmt::format("needs a unit, e.g. {}; accepted: {}", info(d).example, accepted_units(d))};
  const Unit* unit = find_unit(d, rest);
  double value = 0.0;
  if (unit != nullptr) {
    value = (*number.value - unit->offset) * unit->factor;
  } else {
    // feet and inches
    const std::string_view name = first_unit(rest, d);
    const Unit* feet = find_unit(d, name);
    if (d != Dimension::length || feet == nullptr || feet->factor != foot_m)
      return UnitError{wrong_unit(rest, d)};
    const std::string_view second = without_spaces(rest.substr(name.size()));
    const NumberAtFront inches = number_at_front(second);
    const Unit* inch = find_unit(d, trimmed(second.substr(inches.length)));
    if (inches.length == 0 || inch == nullptr || inch->factor != inch_m)
      return UnitError{fmt::format(
          "after feet only inches may follow, e.g. 7 ft 6 in; accepted: {}", accepted_units(d))};
    if (!inches.value) return UnitError{"must be a finite number"};
    const double sign = text.front() == '-' ? -1.0 : 1.0;
    value = *number.value * foot_m + sign * *inches.value * inch_m;
  }
  if (!std::isfinite(value)) return UnitError{"must be a finite number"};
  return value;
}

Shown show(double value_internal, Quantity q, UnitSystem system) {
  const Style s = style(q, system);
  const std::string unit(s.unit);
  if (std::isnan(value_internal)) return {"unknown", unit};
  if (std::isinf(value_internal)) return {value_internal > 0 ? "unlimited" : "-unlimited", unit};
  const double v = value_internal * s.factor;
  int decimals = s.decimals;
  if (decimals == significant) {
    // Of the rounded number: 9.9999 shows as 10.0. Beyond a thousandth of the unit nothing is read;
    // of a year's solids nothing beyond a tenth.
    const int most = q == Quantity::mass_per_year ? 1 : 3;
    const std::string rounded = fmt::format("{:.2e}", std::abs(v));
    int tens = 0;
    const char* after_e = rounded.c_str() + rounded.find('e') + 1;
    std::from_chars(*after_e == '+' ? after_e + 1 : after_e, rounded.c_str() + rounded.size(),
                    tens);
    decimals = std::abs(v) < 0.5 * std::pow(10.0, -most) ? 0 : std::clamp(2 - tens, 0, most);
  }
  std::string digits = fmt::format("{:.{}f}", v, decimals);
  if (digits.find_first_not_of("-0.") == std::string::npos && digits.front() == '-')
    digits.erase(0, 1);
  return {with_thousands(digits), unit};
}

std::string show_text(double value_internal, Quantity q, UnitSystem system) {
  const Shown s = show(value_internal, q, system);
  return s.number + " " + s.unit;
}

ColumnUnit column_unit(Quantity q, UnitSystem system) {
  const Style s = style(q, system);
  return {s.factor, std::string(s.unit)};
}

double six_digits(double x) {
  if (x == 0.0 || !std::isfinite(x)) return x;
  // Multiplied or divided by a whole power of ten, so that the result is the nearest double to its
  // six digits.
  const int shift = 5 - static_cast<int>(std::floor(std::log10(std::abs(x))));
  const double power = std::pow(10.0, std::abs(shift));
  return shift >= 0 ? std::round(x * power) / power : std::round(x / power) * power;
}

}  // namespace restwell
