#include "sim/yaml_text.hpp"

#include <algorithm>
#include <cctype>
#include <string_view>

namespace restwell {
namespace {

constexpr std::size_t line_width = 96;

// Safe without quotes: a letter, digit or point, then these and blanks. Words that YAML takes for
// nothing are not.
bool is_plain(std::string_view text) {
  const auto letter = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
  if (text.empty() || text.back() == ' ' || !(letter(text.front()) || text.front() == '.'))
    return false;
  for (const std::string_view nothing : {"null", "Null", "NULL"})
    if (text == nothing) return false;
  return std::ranges::all_of(text, [&](char c) {
    return letter(c) || std::string_view(" ./%+-_()").find(c) != std::string_view::npos;
  });
}

std::string quoted(std::string_view text) {
  if (is_plain(text)) return std::string(text);
  const bool lines = text.find_first_of("\n\t") != std::string_view::npos;
  std::string out(1, lines ? '"' : '\'');
  for (const char c : text) {
    if (lines && c == '\n') {
      out += "\\n";
    } else if (lines && c == '\t') {
      out += "\\t";
    } else if (lines && (c == '"' || c == '\\')) {
      out += std::string("\\") + c;
    } else if (!lines && c == '\'') {
      out += "''";
    } else {
      out += c;
    }
  }
  return out + out.front();
}

std::string in_braces(const YamlNode& node) {
  std::string text;
  switch (node.kind) {
    case YamlNode::Kind::empty:
      return "~";
    case YamlNode::Kind::scalar:
      return quoted(node.scalar);
    case YamlNode::Kind::list:
      for (const YamlNode& item : node.items)
        text.append(text.empty() ? "" : ", ").append(in_braces(item));
      return "[" + text + "]";
    case YamlNode::Kind::map:
      for (const YamlEntry& e : node.entries)
        text.append(text.empty() ? "" : ", ").append(e.key + ": " + in_braces(e.value));
      return "{" + text + "}";
  }
  return text;
}

// "key: value" at a depth, in one line if it is short or may not go deeper.
std::string entry_text(const YamlEntry& e, std::size_t depth) {
  const std::string front = std::string(2 * depth, ' ') + e.key + ":";
  const bool holds_maps = e.value.kind == YamlNode::Kind::list && !e.value.items.empty() &&
                          e.value.items.front().kind == YamlNode::Kind::map;
  const std::string line = front + " " + in_braces(e.value) + "\n";
  if (holds_maps) {
    std::string text = front + "\n";
    for (const YamlNode& item : e.value.items)
      text += std::string(2 * depth + 2, ' ') + "- " + in_braces(item) + "\n";
    return text;
  }
  if (e.value.kind != YamlNode::Kind::map || e.value.entries.empty() || depth > 0) return line;
  const bool has_lists = std::ranges::any_of(e.value.entries, [](const YamlEntry& inner) {
    return inner.value.kind == YamlNode::Kind::list;
  });
  if (line.size() <= line_width && !has_lists) return line;
  std::string text = front + "\n";
  for (const YamlEntry& inner : e.value.entries) text += entry_text(inner, depth + 1);
  return text;
}

}  // namespace

YamlNode yaml_word(std::string text) {
  YamlNode node;
  node.kind = YamlNode::Kind::scalar;
  node.scalar = std::move(text);
  return node;
}

YamlNode yaml_list(std::vector<YamlNode> items) {
  YamlNode node;
  node.kind = YamlNode::Kind::list;
  node.items = std::move(items);
  return node;
}

YamlNode yaml_map(const std::vector<std::pair<std::string, YamlNode>>& entries) {
  YamlNode node;
  node.kind = YamlNode::Kind::map;
  for (const auto& [key, value] : entries) node.entries.push_back({key, {}, value});
  return node;
}

YamlNode* find_entry(YamlNode& map, const std::string& key) {
  const auto found = std::ranges::find(map.entries, key, &YamlEntry::key);
  return found == map.entries.end() ? nullptr : &found->value;
}

void set_entry(YamlNode& map, const std::string& key, YamlNode value) {
  if (YamlNode* found = find_entry(map, key)) {
    *found = std::move(value);
  } else {
    map.entries.push_back({key, {}, std::move(value)});
  }
}

void drop_entry(YamlNode& map, const std::string& key) {
  std::erase_if(map.entries, [&](const YamlEntry& e) { return e.key == key; });
}

std::string yaml_text(const YamlNode& root) {
  std::string text;
  for (const YamlEntry& e : root.entries) text += entry_text(e, 0);
  return text;
}

}  // namespace restwell
