#include "sim/perc_fields.hpp"

#include "models/soil.hpp"

namespace restwell {
namespace {

Field field(const char* key, FieldKind kind, const char* description) {
  Field f;
  f.key = key;
  f.kind = kind;
  f.description = description;
  return f;
}
Field quantity(const char* key, Dimension d, Limits limits, const char* description) {
  Field f = field(key, FieldKind::quantity, description);
  f.dimension = d;
  f.limits = std::move(limits);
  return f;
}
Field required(Field f) {
  f.required = true;
  return f;
}
Field structure(const char* description) {
  Field f = field("structure", FieldKind::choice, description);
  for (const StructureClass& c : structure_classes()) f.choices.emplace_back(c.name);
  return f;
}

Field holes() {
  const Limits depth{"", "0 ft", "1000 ft"};
  Field water = quantity("water_depth", Dimension::length, {"", "1 in", "10 ft"},
                         "Depth of water over the gravel as each reading starts.");
  water.preset = "6 in";
  Field drops = quantity("drops", Dimension::length, {"", "0 in", "10 ft"},
                         "Fall of the water in each interval, in order; the last one counts.");
  drops.kind = FieldKind::quantities;
  drops.most = 100;

  Field f = field("holes", FieldKind::maps, "The holes that were read.");
  f.most = 40;
  f.fields = {
      field("name", FieldKind::text, "Unlike every other hole's; hole 1, hole 2 if left out."),
      required(
          quantity("diameter", Dimension::length, {"", "1 in", "10 ft"},
                   "Diameter of the hole, 4 to 12 in by the rule. It moves the result twofold.")),
      std::move(water),
      quantity("presoak", Dimension::duration, {"", "0 hours", "60 days"},
               "How long the hole was kept soaked before the readings."),
      required(quantity("interval", Dimension::duration, {"0 minutes", "", "7 days"},
                        "Time of each reading.")),
      required(std::move(drops)),
      structure("Capillarity class of the soil (Elrick et al. 1989)."),
      quantity("from_depth", Dimension::length, depth,
               "Top of the layer that the hole stands for, below ground; with to_depth."),
      quantity("to_depth", Dimension::length, depth, "Lower end of that layer, below ground."),
      quantity("thickness", Dimension::length, {"0 ft", "", "1000 ft"},
               "Of the layer, where its depths are not known."),
      quantity("water_temperature", Dimension::temperature, {"", "0 degC", "40 degC"},
               "Of the water in the hole.")};
  return f;
}

}  // namespace

const Field& perc_file_field() {
  static const Field file = [] {
    Field f = field("", FieldKind::map, "Readings of a percolation test.");
    Field name = field("name", FieldKind::text, "Title of the test.");
    name.most = 80;
    Field question = field("question", FieldKind::text, "What the test is to answer.");
    question.most = 300;
    Field units = field("units", FieldKind::choice, "Of the results.");
    units.choices = {"us", "metric"};
    units.preset = "us";
    f.fields = {std::move(name), std::move(question), std::move(units),
                structure("Of every hole that does not say its own."), required(holes())};
    return f;
  }();
  return file;
}

}  // namespace restwell
