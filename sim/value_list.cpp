#include "sim/value_list.hpp"

#include <fmt/format.h>

#include <cmath>
#include <regex>
#include <set>
#include <string_view>
#include <utility>

#include "sim/text_parts.hpp"
#include "sim/units.hpp"

namespace restwell {
namespace {

using Values = std::vector<std::string>;

// Cut at commas outside of brackets and quotes.
Values pieces_of(std::string_view text) {
  Values pieces;
  std::string piece;
  int depth = 0;
  char quote = 0;
  for (const char c : text) {
    if (quote != 0) {
      if (c == quote) quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == '[' || c == '{') {
      ++depth;
    } else if (c == ']' || c == '}') {
      --depth;
    } else if (c == ',' && depth <= 0) {
      pieces.push_back(trimmed(piece));
      piece.clear();
      continue;
    }
    piece += c;
  }
  pieces.push_back(trimmed(piece));
  return pieces;
}

// Numbers of a field: bare, or with a unit of its dimension.
class Numbers {
 public:
  explicit Numbers(const Field& field) : field_(field) {}

  [[nodiscard]] bool bare() const { return field_.kind != FieldKind::quantity; }

  // The unit a text ends in, or nothing.
  [[nodiscard]] std::string unit_of(const std::string& text) const {
    if (bare()) return "";
    for (std::size_t at = text.rfind(' '); at != std::string::npos && at > 0;
         at = text.rfind(' ', at - 1)) {
      const std::string unit = text.substr(at + 1);
      if (number_with("1 " + unit)) return unit;
    }
    const std::size_t letter = text.find_first_not_of("0123456789+-./ ");
    if (letter == std::string::npos) return "";
    const std::string unit = text.substr(letter);
    return number_with("1 " + unit) ? unit : "";
  }

  // In internal units; a text without unit takes the given one.
  [[nodiscard]] std::optional<double> read(const std::string& text, const std::string& unit) const {
    if (!bare()) {
      if (const auto value = number_with(text)) return value;
      return unit.empty() ? std::nullopt : number_with(text + " " + unit);
    }
    return bare_number(text);
  }

  [[nodiscard]] std::string written(double value, const std::string& unit) const {
    if (bare()) return fmt::format("{:.10g}", value);
    return quantity_in_unit(value, field_.dimension, unit);
  }

  [[nodiscard]] std::string wanted() const {
    return bare() ? "2..8 or 2..8 by 2"
                  : fmt::format("1..3 by 0.5 {}", unit_of(quantity_example(field_.dimension)));
  }

 private:
  [[nodiscard]] std::optional<double> number_with(const std::string& text) const {
    const auto parsed = parse_quantity(text, field_.dimension);
    const double* value = std::get_if<double>(&parsed);
    return value == nullptr ? std::nullopt : std::optional(*value);
  }

