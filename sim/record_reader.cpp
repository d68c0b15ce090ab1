#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <stdexcept>
#include <utility>

#include "sim/record.hpp"
#include "sim/text_parts.hpp"

namespace restwell {
namespace {

using Kind = YamlNode::Kind;

std::string joined(const std::vector<std::string>& words) {
  std::string list;
  for (const std::string& w : words) list.append(list.empty() ? "" : ", ").append(w);
  return list;
}

std::string describe(const YamlNode& node) {
  switch (node.kind) {
    case Kind::empty:
      return "nothing";
    case Kind::scalar:
      return printable(node.scalar, 40);
    case Kind::list:
      return "a list";
    case Kind::map:
      return "keys with values";
  }
  return "";
}

std::optional<double> parse_number(std::string_view text) {
  if (!text.empty() && text.front() == '+') text.remove_prefix(1);
  return bare_number(text);
}

std::optional<unsigned> digits(std::string_view text) {
  unsigned v = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    v = v * 10 + static_cast<unsigned>(c - '0');
  }
  return v;
}

std::variant<MonthDay, std::string> parse_month_day(std::string_view text) {
  const auto month = digits(text.substr(0, 2));
  const auto day = digits(text.substr(std::min<std::size_t>(3, text.size())));
  if (text.size() != 5 || text[2] != '-' || !month || !day)
    return fmt::format("must be month and day as 05-15, got {}", printable(text, 40));
  if (*month == 2 && *day == 29) return "02-29 is not in every year: take 02-28 or 03-01";
  const std::chrono::year_month_day ymd{std::chrono::year{2023}, std::chrono::month{*month},
                                        std::chrono::day{*day}};
  if (!ymd.ok()) return fmt::format("there is no day {}", text);
  return MonthDay{*month, *day};
}

class Reader {
 public:
  explicit Reader(Findings& findings) : findings_(findings) {}

  void read_map(const YamlNode& node, const std::vector<Field>& fields, Record& record) {
    std::set<std::string_view> seen;
    for (const YamlEntry& entry : node.entries) {
      const std::string path = record.path.empty() ? printable(entry.key, 40)
                                                   : record.path + "." + printable(entry.key, 40);
      const auto field = std::ranges::find(fields, entry.key, &Field::key);
      if (field == fields.end()) {
        problem(entry.key_place, path, "unknown key", unknown_key_hint(entry.key, fields));
        continue;
      }
      if (!seen.insert(entry.key).second) {
        const Record* first = nullptr;
        for (const Record& r : record.items)
          if (r.field->key == field->key) first = &r;
        problem(entry.key_place, path,
                fmt::format("stands twice, first in line {}", first->key_place.line),
                "keep one of the two");
        continue;
      }
      record.items.push_back(read(entry.value, *field, path, entry.key_place));
    }
    for (const Field& f : fields)
      if (f.required && !seen.contains(f.key))
        problem(record.key_place, record.path.empty() ? f.key : record.path + "." + f.key,
                "is missing", f.description);
  }

 private:
  static std::string unknown_key_hint(const std::string& key, const std::vector<Field>& fields) {
    const std::string near = nearest(key, keys_of(fields));
    if (!near.empty()) return fmt::format("did you mean {}?", near);
    return "known keys here: " + joined(keys_of(fields));
  }

  void problem(Place place, std::string path, std::string message, std::string hint = "") {
    findings_.problems.push_back(
        {place.line, place.column, std::move(path), std::move(message), std::move(hint)});
  }

  Record read(const YamlNode& node, const Field& field, const std::string& path, Place key_place) {
    // A block map's own place is its first key's: point at the key it belongs to instead.
    const bool single = node.kind == Kind::scalar;
    for (const Field& form : field.forms) {
      if (node.kind == (form.kind == FieldKind::maps ? Kind::list : Kind::map))
        return read(node, form, path, key_place);
    }
    Record r{&field, path, key_place, single ? node.place : key_place, node.scalar, {}, {}, false};
    const std::size_t problems_before = findings_.problems.size();
    if (node.kind == Kind::empty) {
      problem(key_place, path, "has no value", field.description);
      return r;
    }
    switch (field.kind) {
      case FieldKind::map:
        if (node.kind == Kind::map) {
          read_map(node, field.fields, r);
          r.sound = true;
        } else if (node.kind == Kind::scalar && !field.choices.empty()) {
          read_choice(r);
          r.sound = findings_.problems.size() == problems_before;
        } else {
          problem(r.place, path,
                  fmt::format("must have keys of its own{}, got {}",
                              field.choices.empty() ? "" : ", or be " + joined(field.choices),
                              describe(node)),
                  "known keys here: " + joined(keys_of(field.fields)));
        }
        return r;
      case FieldKind::maps:
        read_maps(node, r);
        return r;
      case FieldKind::quantities:
      case FieldKind::choices:
      case FieldKind::dates:
        read_list(node, r);
        return r;
      default:
        break;
    }
    if (node.kind != Kind::scalar) {
      problem(r.place, path, fmt::format("must be {}, got {}", wanted(field), describe(node)));
      return r;
    }
    read_scalar(r);
    r.sound = findings_.problems.size() == problems_before;
    if (!r.sound) r.data = {};
    return r;
  }

