#include "sim/set_path.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <utility>

#include "sim/alternatives.hpp"
#include "sim/record.hpp"
#include "sim/text_parts.hpp"

namespace restwell {
namespace {

using Kind = YamlNode::Kind;

// ---- texts ----------------------------------------------------------------------------------
std::string joined(const std::vector<std::string>& words) {
  return fmt::format("{}", fmt::join(words, ", "));
}

std::string shown(const YamlNode& node) {
  switch (node.kind) {
    case Kind::scalar:
      return printable(node.scalar, 40);
    case Kind::list: {
      std::vector<std::string> items;
      for (const YamlNode& item : node.items) items.push_back(shown(item));
      return "[" + joined(items) + "]";
    }
    case Kind::map: {
      std::vector<std::string> items;
      for (const YamlEntry& e : node.entries)
        items.push_back(printable(e.key, 40) + ": " + shown(e.value));
      return "{" + joined(items) + "}";
    }
    case Kind::empty:
      break;
  }
  return "nothing";
}

// ---- paths ----------------------------------------------------------------------------------
// Keys and entries in their order; nothing if the brackets or dots do not fit.
std::optional<std::vector<std::string>> steps_of(std::string_view path) {
  std::vector<std::string> steps;
  for (std::size_t at = 0; at < path.size();) {
    if (path[at] == '[') {
      const std::size_t end = path.find(']', at);
      if (end == std::string_view::npos || steps.empty()) return std::nullopt;
      steps.push_back(trimmed(path.substr(at + 1, end - at - 1)));
      at = end + 1;
      if (at < path.size() && path[at] != '.' && path[at] != '[') return std::nullopt;
      if (at < path.size() && path[at] == '.' && ++at == path.size()) return std::nullopt;
    } else {
      const std::size_t end = std::min(path.find_first_of(".[", at), path.size());
      steps.push_back(trimmed(path.substr(at, end - at)));
      at = end;
      if (at < path.size() && path[at] == '.' && ++at == path.size()) return std::nullopt;
    }
    if (steps.back().empty()) return std::nullopt;
  }
  if (steps.empty()) return std::nullopt;
  return steps;
}

// Paths of the table that end in this key, to help those who leave the beginning out. Entries of
// lists stand as *.
void paths_ending_in(std::string_view key, const std::vector<Field>& fields,
                     const std::string& above, std::vector<std::string>& found) {
  for (const Field& f : fields) {
    const std::string path = above.empty() ? f.key : above + "." + f.key;
    if (f.key == key) found.push_back(path);
    if (f.kind == FieldKind::map) paths_ending_in(key, f.fields, path, found);
    if (f.kind == FieldKind::maps) paths_ending_in(key, f.fields, path + ".*", found);
  }
}

YamlEntry* entry_of(YamlNode& map, std::string_view key) {
  const auto it = std::ranges::find(map.entries, key, &YamlEntry::key);
  return it == map.entries.end() ? nullptr : &*it;
}

std::string name_of(YamlNode& item, std::size_t index) {
  YamlEntry* const name = item.kind == Kind::map ? entry_of(item, "name") : nullptr;
  return name != nullptr && name->value.kind == Kind::scalar ? name->value.scalar
                                                             : std::to_string(index + 1);
}

void place_all(YamlNode& node, Place place) {
  node.place = place;
  for (YamlNode& item : node.items) place_all(item, place);
  for (YamlEntry& entry : node.entries) {
    entry.key_place = place;
    place_all(entry.value, place);
  }
}

struct Refusal {
  Diagnostic problem;
};

// Walks a path down the tree. Without a value it only looks; but maps that the file does not have
// are added on the way, so it looks in a copy.
class Walk {
 public:
  Walk(std::string path, Place place, const YamlNode* value)
      : path_(std::move(path)), place_(place), value_(value) {}

  void run(YamlNode& root) {
    const auto steps = steps_of(path_);
    if (!steps)
      refuse("is no path", "keys with dots between, as household.occupants or pits.east.depth");
    steps_ = *steps;
    if (root.kind != Kind::map) refuse("the file has no keys", "");
    into_map(root, scenario_fields(), 0, "", "");
  }

  [[nodiscard]] const PathTarget& target() const { return target_; }
  [[nodiscard]] std::vector<std::string> take_dropped() { return std::move(dropped_); }

 private:
  [[noreturn]] void refuse(std::string message, std::string hint) const {
    throw Refusal{
        {place_.line, place_.column, printable(path_, 80), std::move(message), std::move(hint)}};
  }

