#include "sim/perc_fields.hpp"

#include "models/soil.hpp"
#include "sim/field_forms.hpp"

namespace restwell {

using namespace forms;

namespace {

Field structure(const char* description) {
  std::vector<std::string> classes;
  for (const StructureClass& c : structure_classes()) classes.emplace_back(c.name);
  return choice("structure", std::move(classes), "", description);
}

Field holes() {
  const Limits depth{"", "0 ft", "1000 ft"};
  Field water = quantity("water_depth", Dimension::length, {"", "1 in", "10 ft"}, "6 in",
                         "Depth of water over the gravel as each reading starts.");
  Field drops = quantity("drops", Dimension::length, {"", "0 in", "10 ft"}, "",
                         "Fall of the water in each interval, in order; the last one counts.");
  drops.kind = FieldKind::quantities;
  drops.most = 100;

  return maps(
      "holes", 40,
      {text("name", "Unlike every other hole's; hole 1, hole 2 if left out."),
       required(quantity(
           "diameter", Dimension::length, {"", "1 in", "10 ft"}, "",
           "Diameter of the hole: 4 to 12 in by the rule, 1 in to 10 ft is taken. It moves the "
           "result twofold.")),
       std::move(water),
       quantity("presoak", Dimension::duration, {"", "0 hours", "60 days"}, "",
                "How long the hole was kept soaked before the readings."),
       required(quantity("interval", Dimension::duration, {"0 minutes", "", "7 days"}, "",
                         "Time of each reading.")),
       required(std::move(drops)), structure("Capillarity class of the soil (Elrick et al. 1989)."),
       quantity("from_depth", Dimension::length, depth, "",
                "Top of the layer that the hole stands for, below ground; with to_depth."),
       quantity("to_depth", Dimension::length, depth, "", "Lower end of that layer, below ground."),
       quantity("thickness", Dimension::length, {"0 ft", "", "1000 ft"}, "",
                "Of the layer, where its depths are not known."),
       quantity("water_temperature", Dimension::temperature, {"", "0 degC", "40 degC"}, "",
                "Of the water in the hole.")},
      "The holes that were read.");
}

}  // namespace

const Field& perc_file_field() {
  static const Field file = [] {
    Field name = text("name", "Title of the test.");
    name.most = 80;
    Field question = text("question", "What the test is to answer.");
    question.most = 300;
    return map("",
               {std::move(name), std::move(question),
                choice("units", {"us", "metric"}, "us", "Of the results."),
                structure("Of every hole that does not say its own."), required(holes())},
               "Readings of a percolation test.");
  }();
  return file;
}

}  // namespace restwell