  static std::string wanted(const Field& field) {
    switch (field.kind) {
      case FieldKind::text:
        return "a text";
      case FieldKind::number:
        return "a number";
      case FieldKind::whole:
        return "a whole number";
      case FieldKind::quantity:
      case FieldKind::quantities:
        return "one number with a unit, e.g. " + quantity_example(field.dimension);
      case FieldKind::yes_no:
        return "yes or no";
      case FieldKind::choice:
      case FieldKind::choices:
        return "one of " + joined(field.choices);
      case FieldKind::date:
      case FieldKind::dates:
        return "a date as 2026-05-01";
      case FieldKind::month_day:
        return "month and day as 05-15";
      default:
        return "";
    }
  }

  void read_maps(const YamlNode& node, Record& r) {
    if (node.kind != Kind::list) {
      problem(r.place, r.path, fmt::format("must be a list, got {}", describe(node)),
              "start each entry with a dash: - " + r.field->fields.front().key + ": ...");
      return;
    }
    if (!check_count(node, r)) return;
    for (std::size_t i = 0; i < node.items.size(); ++i) {
      const YamlNode& item = node.items[i];
      Record entry{
          r.field, fmt::format("{}[{}]", r.path, i + 1), item.place, item.place, "", {}, {}, false};
      if (item.kind == Kind::map) {
        read_map(item, r.field->fields, entry);
        entry.sound = true;
      } else {
        problem(item.place, entry.path,
                fmt::format("must have keys of its own, got {}", describe(item)),
                "known keys here: " + joined(keys_of(r.field->fields)));
      }
      r.items.push_back(std::move(entry));
    }
    r.sound = true;
  }

  bool check_count(const YamlNode& node, const Record& r) {
    if (node.items.empty()) {
      problem(r.place, r.path, "must have at least one entry");
      return false;
    }
    if (node.items.size() > r.field->most) {
      problem(
          node.items[r.field->most].place, r.path,
          fmt::format("must have at most {} entries, got {}", r.field->most, node.items.size()));
      return false;
    }
    return true;
  }

  // Lists of quantities, dates or words; a single one counts as a list of one. Quantities may
  // repeat.
  void read_list(const YamlNode& node, Record& r) {
    std::vector<const YamlNode*> nodes;
    if (node.kind == Kind::list) {
      if (!check_count(node, r)) return;
      for (const YamlNode& item : node.items) nodes.push_back(&item);
    } else {
      nodes.push_back(&node);
    }
    const std::size_t problems_before = findings_.problems.size();
    std::set<std::string> seen;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
      const YamlNode& item = *nodes[i];
      Record entry{
          r.field,     node.kind == Kind::list ? fmt::format("{}[{}]", r.path, i + 1) : r.path,
          item.place,  item.place,
          item.scalar, {},
          {},          false};
      const std::size_t before = findings_.problems.size();
      if (item.kind != Kind::scalar) {
        problem(item.place, entry.path,
                fmt::format("must be {}, got {}", wanted(*r.field), describe(item)));
      } else {
        if (r.field->kind == FieldKind::quantities)
          read_quantity(entry);
        else if (r.field->kind == FieldKind::dates)
          read_date(entry);
        else
          read_choice(entry);
        if (r.field->kind != FieldKind::quantities && !seen.insert(item.scalar).second)
          problem(item.place, entry.path, fmt::format("{} stands twice", printable(item.scalar)));
      }
      entry.sound = findings_.problems.size() == before;
      r.items.push_back(std::move(entry));
    }
    r.sound = findings_.problems.size() == problems_before;
  }

  void read_scalar(Record& r) {
    switch (r.field->kind) {
      case FieldKind::text:
        return read_text(r);
      case FieldKind::number:
      case FieldKind::whole:
        return read_number(r);
      case FieldKind::quantity:
        return read_quantity(r);
      case FieldKind::yes_no:
        return read_yes_no(r);
      case FieldKind::choice:
        return read_choice(r);
      case FieldKind::date:
        return read_date(r);
      case FieldKind::month_day:
        return read_month_day(r);
      default:
        throw std::logic_error("not a single value");
    }
  }