  const Field& field_;
};

bool is_number(const Field& field) {
  return field.kind == FieldKind::number || field.kind == FieldKind::whole ||
         field.kind == FieldKind::quantity;
}

// "greater than 0 ft": the limit of the field that the range would not keep; empty if none.
std::string limit_missed(const Numbers& numbers, const Field& field, double least, double most) {
  const Limits& l = field.limits;
  const auto value = [&](const std::string& limit) { return *numbers.read(limit, ""); };
  if (!l.above.empty() && least <= value(l.above)) return "greater than " + l.above;
  if (!l.at_least.empty() && least < value(l.at_least)) return "at least " + l.at_least;
  if (!l.at_most.empty() && most > value(l.at_most)) return "at most " + l.at_most;
  return "";
}

std::variant<Values, Diagnostic> range_values(const Field& field, const std::string& text) {
  const Numbers numbers(field);
  const std::size_t dots = text.find("..");
  const std::size_t by = text.find(" by ", dots);
  const std::string first = trimmed(text.substr(0, dots));
  const std::string last =
      trimmed(text.substr(dots + 2, by == std::string::npos ? by : by - dots - 2));
  const std::string step = by == std::string::npos ? "1" : trimmed(text.substr(by + 4));
  std::string unit;
  for (const std::string& part : {first, last, step})
    if (unit.empty()) unit = numbers.unit_of(part);
  const std::string quoted = printable(text, 60);
  if (!numbers.bare() && unit.empty())
    return unplaced(fmt::format("the range {} needs a unit; accepted: {}", quoted,
                                accepted_units(field.dimension)),
                    numbers.wanted());
  if (first.starts_with("+"))
    return unplaced(fmt::format("a range takes values, not additions, got {}", quoted),
                    "write additions one by one: +1, +2");
  const auto a = numbers.read(first, unit), b = numbers.read(last, unit);
  const auto by_step = numbers.read(step, unit);
  if (!a || !b || !by_step)
    return unplaced(fmt::format("{} is no range of numbers", quoted),
                    fmt::format("write first..last by step, as {}", numbers.wanted()));
  if (!(*by_step > 0.0))
    return unplaced(fmt::format("the step must be greater than 0, got {}", quoted),
                    numbers.wanted());
  if (*b < *a) {
    const std::string limit = limit_missed(numbers, field, *b, *a);
    return unplaced(
        fmt::format("the range {} has no members: its end lies before its beginning", quoted),
        limit.empty() ? fmt::format("{}..{}", last, first)
                      : fmt::format("the smaller value first, and every one {}", limit));
  }
  constexpr double rounding = 1e-9;  // so that 0..1 by 0.1 ends at 1
  const double steps = std::floor((*b - *a) / *by_step * (1.0 + rounding) + rounding);
  if (steps < 1.0 && *b > *a)
    return unplaced(fmt::format("the range {} has one member only, its step is {}", quoted,
                                numbers.bare() ? step : numbers.written(*by_step, unit)),
                    "say a smaller step, as " + numbers.wanted());
  if (steps >= static_cast<double>(most_values))
    return unplaced(fmt::format("the range {} has {:.0f} members, at most {} are taken", quoted,
                                steps + 1.0, most_values),
                    "take a greater step");
  Values values;
  for (int i = 0; i <= static_cast<int>(steps); ++i) {
    // A value that rounding leaves a hair beside zero is zero.
    double value = *a + i * *by_step;
    if (std::abs(value) < rounding * *by_step) value = 0.0;
    values.push_back(numbers.written(value, unit));
  }
  return values;
}

}  // namespace

std::variant<std::vector<std::string>, Diagnostic> values_of(const Field& field,
                                                             const std::string& text) {
  if (trimmed(text).empty()) return unplaced("has no value");
  static const std::regex thousands("^[0-9]{1,3}(,[0-9]{3})+([^0-9,].*)?$");
  if (is_number(field) && std::regex_match(text, thousands))
    return unplaced(fmt::format("write the number without a comma, got {}", printable(text, 40)),
                    "a comma with a blank parts two values: 6, 8");
  if (field.kind == FieldKind::text) return Values{trimmed(text)};
  const Values pieces = pieces_of(text);
  const Numbers numbers(field);
  // "6, 8, 10 ft": the unit may stand once.
  const std::string unit = numbers.unit_of(pieces.back());
  Values values;
  for (const std::string& piece : pieces) {
    if (piece.empty())
      return unplaced(
          fmt::format("a value is missing beside a comma, got {}", printable(text, 60)));
    if (is_number(field) && piece.find("..") != std::string::npos) {
      auto range = range_values(
          field, numbers.unit_of(piece).empty() && !unit.empty() ? piece + " " + unit : piece);
      if (std::holds_alternative<Diagnostic>(range)) return range;
      for (std::string& v : std::get<Values>(range)) values.push_back(std::move(v));
      continue;
    }
    const bool lacks_unit = field.kind == FieldKind::quantity && !unit.empty() &&
                            !numbers.read(piece, "") && numbers.read(piece, unit);
    values.push_back(lacks_unit ? piece + " " + unit : piece);
  }
  std::set<std::string> seen;
  for (const std::string& v : values)
    if (!seen.insert(v).second)
      return unplaced(fmt::format("the value {} stands twice", printable(v, 40)));
  return values;
}

std::optional<NumberText> number_text(const Field& field, const std::string& text) {
  if (!is_number(field) || text.starts_with("+")) return std::nullopt;
  NumberText result;
  result.unit = Numbers(field).unit_of(text);
  const std::string digits = trimmed(text.substr(0, text.size() - result.unit.size()));
  const auto number = bare_number(digits);
  if (!number) return std::nullopt;
  result.number = *number;
  return result;
}

}  // namespace restwell