  [[noreturn]] void refuse_key(const std::string& key, const std::vector<Field>& fields,
                               const std::string& above) const {
    std::string hint;
    const std::string near = nearest(key, keys_of(fields));
    if (!near.empty()) {
      hint = fmt::format("did you mean {}?", above.empty() ? near : above + "." + near);
    } else {
      std::vector<std::string> elsewhere;
      paths_ending_in(key, scenario_fields(), "", elsewhere);
      const auto in_list = [](const std::string& p) { return p.find('*') != std::string::npos; };
      if (!std::ranges::all_of(elsewhere, in_list)) std::erase_if(elsewhere, in_list);
      constexpr std::size_t most_named = 4;
      if (elsewhere.size() > most_named) elsewhere.resize(most_named);
      if (!elsewhere.empty())
        hint = "did you mean " + fmt::format("{}", fmt::join(elsewhere, " or ")) + "?";
    }
    refuse(fmt::format("there is no {}{}; accepted here: {}", printable(key, 40),
                       above.empty() ? "" : " in " + above, joined(keys_of(fields))),
           hint);
  }

  // at: index of the step that names a key of this map. above: path for people, general: without
  // entries of lists.
  void into_map(YamlNode& map, const std::vector<Field>& fields, std::size_t at,
                const std::string& above, const std::string& general) {
    const std::string& key = steps_[at];
    const auto field = std::ranges::find(fields, key, &Field::key);
    if (field == fields.end()) refuse_key(key, fields, above);
    const std::string path = above.empty() ? key : above + "." + key;
    const std::string path_general = general.empty() ? key : general + "." + key;
    const bool last = at + 1 == steps_.size();
    if (value_ != nullptr) make_way(map, general, above, key, last);
    if (last) return put(map, *field, path);
    if (field->kind == FieldKind::maps) {
      YamlEntry* list = entry_of(map, key);
      if (list == nullptr || list->value.kind != Kind::list || list->value.items.empty())
        refuse(fmt::format("the file has no {}", path), "");
      return into_list(list->value, *field, at + 1, path, path_general);
    }
    const auto form = std::ranges::find(field->forms, FieldKind::map, &Field::kind);
    const Field& in = form == field->forms.end() ? *field : *form;
    if (in.kind != FieldKind::map)
      refuse(fmt::format("{} is a single value", path), fmt::format("{}=VALUE", path));
    YamlEntry* entry = entry_of(map, key);
    if (entry == nullptr) {
      map.entries.push_back({key, place_, {}});
      entry = &map.entries.back();
      entry->value.kind = Kind::map;
      entry->value.place = place_;
    } else if (entry->value.kind != Kind::map) {
      if (value_ != nullptr) dropped_.push_back(fmt::format("{} ({})", path, shown(entry->value)));
      entry->value = {};
      entry->value.kind = Kind::map;
      place_all(entry->value, place_);
      entry->key_place = place_;
    }
    into_map(entry->value, in.fields, at + 1, path, path_general);
  }

  // at: index of the step that names an entry.
  void into_list(YamlNode& list, const Field& field, std::size_t at, const std::string& path,
                 const std::string& general) {
    const std::string& which = steps_[at];
    std::vector<std::string> names;
    bool found = false;
    for (std::size_t i = 0; i < list.items.size(); ++i) {
      names.push_back(name_of(list.items[i], i));
      if (which != "*" && which != names.back() && which != std::to_string(i + 1)) continue;
      // A pit named "2" is not the second one.
      if (which != "*" && which != names.back() && named(list, which)) continue;
      found = true;
      const std::string entry = fmt::format("{}[{}]", path, i + 1);
      if (at + 1 == steps_.size()) {
        target_.field = &field;
        if (value_ != nullptr) list.items[i] = *value_;
      } else if (list.items[i].kind == Kind::map) {
        into_map(list.items[i], field.fields, at + 1, path + "." + names.back(), general);
      } else {
        refuse(fmt::format("{} has no keys", entry), "");
      }
    }
    if (found) return;
    std::vector<std::string> accepted;
    for (const std::string& name : names) accepted.push_back(path + "." + name);
    const std::string near = nearest(which, names);
    const bool is_key = std::ranges::find(field.fields, which, &Field::key) != field.fields.end();
    std::string hint;
    if (is_key)
      hint = fmt::format("say of which: {0}.{1}.{2}, or {0}.*.{2} for all", path, names.front(),
                         which);
    else if (!near.empty())
      hint = fmt::format("did you mean {}.{}?", path, near);
    refuse(fmt::format("there is no {} in {}; accepted: {}", printable(which, 40), path,
                       joined(accepted)),
           hint);
  }

  static bool named(YamlNode& list, const std::string& name) {
    for (std::size_t i = 0; i < list.items.size(); ++i)
      if (name_of(list.items[i], i) == name) return true;
    return false;
  }