  void read_text(Record& r) {
    const std::string all = printable(r.text, std::string::npos);
    if (r.text.find_first_not_of(' ') == std::string::npos)
      return problem(r.place, r.path, "must not be empty");
    if (all != r.text)
      return problem(r.place, r.path,
                     fmt::format("must be plain text in one line, got {}", printable(r.text, 40)),
                     "control characters cannot be shown");
    if (printable(r.text, r.field->most) != all)
      return problem(r.place, r.path,
                     fmt::format("must have at most {} characters", r.field->most));
    r.data = r.text;
  }

  void read_number(Record& r) {
    const bool whole = r.field->kind == FieldKind::whole;
    const auto value = parse_number(r.text);
    if (!value || (whole && *value != std::floor(*value)))
      return problem(r.place, r.path,
                     fmt::format("must be {}{}, got {}", wanted(*r.field),
                                 value ? "" : " without unit", printable(r.text, 40)));
    check_limits(
        r, *value, [](const std::string& limit) { return *parse_number(limit); },
        [](double, const std::string& limit) { return limit; });
    r.data = *value;
  }

  void read_quantity(Record& r) {
    const Dimension d = r.field->dimension;
    const auto parsed = parse_quantity(r.text, d);
    if (const auto* error = std::get_if<UnitError>(&parsed))
      return problem(r.place, r.path,
                     fmt::format("{}, got {}", error->message, printable(r.text, 40)));
    const double value = std::get<double>(parsed);
    check_limits(
        r, value,
        [&](const std::string& limit) { return std::get<double>(parse_quantity(limit, d)); },
        [&](double limit, const std::string&) { return quantity_in_unit_of(limit, d, r.text); });
    r.data = value;
  }

  template <class ValueOf, class Show>
  void check_limits(const Record& r, double value, ValueOf value_of, Show shown) {
    const Limits& l = r.field->limits;
    const auto off = [&](const char* rule, const std::string& limit) {
      problem(r.place, r.path,
              fmt::format("must be {} {}, got {}", rule, shown(value_of(limit), limit),
                          printable(r.text, 40)));
    };
    if (!l.above.empty() && !(value > value_of(l.above))) return off("greater than", l.above);
    if (!l.at_least.empty() && !(value >= value_of(l.at_least))) return off("at least", l.at_least);
    if (!l.at_most.empty() && !(value <= value_of(l.at_most))) return off("at most", l.at_most);
  }

  void read_yes_no(Record& r) {
    if (r.text == "yes" || r.text == "true")
      r.data = true;
    else if (r.text == "no" || r.text == "false")
      r.data = false;
    else
      problem(r.place, r.path, fmt::format("must be yes or no, got {}", printable(r.text, 40)));
  }

  void read_choice(Record& r) {
    const auto& choices = r.field->choices;
    if (std::ranges::find(choices, r.text) != choices.end()) {
      r.data = r.text;
      return;
    }
    const std::string near = nearest(r.text, choices);
    problem(r.place, r.path,
            fmt::format("must be {}{}, got {}", choices.size() > 1 ? "one of " : "",
                        joined(choices), printable(r.text, 40)),
            near.empty() ? "" : fmt::format("did you mean {}?", near));
  }

  void read_date(Record& r) {
    const auto parsed = parse_date(r.text);
    if (const auto* error = std::get_if<std::string>(&parsed))
      return problem(r.place, r.path, *error);
    r.data = std::get<Date>(parsed);
  }

  void read_month_day(Record& r) {
    const auto parsed = parse_month_day(r.text);
    if (const auto* error = std::get_if<std::string>(&parsed))
      return problem(r.place, r.path, *error);
    r.data = std::get<MonthDay>(parsed);
  }

  Findings& findings_;
};

}  // namespace

Record read_record(const YamlNode& root, const std::vector<Field>& fields, Findings& findings) {
  Record record;
  if (root.kind == Kind::map) {
    Reader(findings).read_map(root, fields, record);
    record.sound = true;
  } else {
    findings.problems.push_back({root.place.line, root.place.column, "",
                                 fmt::format("must have keys, got {}", describe(root)),
                                 "known keys: " + joined(keys_of(fields))});
  }
  return record;
}

std::variant<Date, std::string> parse_date(std::string_view text) {
  using namespace std::chrono;
  const bool form = text.size() == 10 && text[4] == '-' && text[7] == '-';
  const auto y = digits(text.substr(0, 4));
  const auto m = form ? digits(text.substr(5, 2)) : std::nullopt;
  const auto d = form ? digits(text.substr(8, 2)) : std::nullopt;
  if (!y || !m || !d)
    return fmt::format("must be a date as 2026-05-01, got {}", printable(text, 40));
  const year_month_day ymd{year{static_cast<int>(*y)}, month{*m}, day{*d}};
  if (!ymd.ok()) return fmt::format("there is no day {}", text);
  if (*y < 1900 || *y > 2300)
    return fmt::format("must be a date of the years 1900 to 2300, got {}", text);
  return Date{sys_days{ymd}};
}

}  // namespace restwell
