#include "sim/site_fields.hpp"

#include "models/soil.hpp"
#include "sim/field_forms.hpp"
#include "sim/scenario.hpp"

namespace restwell {

using namespace forms;

// ---- box ---------------------------------------------------------------------------------------
namespace {

Field diameter_field(std::string preset, std::string description) {
  return quantity("outlet_diameter", Dimension::length, {"", "0.5 in", "24 in"}, std::move(preset),
                  std::move(description));
}

}  // namespace

Field box_field() {
  const Limits position{"", "-10 ft", "10 ft"};
  const Limits tilt{"", "-20 deg", "20 deg"};
  Field diameter = diameter_field("", "Inside; that of the box if left out.");
  diameter.key = "diameter";
  std::vector<Field> outlet{
      text("name", "Unlike every other outlet's.", true),
      text("to", "Name of the pit it leads to."),
      yes_no("capped", "no", "Closed; a capped outlet may lead to a pit that is not yet in use."),
      quantity("invert", Dimension::length, {"", "-3 ft", "3 ft"}, "0 in",
               "As measured with the box level, over the box's datum."),
      quantity("x", Dimension::length, position, "0 in", "Where it stands, from the box's middle."),
      quantity("y", Dimension::length, position, "0 in", "Where it stands, from the box's middle."),
      map("leveler",
          {required(quantity("eccentricity", Dimension::length, {"", "0 in", "6 in"}, "",
                             "Radius of the circle its opening turns on.")),
           quantity("angle", Dimension::angle, {"", "-360 deg", "360 deg"}, "0 deg",
                    "0: lowest setting, 180 deg: highest.")},
          "Flow leveler in the outlet."),
      quantity("raised", Dimension::length, {"", "-3 ft", "3 ft"}, "0 in",
               "Insert or leveler set higher than invert says; its pit stays where it is."),
      std::move(diameter),
      quantity("lip_growth", Dimension::length, {"", "0 in", "6 in"}, "0 in",
               "Slime and scale on the lip."),
      yes_no("check_valve", "no", "Lets nothing back into the box.")};

  return map("box",
             {quantity("lid", Dimension::length, {"0 in", "", "10 ft"}, "8 in",
                       "Where water leaves the box, over the datum."),
              quantity("lid_perimeter", Dimension::length, {"", "1 in", "100 ft"}, "1.2 m",
                       "Length of the gap around the lid."),
              choice("over_lid", {"surface", "house"}, "surface",
                     "Where water goes that leaves at the lid."),
              map("tilt",
                  {quantity("x", Dimension::angle, tilt, "0 deg", "Rise towards larger x."),
                   quantity("y", Dimension::angle, tilt, "0 deg", "Rise towards larger y.")},
                  "How the box leans."),
              diameter_field("4 in", "Of all outlets, inside."),
              required(maps("outlets", max_outlets, std::move(outlet), "1 to 8 outlets."))},
             "Distribution box; all its levels count from one datum. Or single_outlet.");
}

// ---- soil and pits -----------------------------------------------------------------------------
namespace {

std::vector<std::string> texture_names() {
  std::vector<std::string> names;
  for (const Texture& t : textures()) names.emplace_back(t.name);
  return names;
}

std::vector<Field> soil_fields() {
  return {
      quantity("perc", Dimension::percolation, {"0 min/inch", "", "10000 min/inch"}, "",
               "Percolation test."),
      quantity("hole_diameter", Dimension::length, {"", "1 in", "10 ft"}, "6 in",
               "Of the percolation test's hole."),
      quantity("water_depth", Dimension::length, {"", "1 in", "10 ft"}, "6 in",
               "Mean depth of water in the hole during the reading."),
      quantity("conductivity", Dimension::conductivity, {"0 cm/day", "", "1000 m/day"}, "",
               "Field-saturated."),
      choice("texture", texture_names(), "",
             "USDA class; its mean conductivity after Carsel and Parrish 1988."),
      choice("structure", {"gravelly", "structured", "unstructured", "compacted"}, "",
             "Capillarity class: alpha 36, 12, 4, 1 per metre (Elrick et al. 1989). The texture's "
             "class, or structured, if left out."),
      quantity("alpha", Dimension::inverse_length, {"", "0.1 1/m", "200 1/m"}, "",
               "Gardner alpha, instead of structure.")};
}

Field water_table_field() {
  const Limits below_ground = {"0 ft", "", "1000 ft"};
  Field table = quantity("water_table", Dimension::length, below_ground, "",
                         "Depth below ground: one depth, a season (mean, amplitude, high) or dated "
                         "depths; none near if left out.");
  constexpr std::size_t most_readings = 1000;
  table.forms = {
      map("water_table",
          {required(quantity("mean", Dimension::length, below_ground, "", "Mean depth.")),
           required(quantity("amplitude", Dimension::length, {"", "0 ft", "500 ft"}, "",
                             "Half of the difference between low and high.")),
           simple("high", FieldKind::month_day, "03-20",
                  "Day of the year when it stands highest; assumed if left out.")},
          "Depth below ground through the year."),
      maps(
          "water_table", most_readings,
          {required(date("date", "Day of the reading.")),
           required(quantity("depth", Dimension::length, below_ground, "", "Depth below ground."))},
          "Depths below ground by date; straight lines between them, the first one holds before, "
          "the last one from then on.")};
  return table;
}

}  // namespace

Field soil_field(bool of_site) {
  std::vector<Field> layer{quantity("from", Dimension::length, {"", "0 ft", "1000 ft"}, "",
                                    "Upper end, below ground; the end of the layer above if left "
                                    "out, and nothing else."),
                           quantity("to", Dimension::length, {"0 ft", "", "1000 ft"}, "",
                                    "Lower end, below ground; the last layer has none.")};
  for (Field& f : soil_fields()) layer.push_back(std::move(f));
  std::vector<Field> fields = soil_fields();
  fields.push_back(
      maps("layers", 20, std::move(layer), "From the top down, instead of single values."));
  if (of_site) {
    fields.push_back(water_table_field());
    fields.push_back(
        quantity("separation", Dimension::length, {"", "0 ft", "100 ft"}, "4 ft",
                 "Asked for between a pit's bottom and the water table. 4 ft is common "
                 "practice; local codes differ."));
  }
  Field soil = map("soil", std::move(fields),
                   of_site ? "Soil of the site: one of perc, conductivity, texture, layers."
                           : "Own soil of this pit; that of the site if left out.");
  return soil;
}

namespace {

// What pits and drain fields have in common; the state they are in and what leads on from them.
void add_common_fields(std::vector<Field>& fields) {
  Field when_full = map("when_full", {required(text("to", "Name of the next pit in series."))},
                        "Where water goes that a full pit cannot take. box if there is a box, else "
                        "house, if left out.");
  when_full.choices = {"box", "surface", "house"};

  Field while_resting =
      map("while_resting", {required(text("to", "Name of the pit that takes its water."))},
          "Where its water goes while it rests: to the others on the box, away by truck, or to one "
          "pit. The others, if left out.");
  while_resting.choices = {"others", "haul"};

  for (Field& f : std::vector<Field>{
           quantity("in_service", Dimension::duration, {"0 days", "", "200 years"}, "",
                    "Time in use before the start."),
           yes_no("new", "", "First used at the start; so if nothing else is given."),
           map("measured",
               {required(quantity("level", Dimension::length, {"", "0 ft", "200 ft"}, "",
                                  "Water over the bottom on the start date.")),
                required(quantity("drop", Dimension::conductivity, {"", "0 in/day", "1000 ft/day"},
                                  "", "How fast the level was seen to fall.")),
                yes_no("in_use", "no", "Water came in while it was watched."),
                quantity("high_water", Dimension::length, {"", "0 ft", "200 ft"}, "",
                         "Stain on the wall, over the bottom: clogged up to here.")},
               "What was measured at the start."),
           std::move(when_full), std::move(while_resting), soil_field(false)})
    fields.push_back(std::move(f));
}

Field inlet_below_box_field() {
  return quantity(
      "inlet_below_box", Dimension::length, {"", "0 in", "100 ft"}, "1 in",
      "Inlet invert below the invert of its outlet in the box, or below the tank's outlet.");
}

Field gravel_porosity_field() {
  return quantity("gravel_porosity", Dimension::percent, {"", "5 %", "90 %"}, "40 %",
                  "Open share of the gravel.");
}

}  // namespace

Field pits_field() {
  std::vector<Field> pit{
      text("name", "Unlike every other pit's.", true),
      required(quantity("diameter", Dimension::length, {"", "1 ft", "50 ft"}, "",
                        "Of the excavation, outside of the gravel.")),
      required(
          quantity("depth", Dimension::length, {"0 ft", "", "100 ft"}, "", "Bottom to inlet.")),
      quantity("inlet_depth", Dimension::length, {"0 ft", "", "50 ft"}, "3 ft", "Below ground."),
      quantity("cover_above_inlet", Dimension::length, {"0 ft", "", "50 ft"}, "",
               "Where water would come out at the top; inlet_depth if left out."),
      inlet_below_box_field(),
      map("lining",
          {required(quantity("inner_diameter", Dimension::length, {"", "6 in", "50 ft"}, "",
                             "Inside of the lining.")),
           required(quantity("outer_diameter", Dimension::length, {"", "6 in", "50 ft"}, "",
                             "Outside of the lining; gravel around it."))},
          "Blocks, bricks or rings."),
      gravel_porosity_field(),
      yes_no("filled_with_stone", "", "Stone or gravel inside too, not an open well.")};
  add_common_fields(pit);
  return maps("pits", max_pits, std::move(pit), "1 to 8 dry wells (seepage pits).");
}

Field trenches_field() {
  std::vector<Field> trench{
      text("name", "Unlike every other pit's and drain field's.", true),
      required(
          quantity("length", Dimension::length, {"0 ft", "", "1000 ft"}, "", "Of one trench.")),
      required(quantity("width", Dimension::length, {"0 in", "", "20 ft"}, "", "Of one trench.")),
      required(quantity("gravel_depth", Dimension::length, {"0 in", "", "20 ft"}, "",
                        "From the bottom up to the pipe's invert.")),
      whole("number", {"", "1", "50"}, "1", "Of equal trenches that fill alike."),
      quantity("inlet_depth", Dimension::length, {"0 ft", "", "50 ft"}, "2 ft",
               "Of the pipe's invert, below ground."),
      inlet_below_box_field(),
      gravel_porosity_field()};
  add_common_fields(trench);
  return maps("trenches", max_pits, std::move(trench),
              "Drain fields of gravel trenches; together with the pits at most 8.");
}

Field plan_field() {
  constexpr std::size_t most_works = 1000;
  return maps(
      "plan", most_works,
      {required(date("date", "Day of the work; it counts from that morning.")),
       text("outlet", "Name of the box's outlet that is worked on."),
       yes_no("capped", "", "The outlet is capped, or opened again."),
       quantity("raised", Dimension::length, {"", "-3 ft", "3 ft"}, "",
                "Its insert or leveler is set that much over invert."),
       quantity("leveler_angle", Dimension::angle, {"", "-360 deg", "360 deg"}, "",
                "Its leveler is turned to this angle."),
       text("to", "It is led to this pit."),
       yes_no("haul", "", "From now on all that leaves the tank is hauled away, or no more.")},
      "Work on box and pits, by date.");
}

}  // namespace restwell
