// Every key of a scenario file: its type, limits, default and meaning. One table for the loader and
// for the JSON Schema.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/units.hpp"

namespace restwell {

enum class FieldKind {
  text,        // printable, not empty
  number,      // bare, finite
  whole,       // bare, no fraction
  quantity,    // number with unit
  yes_no,      // yes, no, true, false
  choice,      // one word of choices
  quantities,  // list of numbers with units, or a single one
  choices,     // list of different words, or a single word
  date,        // 2026-05-01
  dates,       // list of dates, or a single date
  month_day,   // 05-15
  map,         // keys of fields; or one of choices, if there are any
  maps         // list of maps
};

// Limits as a user would write them ("0 ft", "50"); empty: none.
struct Limits {
  std::string above, at_least, at_most;
};

struct Field {
  std::string key;
  FieldKind kind = FieldKind::text;
  std::string description;
  bool required = false;
  Dimension dimension = Dimension::length;  // kinds quantity, quantities
  Limits limits = {};                       // kinds quantity, quantities, number, whole
  std::string preset = {};  // taken if the key is left out, as a user would write it; empty: none
  std::vector<std::string> choices = {};
  std::vector<Field> fields = {};  // kinds map, maps
  std::size_t most = 60;           // characters of a text, entries of a list
  std::vector<Field> forms = {};   // kind quantity: other ways to write it, a map or a list of maps
};

// The keys of a scenario file.
[[nodiscard]] const std::vector<Field>& scenario_fields();

[[nodiscard]] std::vector<std::string> keys_of(const std::vector<Field>& fields);

}  // namespace restwell
