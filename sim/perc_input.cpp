#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "sim/diagnostic.hpp"
#include "sim/input_file.hpp"
#include "sim/perc.hpp"
#include "sim/perc_fields.hpp"
#include "sim/record.hpp"
#include "sim/yaml_text.hpp"

namespace restwell {
namespace {

// A drop as deep as the water is a hole run dry, nobody knows when.
void check_drops(const Record& map, double water_depth_m, Findings& findings) {
  const Record* water = find(map, "water_depth");
  if (water != nullptr && !water->sound) return;
  for (const Record& r : entries(map, "drops")) {
    const double* drop = std::get_if<double>(&r.data);
    if (drop == nullptr || !r.sound || *drop < water_depth_m * (1 - 1e-9)) continue;
    add_problem(findings, r,
                fmt::format("must be less than the depth of water, {}, got {}",
                            water != nullptr ? water->text : preset(map, "water_depth"), r.text),
                "a hole run dry gives no rate: read at shorter intervals, 10 minutes by the rule");
  }
}

void read_layer_of(const Record& map, PercHole& hole, Findings& findings) {
  const Record* from = find(map, "from_depth");
  const Record* to = find(map, "to_depth");
  const Record* thickness = find(map, "thickness");
  if (thickness != nullptr && (from != nullptr || to != nullptr))
    add_problem(findings, *thickness, "cannot stand beside from_depth and to_depth",
                "keep the depths");
  if ((from == nullptr) != (to == nullptr))
    add_problem(findings, from != nullptr ? *from : *to,
                fmt::format("needs {} beside it", from != nullptr ? "to_depth" : "from_depth"));
  hole.thickness_m = number(map, "thickness");
  const auto top = number(map, "from_depth");
  const auto bottom = number(map, "to_depth");
  if (!top || !bottom) return;
  if (*bottom <= *top) {
    add_problem(findings, *to,
                fmt::format("must be deeper than from_depth, {}, got {}", from->text, to->text));
    return;
  }
  hole.from_depth_m = top;
  hole.to_depth_m = bottom;
  hole.thickness_m = *bottom - *top;
}

PercHole read_hole(const Record& map, const std::string& otherwise_structure, std::size_t index,
                   Findings& findings) {
  PercHole hole;
  hole.name = word(map, "name").value_or(fmt::format("hole {}", index + 1));
  hole.test.diameter_m = number_or(map, "diameter", hole.test.diameter_m);
  hole.test.water_depth_m = number_or(map, "water_depth", hole.test.water_depth_m);
  hole.water_depth_given = find(map, "water_depth") != nullptr;
  hole.test.presoak_day = number(map, "presoak");
  hole.test.interval_day = number_or(map, "interval", 1.0);
  for (const Record& r : entries(map, "drops"))
    if (const double* drop = std::get_if<double>(&r.data)) hole.test.drops_m.push_back(*drop);
  check_drops(map, hole.test.water_depth_m, findings);
  hole.structure = word(map, "structure").value_or(otherwise_structure);
  hole.test.clayey = hole.structure == "unstructured" || hole.structure == "compacted";
  hole.water_temperature_c = number(map, "water_temperature");
  read_layer_of(map, hole, findings);
  return hole;
}

void check_names(const std::vector<const Record*>& records, const std::vector<PercHole>& holes,
                 Findings& findings) {
  std::set<std::string> seen;
  for (std::size_t i = 0; i < holes.size(); ++i) {
    if (seen.insert(holes[i].name).second) continue;
    const Record* name = find(*records[i], "name");
    add_problem(findings, name != nullptr ? *name : *records[i],
                fmt::format("{} stands twice", holes[i].name), "give every hole its own name");
  }
}

// A layer in all holes or in none; layers are the same or lie apart.
void check_layers(const std::vector<const Record*>& records, const std::vector<PercHole>& holes,
                  Findings& findings) {
  constexpr double same_m = 1e-9;
  const bool layered =
      std::ranges::any_of(holes, [](const PercHole& h) { return h.thickness_m.has_value(); });
  if (!layered) return;
  for (std::size_t i = 0; i < holes.size(); ++i) {
    const PercHole& hole = holes[i];
    if (!hole.thickness_m) {
      add_problem(findings, *records[i],
                  "needs from_depth and to_depth, or thickness, as other holes have",
                  "say for every hole, or for none, which layer it stands for");
    }
    if (!hole.from_depth_m) continue;
    for (std::size_t other = 0; other < i; ++other) {
      if (!holes[other].from_depth_m) continue;
      const double from = *holes[other].from_depth_m, to = *holes[other].to_depth_m;
      const bool same =
          std::abs(from - *hole.from_depth_m) < same_m && std::abs(to - *hole.to_depth_m) < same_m;
      if (same || *hole.from_depth_m >= to - same_m || *hole.to_depth_m <= from + same_m) continue;
      add_problem(findings, *find(*records[i], "from_depth"),
                  fmt::format("its layer overlaps that of {}", holes[other].name),
                  "holes of one layer have the same depths");
      break;
    }
  }
}

PercInput read_perc(const Record& top, Findings& findings) {
  PercInput input;
  input.name = word(top, "name").value_or("Percolation test");
  input.question = word(top, "question").value_or("");
  input.units = word(top, "units") == "metric" ? UnitSystem::metric : UnitSystem::us;
  const std::string structure = word(top, "structure").value_or("");
  const std::vector<Record>& all = entries(top, "holes");
  std::vector<const Record*> records;  // of input.holes
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!all[i].sound) continue;
    records.push_back(&all[i]);
    input.holes.push_back(read_hole(all[i], structure, i, findings));
  }
  check_names(records, input.holes, findings);
  if (findings.problems.empty()) check_layers(records, input.holes, findings);
  return input;
}

