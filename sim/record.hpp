// A scenario file checked field by field against the table of fields: known keys, types, units,
// limits. What the fields mean together is the loader's business.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "sim/fields.hpp"
#include "sim/yaml_tree.hpp"

namespace restwell {

// Problems and warnings found on the way.
struct Findings {
  std::vector<Diagnostic> problems;
  std::vector<Diagnostic> warnings;
};

// A value that stands in the file. data is empty for a value with a problem (already noted).
struct Record {
  const Field* field = nullptr;
  std::string path;        // "pits[1].depth"
  Place key_place, place;  // of the key (an entry of a list: of the entry) and of the value
  std::string text;        // of single values, as written
  std::variant<std::monostate, double, bool, std::string, Date, MonthDay> data;
  std::vector<Record> items;  // of a map: its values; of a list: its entries
  bool sound = false;         // no problem in this value itself
};

// The file as one map.
[[nodiscard]] Record read_record(const YamlNode& root, const std::vector<Field>& fields,
                                 Findings& findings);

void add_problem(Findings& findings, const Record& at, std::string message, std::string hint = "");
void add_warning(Findings& findings, const Record& at, std::string message);

// What the file gives for a key of a map, or nullptr. All of these throw std::logic_error for a key
// that is not in the table: a slip in the program, not in the file.
[[nodiscard]] const Record* find(const Record& map, std::string_view key);
// The value, else the preset of the key; nothing if there is neither, or the value has a problem.
[[nodiscard]] std::optional<double> number(const Record& map, std::string_view key);
[[nodiscard]] std::optional<bool> yes(const Record& map, std::string_view key);
[[nodiscard]] std::optional<std::string> word(const Record& map, std::string_view key);
[[nodiscard]] std::optional<Date> date(const Record& map, std::string_view key);
[[nodiscard]] std::optional<MonthDay> month_day(const Record& map, std::string_view key);
// The same, with something harmless in place of a value that has a problem: the scenario is thrown
// away then, but reading goes on to find the other problems.
[[nodiscard]] double number_or(const Record& map, std::string_view key, double otherwise);
// The preset of a key, as a user would write it.
[[nodiscard]] const std::string& preset(const Record& map, std::string_view key);
// The entries of a list, or of none.
[[nodiscard]] const std::vector<Record>& entries(const Record& map, std::string_view key);

// "2026-05-01" as a date of the years 1900 to 2300.
[[nodiscard]] std::variant<Date, std::string> parse_date(std::string_view text);

}  // namespace restwell
