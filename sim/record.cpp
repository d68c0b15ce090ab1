#include "sim/record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace restwell {
namespace {

const Field& field_of(const Record& map, std::string_view key) {
  const auto& fields = map.field == nullptr ? scenario_fields() : map.field->fields;
  const auto it = std::ranges::find(fields, key, &Field::key);
  if (it == fields.end()) throw std::logic_error(fmt::format("no field {}", key));
  return *it;
}

// The value's data, else the preset read like a value.
template <class T>
std::optional<T> value_of(const Record& map, std::string_view key) {
  const Field& field = field_of(map, key);
  const auto as_t = [](const Record& r) {
    const T* value = std::get_if<T>(&r.data);
    return value == nullptr ? std::nullopt : std::optional<T>(*value);
  };
  if (const Record* given = find(map, key)) return as_t(*given);
  if (field.preset.empty()) return std::nullopt;
  YamlNode value;
  value.kind = YamlNode::Kind::scalar;
  value.scalar = field.preset;
  YamlNode holder;
  holder.kind = YamlNode::Kind::map;
  holder.entries.push_back({field.key, {}, value});
  Findings none;
  Field optional = field;
  optional.required = false;
  const std::vector<Field> fields{optional};
  const Record record = read_record(holder, fields, none);
  if (!none.problems.empty()) throw std::logic_error("preset of " + field.key + " is not valid");
  return as_t(record.items.front());
}

}  // namespace

void add_problem(Findings& findings, const Record& at, std::string message, std::string hint) {
  findings.problems.push_back(
      {at.place.line, at.place.column, at.path, std::move(message), std::move(hint)});
}

void add_warning(Findings& findings, const Record& at, std::string message) {
  findings.warnings.push_back({at.place.line, at.place.column, at.path, std::move(message), ""});
}

const Record* find(const Record& map, std::string_view key) {
  const Field& field = field_of(map, key);
  for (const Record& r : map.items)
    if (r.field->key == field.key) return &r;  // in whichever of its forms it is written
  return nullptr;
}

std::optional<double> number(const Record& map, std::string_view key) {
  return value_of<double>(map, key);
}
std::optional<bool> yes(const Record& map, std::string_view key) {
  return value_of<bool>(map, key);
}
std::optional<std::string> word(const Record& map, std::string_view key) {
  return value_of<std::string>(map, key);
}
std::optional<Date> date(const Record& map, std::string_view key) {
  return value_of<Date>(map, key);
}
std::optional<MonthDay> month_day(const Record& map, std::string_view key) {
  return value_of<MonthDay>(map, key);
}
double number_or(const Record& map, std::string_view key, double otherwise) {
  return number(map, key).value_or(otherwise);
}

const std::string& preset(const Record& map, std::string_view key) {
  return field_of(map, key).preset;
}

const std::vector<Record>& entries(const Record& map, std::string_view key) {
  static const std::vector<Record> none;
  const Record* list = find(map, key);
  return list == nullptr ? none : list->items;
}

}  // namespace restwell