// The tree's readings; what is wrong goes to findings.
PercInput read_root(const YamlNode& root, Findings& findings) {
  const Field& file = perc_file_field();
  Record top = read_record(root, file.fields, findings);
  top.field = &file;
  return top.sound ? read_perc(top, findings) : PercInput{};
}

struct OptionKey {
  const char* option;
  const char* key;
  std::string PercOptions::*text;
};
constexpr OptionKey option_keys[] = {
    {"--hole", "diameter", &PercOptions::hole},
    {"--water", "water_depth", &PercOptions::water},
    {"--presoak", "presoak", &PercOptions::presoak},
    {"--interval", "interval", &PercOptions::interval},
    {"--structure", "structure", &PercOptions::structure},
    {"--temperature", "water_temperature", &PercOptions::temperature},
};

// "holes[1].drops[2]" -> "--drop (reading 2)".
std::string option_of(const std::string& field) {
  const std::string prefix = "holes[1].";
  const std::string key = field.starts_with(prefix) ? field.substr(prefix.size()) : field;
  for (const OptionKey& o : option_keys)
    if (key == o.key) return o.option;
  if (key.starts_with("drops[")) {
    return fmt::format("--drop (reading {})", key.substr(6, key.size() - 7));
  }
  return "--drop";
}

}  // namespace

PercInput load_perc(const std::filesystem::path& file) {
  return parse_perc(read_input_file(file), file.string());
}

PercInput parse_perc(const std::string& given, const std::string& name) {
  const auto [text, root] = input_tree(given, name);
  if (is_site(root)) {
    throw ScenarioError(name, "",
                        {{0, 0, "", "is a site, not a percolation test",
                          fmt::format("restwell run {}; a test has holes:", printable(name))}});
  }
  Findings findings;
  PercInput input = read_root(root, findings);
  if (!findings.problems.empty()) throw ScenarioError(name, text, std::move(findings.problems));
  return input;
}

PercInput perc_from_options(const PercOptions& options) {
  YamlNode hole = yaml_map({});
  for (const OptionKey& o : option_keys)
    if (!(options.*o.text).empty()) set_entry(hole, o.key, yaml_word(options.*o.text));
  if (!options.drops.empty()) {
    std::vector<YamlNode> drops;
    for (const std::string& drop : options.drops) drops.push_back(yaml_word(drop));
    set_entry(hole, "drops", yaml_list(std::move(drops)));
  }
  const YamlNode root = yaml_map({{"holes", yaml_list({std::move(hole)})}});

  Findings findings;
  PercInput input = read_root(root, findings);
  if (findings.problems.empty()) return input;
  for (Diagnostic& d : findings.problems) d.field = option_of(d.field);
  throw ScenarioError("restwell perc", "", std::move(findings.problems));
}

}  // namespace restwell