  void make_way(YamlNode& map, const std::string& general, const std::string& above,
                const std::string& key, bool last) {
    for (const Alternative& a : alternatives()) {
      if (a.parent != general || a.key != key) continue;
      if (!a.only_value.empty() && !(last && says(a.only_value))) continue;
      std::erase_if(map.entries, [&](const YamlEntry& e) {
        // What another set value put there stays, for the loader to find the two at odds.
        if (std::ranges::find(a.dropped, e.key) == a.dropped.end() || e.key_place.line < 0)
          return false;
        dropped_.push_back(fmt::format("{}.{} ({})", above, e.key, shown(e.value)));
        return true;
      });
    }
  }

  [[nodiscard]] bool says(std::string_view value) const {
    return value_->kind == Kind::scalar &&
           (value_->scalar == value || (value == "yes" && value_->scalar == "true"));
  }

  void put(YamlNode& map, const Field& field, const std::string& path) {
    target_.field = &field;
    YamlEntry* entry = entry_of(map, field.key);
    const std::string was = entry != nullptr && entry->value.kind == Kind::scalar
                                ? entry->value.scalar
                                : (entry == nullptr ? field.preset : "");
    if (target_.was.empty()) {
      target_.was = was;
      target_.in_file = entry != nullptr;
    }
    if (value_ == nullptr) return;
    YamlNode value = *value_;
    if (value.kind == Kind::scalar && value.scalar.starts_with("+"))
      add_to(value, field, was, path);
    if (entry == nullptr) {
      map.entries.push_back({field.key, place_, std::move(value)});
    } else {
      entry->key_place = place_;
      entry->value = std::move(value);
    }
  }

  // "+2" to 4: 6. What is no number stays for the loader to refuse.
  void add_to(YamlNode& value, const Field& field, const std::string& was,
              const std::string& path) const {
    const bool bare = field.kind == FieldKind::number || field.kind == FieldKind::whole;
    if (!bare && field.kind != FieldKind::quantity) return;
    if (was.empty())
      refuse(fmt::format("{} cannot be added: neither the file nor a default says what {} is",
                         printable(value.scalar, 40), path),
             fmt::format("{}=VALUE", path));
    const std::string_view more = std::string_view(value.scalar).substr(1);
    if (bare) {
      const auto a = bare_number(was), b = bare_number(more);
      if (a && b) value.scalar = fmt::format("{:.10g}", *a + *b);
      return;
    }
    const Dimension difference = field.dimension == Dimension::temperature
                                     ? Dimension::temperature_difference
                                     : field.dimension;
    const auto a = parse_quantity(was, field.dimension);
    const auto b = parse_quantity(more, difference);
    if (std::holds_alternative<double>(a) && std::holds_alternative<double>(b))
      value.scalar =
          quantity_in_unit_of(std::get<double>(a) + std::get<double>(b), field.dimension, was);
  }

  std::string path_;
  Place place_;
  const YamlNode* value_;
  std::vector<std::string> steps_;
  PathTarget target_;
  std::vector<std::string> dropped_;
};

std::variant<YamlNode, Diagnostic> value_node(const PathValue& set, Place place) {
  const auto problem = [&](std::string message, std::string hint) {
    return Diagnostic{place.line, place.column, printable(set.path, 80), std::move(message),
                      std::move(hint)};
  };
  if (first_non_text_byte(set.text))
    return problem(fmt::format("must be plain text, got {}", printable(set.text, 40)), "");
  auto tree = read_yaml_tree(set.text);
  if (const auto* d = std::get_if<Diagnostic>(&tree)) return problem(d->message, d->hint);
  YamlNode node = std::get<YamlNode>(std::move(tree));
  if (node.kind == Kind::empty)
    return problem("has no value", fmt::format("{}=VALUE", printable(set.path, 80)));
  place_all(node, place);
  return node;
}

}  // namespace

std::variant<PathTarget, Diagnostic> find_path(const YamlNode& root, const std::string& path) {
  YamlNode copy = root;
  Walk walk(path, {}, nullptr);
  try {
    walk.run(copy);
  } catch (const Refusal& r) {
    return r.problem;
  }
  return walk.target();
}

std::vector<std::string> set_values(YamlNode& root, const std::vector<PathValue>& values,
                                    Findings& findings) {
  std::vector<std::string> dropped;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const Place place{line_of_set_value(i), 0};
    const auto value = value_node(values[i], place);
    if (const auto* d = std::get_if<Diagnostic>(&value)) {
      findings.problems.push_back(*d);
      continue;
    }
    Walk walk(values[i].path, place, &std::get<YamlNode>(value));
    try {
      walk.run(root);
    } catch (const Refusal& r) {
      findings.problems.push_back(r.problem);
    }
    for (std::string& d : walk.take_dropped()) dropped.push_back(std::move(d));
  }
  return dropped;
}

}  // namespace restwell
