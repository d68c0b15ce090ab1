// Schema and loader know the same keys, and the good files keep to the schema.
#if defined(__GNUC__) && !defined(__clang__)
// False alarm of g++ 12 inside <regex> when the sanitizers are on.
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif

#include "sim/schema.hpp"

#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <sstream>

#include "sim/diagnostic.hpp"
#include "sim/scenario_yaml.hpp"
#include "sim/yaml_tree.hpp"
#include "tests/support/rows.hpp"

using namespace restwell;
using nlohmann::ordered_json;

namespace {

const ordered_json& schema() {
  static const ordered_json s = ordered_json::parse(scenario_schema_json());
  return s;
}

std::string text_of(const std::string& name) {
  std::ifstream stream(std::string(RESTWELL_SOURCE_DIR) + "/tests/support/" + name);
  REQUIRE(stream);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

// The part of a schema that describes a node of this kind.
const ordered_json* part_for(const ordered_json& s, YamlNode::Kind kind) {
  if (s.contains("$ref")) {
    const std::string ref = s["$ref"];
    return part_for(schema().at(ordered_json::json_pointer(ref.substr(1))), kind);
  }
  if (s.contains("anyOf")) {
    for (const auto& each : s["anyOf"])
      if (const auto* part = part_for(each, kind)) return part;
    return nullptr;
  }
  const std::string type = s.value("type", "");
  const bool fits = kind == YamlNode::Kind::map    ? type == "object"
                    : kind == YamlNode::Kind::list ? type == "array"
                                                   : type != "object" && type != "array";
  return fits ? &s : nullptr;
}

// The objects it may hold: itself, or the entries of its list; a key may be written in both ways.
std::vector<const ordered_json*> objects_in(const ordered_json& s) {
  std::vector<const ordered_json*> objects;
  if (const auto* map = part_for(s, YamlNode::Kind::map)) objects.push_back(map);
  if (const auto* list = part_for(s, YamlNode::Kind::list))
    if (const auto* item = part_for((*list)["items"], YamlNode::Kind::map)) objects.push_back(item);
  return objects;
}

bool scalar_fits(const ordered_json& s, const std::string& text) {
  if (s.contains("enum")) {
    for (const auto& word : s["enum"])
      if (word.is_string() && word == text) return true;
    return false;
  }
  if (s.contains("pattern"))
    return std::regex_match(text, std::regex(s["pattern"].get<std::string>()));
  if (s["type"] == "string") return true;
  std::size_t used = 0;
  const double v = std::stod(text, &used);
  return used == text.size() && v >= s.value("minimum", -1e300) && v <= s.value("maximum", 1e300);
}

void check_fits(const ordered_json& s, const YamlNode& node, const std::string& path,
                std::set<std::string>& used) {
  INFO(path);
  const ordered_json* part = part_for(s, node.kind);
  REQUIRE(part != nullptr);
  switch (node.kind) {
    case YamlNode::Kind::map:
      for (const YamlEntry& e : node.entries) {
        REQUIRE((*part)["properties"].contains(e.key));
        used.insert(path + "." + e.key);
        check_fits((*part)["properties"][e.key], e.value, path + "." + e.key, used);
      }
      if (part->contains("required"))
        for (const auto& key : (*part)["required"]) {
          const bool there =
              std::ranges::any_of(node.entries, [&](const YamlEntry& e) { return key == e.key; });
          CHECK(there);
        }
      return;
    case YamlNode::Kind::list:
      for (const YamlNode& item : node.items) check_fits((*part)["items"], item, path, used);
      return;
    default:
      INFO(node.scalar);
      CHECK(scalar_fits(*part, node.scalar));
  }
}

struct Step {
  std::string key;
  bool list;
};

// A file that holds nothing but an unknown key at the end of the steps.
std::string probe(const std::vector<Step>& steps) {
  std::string text = "{surely_not_a_known_key: 1}";
  for (auto it = steps.rbegin(); it != steps.rend(); ++it)
    text = "{" + it->key + ": " + (it->list ? "[" + text + "]" : text) + "}";
  return text;
}

std::string joined_keys(const ordered_json& object) {
  std::string keys;
  for (const auto& [key, unused] : object["properties"].items())
    keys.append(keys.empty() ? "" : ", ").append(key);
  return keys;
}

void collect(const ordered_json& object, const std::string& path, std::set<std::string>& paths) {
  for (const auto& [key, each] : object["properties"].items()) {
    paths.insert(path + "." + key);
    for (const ordered_json* part : objects_in(each)) collect(*part, path + "." + key, paths);
  }
}

int check_same_keys(const ordered_json& object, std::vector<Step>& steps) {
  const std::string text = probe(steps);
  INFO(text);
  std::string hint;
  try {
    static_cast<void>(parse_scenario(text, "probe"));
  } catch (const ScenarioError& e) {
    for (const Diagnostic& d : e.problems())
      if (d.message == "unknown key") hint = d.hint;
  }
  CHECK(hint == "known keys here: " + joined_keys(object));
  CHECK(object["additionalProperties"] == false);
  int objects = 1;
  for (const auto& [key, each] : object["properties"].items()) {
    CHECK_FALSE(each.value("description", "").empty());
    const ordered_json* list = part_for(each, YamlNode::Kind::list);
    for (const ordered_json* part : objects_in(each)) {
      steps.push_back({key, part != part_for(each, YamlNode::Kind::map) && list != nullptr});
      objects += check_same_keys(*part, steps);
      steps.pop_back();
    }
  }
  return objects;
}

}  // namespace

TEST_CASE("schema and loader know the same keys in every place") {
  CHECK(schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema");
  std::vector<Step> steps;
  CHECK(check_same_keys(schema(), steps) > 30);
}

TEST_CASE("the good files use every key of the schema, keep to it, and load") {
  std::set<std::string> used;
  for (const char* name : {"full.yaml", "other_ways.yaml", "other_soil.yaml"}) {
    const std::string text = text_of(name);
    CHECK_NOTHROW(parse_scenario(text, name));
    const auto tree = read_yaml_tree(text);
    REQUIRE(std::holds_alternative<YamlNode>(tree));
    check_fits(schema(), std::get<YamlNode>(tree), "", used);
  }
  std::set<std::string> known;
  collect(schema(), "", known);
  for (const std::string& path : known) {
    // The keys of a fixture, and of soil, are the same wherever they stand: once is enough.
    const bool repeated = path.find(".fixture.") != std::string::npos ||
                          path.find(".layers.") != std::string::npos ||
                          path.starts_with(".trenches.soil.");
    INFO(path);
    if (!repeated) CHECK((used.contains(path) || used.contains(".pits" + path)));
  }
}

TEST_CASE("what has the wrong unit does not fit the schema") {
  const auto fits = [](const char* key, const std::string& text) {
    const ordered_json& tank = schema()["properties"]["tank"]["properties"];
    return scalar_fits(*part_for(tank[key], YamlNode::Kind::scalar), text);
  };
  CHECK(fits("volume", "1000 gal"));
  CHECK_FALSE(fits("volume", "1000"));
  CHECK_FALSE(fits("volume", "1000 ft"));
  CHECK(fits("inlet_baffle", "missing"));
  CHECK_FALSE(fits("inlet_baffle", "gone"));
}
