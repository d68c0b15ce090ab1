#include "sim/schema.hpp"

#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "sim/fields.hpp"

namespace restwell {
namespace {

using nlohmann::ordered_json;

ordered_json schema_of(const Field& field);

// A bare number of the table; whole ones without a decimal point.
ordered_json plain(const std::string& number) {
  double v = 0.0;
  std::from_chars(number.data(), number.data() + number.size(), v);
  if (v == std::floor(v) && std::abs(v) < 1e18) return static_cast<long long>(v);
  return v;
}

std::string definition_key(Dimension d) {
  std::string key;
  for (const char c : dimension_name(d)) {
    if (c == ' ') key += '_';
    if (c >= 'a' && c <= 'z') key += c;
    if (c == '(') break;
  }
  while (key.back() == '_') key.pop_back();
  return key;
}

ordered_json object_of(const std::vector<Field>& fields) {
  ordered_json properties = ordered_json::object();
  ordered_json required = ordered_json::array();
  for (const Field& f : fields) {
    properties[f.key] = schema_of(f);
    if (f.required) required.push_back(f.key);
  }
  ordered_json object = {{"type", "object"}, {"properties", properties}};
  if (!required.empty()) object["required"] = required;
  object["additionalProperties"] = false;
  return object;
}

ordered_json list_of(const ordered_json& item, std::size_t most) {
  return {{"type", "array"}, {"items", item}, {"minItems", 1}, {"maxItems", most}};
}

ordered_json date_schema() {
  return {{"type", "string"},
          {"format", "date"},
          {"pattern", "^(19[0-9]{2}|2[0-2][0-9]{2}|2300)-[0-9]{2}-[0-9]{2}$"}};
}

std::string limits_text(const Limits& l) {
  std::string text;
  if (!l.above.empty()) text += " More than " + l.above + ".";
  if (!l.at_least.empty()) text += " At least " + l.at_least + ".";
  if (!l.at_most.empty()) text += " At most " + l.at_most + ".";
  return text;
}

ordered_json number_schema(const Field& f) {
  ordered_json s = {{"type", f.kind == FieldKind::whole ? "integer" : "number"}};
  if (!f.limits.above.empty()) s["exclusiveMinimum"] = plain(f.limits.above);
  if (!f.limits.at_least.empty()) s["minimum"] = plain(f.limits.at_least);
  if (!f.limits.at_most.empty()) s["maximum"] = plain(f.limits.at_most);
  if (!f.preset.empty()) s["default"] = plain(f.preset);
  return s;
}

ordered_json type_of(const Field& f) {
  switch (f.kind) {
    case FieldKind::text:
      return {{"type", "string"}, {"minLength", 1}, {"maxLength", f.most}};
    case FieldKind::number:
    case FieldKind::whole:
      return number_schema(f);
    case FieldKind::quantity: {
      ordered_json s = {{"$ref", "#/$defs/" + definition_key(f.dimension)}};
      if (!f.preset.empty()) s["default"] = f.preset;
      if (f.forms.empty()) return s;
      ordered_json any = ordered_json::array();
      any.push_back(s);
      for (const Field& form : f.forms) any.push_back(type_of(form));
      return {{"anyOf", any}};
    }
    case FieldKind::quantities: {
      const ordered_json one = {{"$ref", "#/$defs/" + definition_key(f.dimension)}};
      return {{"anyOf", {one, list_of(one, f.most)}}};
    }
    // YAML 1.2 editors read true and false as truth values, yes and no as words.
    case FieldKind::yes_no: {
      ordered_json s = {{"enum", {"yes", "no", true, false}}};
      if (!f.preset.empty()) s["default"] = f.preset;
      return s;
    }
    case FieldKind::choice: {
      ordered_json s = {{"enum", f.choices}};
      if (!f.preset.empty()) s["default"] = f.preset;
      return s;
    }
    case FieldKind::choices: {
      const ordered_json one = {{"enum", f.choices}};
      return {{"anyOf", {one, list_of(one, f.choices.size())}}};
    }
    case FieldKind::date:
      return date_schema();
    case FieldKind::dates:
      return {{"anyOf", {date_schema(), list_of(date_schema(), f.most)}}};
    case FieldKind::month_day:
      return {{"type", "string"}, {"pattern", "^[0-9]{2}-[0-9]{2}$"}, {"examples", {"05-15"}}};
    case FieldKind::map: {
      if (f.choices.empty()) return object_of(f.fields);
      return {{"anyOf", {{{"enum", f.choices}}, object_of(f.fields)}}};
    }
    case FieldKind::maps:
      return list_of(object_of(f.fields), f.most);
  }
  return {};
}

ordered_json schema_of(const Field& f) {
  const bool dated = f.kind == FieldKind::date || f.kind == FieldKind::dates;
  ordered_json s = {{"description", f.description + limits_text(f.limits) +
                                        (dated ? " Years 1900 to 2300." : "")}};
  s.update(type_of(f));
  return s;
}

}  // namespace

std::string scenario_schema_json() {
  ordered_json schema = {{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                         {"title", "Scenario of a septic system on dry wells"}};
  schema.update(object_of(scenario_fields()));
  const ordered_json pits = {{"required", {"pits"}}}, trenches = {{"required", {"trenches"}}};
  schema["allOf"] = ordered_json::array({{{"anyOf", {pits, trenches}}}});
  // Either a box or a single pipe.
  schema["oneOf"] = {{{"required", {"box"}}}, {{"required", {"single_outlet"}}}};
  ordered_json definitions = ordered_json::object();
  for (const Dimension d : all_dimensions())
    definitions[definition_key(d)] = {
        {"type", "string"},
        {"description", "A number with a unit: " + accepted_units(d) + "."},
        {"pattern", quantity_pattern(d)},
        {"examples", {quantity_example(d)}}};
  schema["$defs"] = definitions;
  return schema.dump(2) + "\n";
}

}  // namespace restwell
