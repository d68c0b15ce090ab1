#include <fmt/format.h>

#include <set>
#include <string_view>
#include <utility>

#include "sim/input_file.hpp"
#include "sim/whatif_cases.hpp"

namespace restwell {
namespace {

using Kind = YamlNode::Kind;

constexpr std::size_t longest_name = 60;
constexpr const char* example = "{name: two more people, set: {household.occupants: +2}}";

bool edged_with_blanks(std::string_view text) {
  return text.empty() || text.front() == ' ' || text.back() == ' ';
}

// A value as text that reads back to the same.
std::string flow_text(const YamlNode& node) {
  std::vector<std::string> items;
  switch (node.kind) {
    case Kind::scalar: {
      if (!edged_with_blanks(node.scalar) &&
          node.scalar.find_first_of("{}[],:#\"'&*!|>%@`\n") == std::string::npos)
        return node.scalar;
      std::string quoted = "'";
      for (const char c : node.scalar) quoted += c == '\'' ? "''" : std::string(1, c);
      return quoted + "'";
    }
    case Kind::list:
      for (const YamlNode& item : node.items) items.push_back(flow_text(item));
      return fmt::format("[{}]", fmt::join(items, ", "));
    case Kind::map:
      for (const YamlEntry& e : node.entries) items.push_back(e.key + ": " + flow_text(e.value));
      return fmt::format("{{{}}}", fmt::join(items, ", "));
    case Kind::empty:
      break;
  }
  return "";
}

class CasesReader {
 public:
  explicit CasesReader(const YamlNode& site) : site_(site) {}

  void read(const YamlNode& root) {
    if (root.kind != Kind::map)
      return add(root.place, "", "must have the key cases",
                 std::string("cases: [") + example + "]");
    const YamlNode* list = nullptr;
    for (const YamlEntry& e : root.entries) {
      if (e.key != "cases")
        add(e.key_place, printable(e.key, 40), "unknown key", "known key: cases");
      else if (list != nullptr)
        add(e.key_place, "cases", "stands twice", "keep one of the two");
      else
        list = &e.value;
    }
    if (list == nullptr)
      return add({}, "cases", "is missing", std::string("cases: [") + example + "]");
    if (list->kind != Kind::list || list->items.empty())
      return add(list->place, "cases", "must be a list of at least one case", example);
    for (std::size_t i = 0; i < list->items.size(); ++i) read_case(list->items[i], i);
    if (cases_.size() > most_cases)
      add(list->place, "cases",
          fmt::format("stand for {} cases, at most {} are run", cases_.size(), most_cases));
  }

  [[nodiscard]] std::vector<WhatIfCase> take_cases() { return std::move(cases_); }
  [[nodiscard]] std::vector<Diagnostic> take_problems() { return std::move(problems_); }

 private:
  void add(Place place, std::string field, std::string message, std::string hint = "") {
    problems_.push_back(
        {place.line, place.column, std::move(field), std::move(message), std::move(hint)});
  }

  void read_case(const YamlNode& node, std::size_t index) {
    const std::string path = fmt::format("cases[{}]", index + 1);
    if (node.kind != Kind::map)
      return add(node.place, path, "must have the keys name and set", example);
    const YamlNode* name = nullptr;
    const YamlNode* set = nullptr;
    for (const YamlEntry& e : node.entries) {
      const YamlNode** slot = e.key == "name" ? &name : e.key == "set" ? &set : nullptr;
      if (slot == nullptr)
        add(e.key_place, path + "." + printable(e.key, 40), "unknown key",
            "known keys here: name, set");
      else if (*slot != nullptr)
        add(e.key_place, path + "." + e.key, "stands twice", "keep one of the two");
      else
        *slot = &e.value;
    }
    if (name == nullptr)
      add(node.place, path + ".name", "is missing", example);
    else
      check_name(*name, path);
    if (set == nullptr)
      add(node.place, path + ".set", "is missing", example);
    else if (set->kind != Kind::map || set->entries.empty())
      add(set->place, path + ".set", "must give at least one path and its value", example);
    else
      read_set(*set, name == nullptr ? "" : name->scalar, path);
  }

  void check_name(const YamlNode& name, const std::string& path) {
    if (name.kind != Kind::scalar || edged_with_blanks(name.scalar) ||
        printable(name.scalar, longest_name) != name.scalar)
      add(name.place, path + ".name",
          fmt::format("must be a text in one line of 1 to {} characters", longest_name));
    else if (!names_.insert(name.scalar).second)
      add(name.place, path + ".name", fmt::format("{} stands twice", name.scalar),
          "give every case its own name");
  }

  void read_set(const YamlNode& set, const std::string& name, const std::string& path) {
    std::vector<Setting> settings;
    std::set<std::string> seen;
    for (const YamlEntry& e : set.entries) {
      const std::string where = path + ".set." + printable(e.key, 60);
      if (!seen.insert(e.key).second) {
        add(e.key_place, where, "stands twice", "keep one of the two");
        continue;
      }
      const Place place = e.value.kind == Kind::scalar ? e.value.place : e.key_place;
      const std::string text = flow_text(e.value);
      auto setting = setting_of(site_, e.key, text, place);
      if (const auto* d = std::get_if<Diagnostic>(&setting))
        add(place, where, d->message, d->hint);
      else
        settings.push_back(std::get<Setting>(std::move(setting)));
    }
    const double count = number_of_combinations(settings);
    if (count > static_cast<double>(most_cases))
      return add(set.place, path + ".set",
                 fmt::format("stands for {:.0f} cases, at most {} are run", count, most_cases));
    for (WhatIfCase& c : combinations(name, settings)) cases_.push_back(std::move(c));
  }

  const YamlNode& site_;
  std::vector<WhatIfCase> cases_;
  std::set<std::string> names_;
  std::vector<Diagnostic> problems_;
};

}  // namespace

CasesFile read_cases_file(const YamlNode& site, const std::filesystem::path& file) {
  return parse_cases(site, read_input_file(file), file.string());
}

CasesFile parse_cases(const YamlNode& site, const std::string& text, const std::string& name) {
  InputTree tree = input_tree(text, name);
  CasesReader reader(site);
  reader.read(tree.root);
  std::vector<Diagnostic> problems = reader.take_problems();
  if (!problems.empty()) throw ScenarioError(name, tree.text, std::move(problems));
  return {reader.take_cases(), name, std::move(tree.text)};
}

}  // namespace restwell
