// Short forms of Field, for the tables of keys.
#pragma once

#include <utility>

#include "sim/fields.hpp"

namespace restwell::forms {

// A required field has no preset.
inline Field text(std::string key, std::string description, bool required = false) {
  return {std::move(key), FieldKind::text, std::move(description), required};
}
inline Field quantity(std::string key, Dimension d, Limits limits, std::string preset,
                      std::string description) {
  return {std::move(key),    FieldKind::quantity, std::move(description), false, d,
          std::move(limits), std::move(preset)};
}
inline Field number(std::string key, Limits limits, std::string preset, std::string description,
                    FieldKind kind = FieldKind::number) {
  return {
      std::move(key),   kind, std::move(description), false, Dimension::percent, std::move(limits),
      std::move(preset)};
}
inline Field whole(std::string key, Limits limits, std::string preset, std::string description) {
  return number(std::move(key), std::move(limits), std::move(preset), std::move(description),
                FieldKind::whole);
}
inline Field simple(std::string key, FieldKind kind, std::string preset, std::string description) {
  return {std::move(key),    kind, std::move(description), false,
          Dimension::length, {},   std::move(preset)};
}
inline Field yes_no(std::string key, std::string preset, std::string description) {
  return simple(std::move(key), FieldKind::yes_no, std::move(preset), std::move(description));
}
inline Field choice(std::string key, std::vector<std::string> choices, std::string preset,
                    std::string description, FieldKind kind = FieldKind::choice) {
  Field f = simple(std::move(key), kind, std::move(preset), std::move(description));
  f.choices = std::move(choices);
  return f;
}
inline Field date(std::string key, std::string description) {
  return simple(std::move(key), FieldKind::date, "", std::move(description));
}
inline Field map(std::string key, std::vector<Field> fields, std::string description) {
  Field f = simple(std::move(key), FieldKind::map, "", std::move(description));
  f.fields = std::move(fields);
  return f;
}
inline Field maps(std::string key, std::size_t most, std::vector<Field> fields,
                  std::string description) {
  Field f = map(std::move(key), std::move(fields), std::move(description));
  f.kind = FieldKind::maps;
  f.most = most;
  return f;
}
inline Field required(Field f) {
  f.required = true;
  return f;
}

}  // namespace restwell::forms
