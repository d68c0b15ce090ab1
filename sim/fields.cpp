#include "sim/fields.hpp"

#include <utility>

#include "sim/assumptions.hpp"

namespace restwell {
namespace {

// Short forms of Field; a required field has no preset.
Field text(std::string key, std::string description, bool required = false) {
  return {std::move(key), FieldKind::text, std::move(description), required};
}
Field quantity(std::string key, Dimension d, Limits limits, std::string preset,
               std::string description) {
  return {std::move(key),    FieldKind::quantity, std::move(description), false, d,
          std::move(limits), std::move(preset)};
}
Field number(std::string key, Limits limits, std::string preset, std::string description,
             FieldKind kind = FieldKind::number) {
  return {
      std::move(key),   kind, std::move(description), false, Dimension::percent, std::move(limits),
      std::move(preset)};
}
Field whole(std::string key, Limits limits, std::string preset, std::string description) {
  return number(std::move(key), std::move(limits), std::move(preset), std::move(description),
                FieldKind::whole);
}
Field simple(std::string key, FieldKind kind, std::string preset, std::string description) {
  return {std::move(key),    kind, std::move(description), false,
          Dimension::length, {},   std::move(preset)};
}
Field yes_no(std::string key, std::string preset, std::string description) {
  return simple(std::move(key), FieldKind::yes_no, std::move(preset), std::move(description));
}
Field choice(std::string key, std::vector<std::string> choices, std::string preset,
             std::string description, FieldKind kind = FieldKind::choice) {
  Field f = simple(std::move(key), kind, std::move(preset), std::move(description));
  f.choices = std::move(choices);
  return f;
}
Field date(std::string key, std::string description) {
  return simple(std::move(key), FieldKind::date, "", std::move(description));
}
Field map(std::string key, std::vector<Field> fields, std::string description) {
  Field f = simple(std::move(key), FieldKind::map, "", std::move(description));
  f.fields = std::move(fields);
  return f;
}
Field maps(std::string key, std::size_t most, std::vector<Field> fields, std::string description) {
  Field f = map(std::move(key), std::move(fields), std::move(description));
  f.kind = FieldKind::maps;
  f.most = most;
  return f;
}
Field required(Field f) {
  f.required = true;
  return f;
}

constexpr std::size_t many = 1000;
const Limits positive_flow{"0 gal/day", "", "100000 gal/day"};
const Limits any_flow{"", "0 gal/day", "100000 gal/day"};

// ---- household ---------------------------------------------------------------------------------
const std::vector<std::string> fixture_sets{"efficient", "typical", "old"};

Field fixture_sets_field(std::string preset) {
  return choice(
      "fixtures", fixture_sets, std::move(preset),
      "Set of fixtures. Four people send about 130 (efficient), 160 (typical) or 200 (old) gal "
      "a day; flow goes as people to the power 0.63.");
}
Field fixture_field() {
  const std::vector<Field> use{
      quantity("volume", Dimension::volume, {"0 gal", "", "500 gal"}, "", "Per use."),
      number("per_person_per_day", {"", "0", "1000"}, "", "Uses per person and day."),
      quantity("flow", Dimension::flow, {"", "0.05 gal/min", "200 gal/min"}, "",
               "Rate at which it drains.")};
  std::vector<Field> fixtures;
  for (int i = 0; i < fixture_count; ++i)
    fixtures.push_back(map(std::string(fixture_name(static_cast<Fixture>(i))), use,
                           "What differs from the set of fixtures."));
  return map("fixture", std::move(fixtures), "Single fixtures that differ from the set.");
}
Field laundry_field() {
  return map("laundry",
             {number("loads_per_week", {"", "0", "100"}, "",
                     "Of the whole household; by the set of fixtures if left out."),
              choice("days", {"mon", "tue", "wed", "thu", "fri", "sat", "sun"}, "",
                     "Days with laundry; any day if left out.", FieldKind::choices)},
             "Laundry habits.");
}
Field leak_field(std::string preset) {
  return quantity("leak", Dimension::flow, any_flow, std::move(preset),
                  "Leaking fixtures, all day. 4.3 gal/day is the median home.");
}
Field occupants_field() {
  return number("occupants", {"", "0", "50"}, "", "People who live here; fractions allowed.");
}
Field home_by_day_field() {
  return number("home_by_day", {"", "0", "50"}, "",
                "How many of them are at home on a weekday; an average if left out.");
}

Field household_field() {
  const std::vector<Field> from_to{required(date("from", "First day.")),
                                   required(date("to", "Last day."))};
  std::vector<Field> guests = from_to;
  guests.push_back(number("overnight", {"", "0", "200"}, "0", "Guests who sleep here."));
  guests.push_back(number("day_visitors", {"", "0", "200"}, "0", "Visitors by day only."));

  std::vector<Field> season{required(simple("from", FieldKind::month_day, "", "First day, 05-15.")),
                            required(simple("to", FieldKind::month_day, "", "Last day, 09-30."))};

  Field softener =
      map("softener",
          {quantity("volume", Dimension::volume, {"0 gal", "", "500 gal"}, "50 gal",
                    "Brine and rinse water of one regeneration."),
           quantity("every", Dimension::duration, {"", "1 day", "1 year"}, "16 days",
                    "From one regeneration to the next.")},
          "Water softener that drains into the system. softener: {} takes both defaults.");

  Field other_dates = simple("dates", FieldKind::dates, "", "Only on these days.");
  other_dates.most = many;
  std::vector<Field> other{
      text("name", "What it is.", true),
      required(quantity("flow", Dimension::flow, positive_flow, "", "Constant while it runs.")),
      date("from", "First day; from the start if left out."),
      date("to", "Last day; for good if left out."), std::move(other_dates)};

  std::vector<Field> change{required(date("from", "From this day on.")),
                            occupants_field(),
                            home_by_day_field(),
                            leak_field(""),
                            yes_no("disposer", "", "Food-waste disposer."),
                            fixture_sets_field(""),
                            fixture_field(),
                            laundry_field()};

  return required(map(
      "household",
      {required(occupants_field()), home_by_day_field(),
       whole("bedrooms", {"", "1", "30"}, "",
             "To show the codes' design flow beside the household's own."),
       fixture_sets_field("typical"), fixture_field(), laundry_field(), leak_field("4.3 gal/day"),
       quantity("metered", Dimension::flow, positive_flow, "",
                "Mean flow by the water meter, leaks and softener included, outdoor use not: all "
                "uses are scaled to it. It does not change the solids."),
       yes_no("disposer", "no", "Food-waste disposer."), std::move(softener),
       maps("guests", many, std::move(guests), "Stays of guests."),
       maps("away", many, from_to, "Days on which nobody is here."),
       map("season", std::move(season),
           "Lived in only in this part of each year; may wrap over New Year."),
       maps("other_water", 50, std::move(other),
            "Water that does not belong there: sump pump, roof drain, ..."),
       maps("changes", many, std::move(change),
            "What changes on a date. What is left out stays as it was.")},
      "Who and what sends water to the drain."));
}

// ---- tank --------------------------------------------------------------------------------------
Field tank_field() {
  const std::vector<std::string> soundness{"sound", "missing"};
  const Limits plan{"", "1 ft", "100 ft"};
  Field on = simple("on", FieldKind::dates, "", "Pump-outs on these days besides.");
  on.most = many;
  Field pump_out =
      map("pump_out",
          {quantity(
               "every", Dimension::duration, {"", "7 days", "100 years"}, "",
               "From one pump-out to the next; the first counts from pumped, else from the start."),
           choice("when", {"solids", "sludge", "scum", "retention"}, "",
                  "When any of these is at its mark (see marks).", FieldKind::choices),
           std::move(on)},
          "When the tank will be pumped: never, or every, or when; and on given dates besides.");
  pump_out.choices = {"never"};
  pump_out.preset = "never";

  return required(map(
      "tank",
      {quantity("volume", Dimension::volume, {"", "50 gal", "100000 gal"}, "",
                "Of liquid, below the outlet. Or give length and width, or diameter."),
       choice("shape", {"rectangular", "round"}, "",
              "In plan; follows from the sizes if left out."),
       quantity("length", Dimension::length, plan, "", "Inside, along the flow."),
       quantity("width", Dimension::length, plan, "", "Inside."),
       quantity("diameter", Dimension::length, plan, "", "Inside, of a round tank."),
       quantity("liquid_depth", Dimension::length, {"", "1 ft", "20 ft"}, "48 in",
                "Bottom to outlet invert."),
       whole("compartments", {"", "1", "2"}, "1", "1 or 2."),
       choice("inlet_baffle", soundness, "sound", "Baffle or tee at the inlet."),
       choice("outlet_baffle", soundness, "sound", "Baffle or tee at the outlet."),
       quantity("outlet_baffle_depth", Dimension::length, {"0 in", "", "20 ft"}, "",
                "Its mouth below the liquid surface; 40 % of the liquid depth if left out."),
       quantity("outlet_diameter", Dimension::length, {"", "1 in", "24 in"}, "4 in",
                "Of the outlet pipe, inside."),
       map("found",
           {required(quantity("sludge", Dimension::length, {"", "0 in", "20 ft"}, "",
                              "Thickness at the bottom.")),
            required(quantity("scum", Dimension::length, {"", "0 in", "20 ft"}, "",
                              "Thickness at the top."))},
           "Measured on the start date."),
       maps("readings", 100,
            {required(date("date", "Day of the reading; before the start as a rule.")),
             required(quantity("sludge", Dimension::length, {"", "0 in", "20 ft"}, "",
                               "Thickness at the bottom.")),
             required(quantity("scum", Dimension::length, {"", "0 in", "20 ft"}, "",
                               "Thickness at the top."))},
            "Measured on other days: restwell pump fits the household's solids to them. A run goes "
            "by found."),
       date("pumped", "Last pump-out; may stand beside found."),
       yes_no(
           "new", "",
           "First used at the start. Without found, pumped or new the tank is taken as pumped on "
           "the start date."),
       std::move(pump_out),
       map("marks",
           {quantity("solids", Dimension::percent, {"", "1 %", "100 %"}, "30 %",
                     "Sludge and scum over liquid depth. Common practice."),
            quantity("sludge_clearance", Dimension::length, {"", "0 in", "10 ft"}, "12 in",
                     "Outlet baffle's mouth over sludge. US EPA."),
            quantity("scum_clearance", Dimension::length, {"", "0 in", "10 ft"}, "3 in",
                     "Outlet baffle's mouth below scum. US EPA."),
            quantity("retention", Dimension::duration, {"0 hours", "", "60 days"}, "24 hours",
                     "Clear liquid over mean flow. Mancl 1984.")},
           "When the tank counts as due for pumping.")},
      "Septic tank."));
}

// ---- box ---------------------------------------------------------------------------------------
Field diameter_field(std::string preset, std::string description) {
  return quantity("outlet_diameter", Dimension::length, {"", "0.5 in", "24 in"}, std::move(preset),
                  std::move(description));
}

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

Field soil_field(bool of_site) {
  std::vector<Field> layer{quantity("to", Dimension::length, {"0 ft", "", "1000 ft"}, "",
                                    "Lower end, below ground; the last layer has none.")};
  for (Field& f : soil_fields()) layer.push_back(std::move(f));
  std::vector<Field> fields = soil_fields();
  fields.push_back(
      maps("layers", 20, std::move(layer), "From the top down, instead of single values."));
  if (of_site) {
    fields.push_back(quantity("water_table", Dimension::length, {"0 ft", "", "1000 ft"}, "",
                              "Depth below ground; none near if left out."));
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

Field pits_field() {
  Field when_full = map("when_full", {required(text("to", "Name of the next pit in series."))},
                        "Where water goes that a full pit cannot take. box if there is a box, else "
                        "house, if left out.");
  when_full.choices = {"box", "surface", "house"};

  Field while_resting =
      map("while_resting", {required(text("to", "Name of the pit that takes its water."))},
          "Where its water goes while it rests: to the others on the box, away by truck, or to one "
          "pit. The others, if left out.");
  while_resting.choices = {"others", "haul"};

  Field pits = maps(
      "pits", max_pits,
      {text("name", "Unlike every other pit's.", true),
       required(quantity("diameter", Dimension::length, {"", "1 ft", "50 ft"}, "",
                         "Of the excavation, outside of the gravel.")),
       required(
           quantity("depth", Dimension::length, {"0 ft", "", "100 ft"}, "", "Bottom to inlet.")),
       quantity("inlet_depth", Dimension::length, {"0 ft", "", "50 ft"}, "3 ft", "Below ground."),
       quantity("cover_above_inlet", Dimension::length, {"0 ft", "", "50 ft"}, "",
                "Where water would come out at the top; inlet_depth if left out."),
       quantity(
           "inlet_below_box", Dimension::length, {"", "0 in", "100 ft"}, "1 in",
           "Inlet invert below the invert of its outlet in the box, or below the tank's outlet."),
       map("lining",
           {required(quantity("inner_diameter", Dimension::length, {"", "6 in", "50 ft"}, "",
                              "Inside of the lining.")),
            required(quantity("outer_diameter", Dimension::length, {"", "6 in", "50 ft"}, "",
                              "Outside of the lining; gravel around it."))},
           "Blocks, bricks or rings."),
       quantity("gravel_porosity", Dimension::percent, {"", "5 %", "90 %"}, "40 %",
                "Open share of the gravel."),
       yes_no("filled_with_stone", "", "Stone or gravel inside too, not an open well."),
       quantity("in_service", Dimension::duration, {"0 days", "", "200 years"}, "",
                "Time in use before the start."),
       yes_no("new", "", "First used at the start; so if nothing else is given."),
       map("measured",
           {required(quantity("level", Dimension::length, {"", "0 ft", "200 ft"}, "",
                              "Water over the bottom on the start date.")),
            required(quantity("drop", Dimension::conductivity, {"", "0 in/day", "1000 ft/day"}, "",
                              "How fast the level was seen to fall.")),
            yes_no("in_use", "no", "Water came in while it was watched."),
            quantity("high_water", Dimension::length, {"", "0 ft", "200 ft"}, "",
                     "Stain on the wall, over the bottom: clogged up to here.")},
           "What was measured at the start."),
       std::move(when_full), std::move(while_resting), soil_field(false)},
      "1 to 8 dry wells (seepage pits).");
  return required(std::move(pits));
}

Field plan_field() {
  return maps(
      "plan", many,
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

Field assumptions_field() {
  std::vector<Field> fields;
  const auto defaults = assumption_list(Scenario{});
  for (std::size_t i = 0; i < defaults.size(); ++i) {
    const Assumption& a = assumptions()[i];
    Field f = number(std::string(a.key), {"", std::string(a.lowest), std::string(a.highest)},
                     defaults[i].value_text, std::string(a.note));
    if (!a.unit.empty()) {
      f.kind = FieldKind::quantity;
      f.dimension = a.dimension;
    }
    fields.push_back(std::move(f));
  }
  return map("assumptions", std::move(fields),
             "Assumed parameters to set otherwise; each one set is named in the results.");
}

Field limits_field() {
  return map("limits",
             {quantity("ring_height", Dimension::length, {"", "0.5 in", "3 ft"}, "4 in",
                       "Of the rings a pit's wall is cut into, at most."),
              quantity("pit_step", Dimension::duration, {"", "1 minute", "1 day"}, "2 hours",
                       "Inflow of the pits is averaged over this, at most."),
              quantity("surge_step", Dimension::percent, {"", "0.1 %", "50 %"}, "10 %",
                       "Change of the tank's surge level in one step, at most.")},
             "Numerical limits: smaller is slower and finer.");
}

}  // namespace

const std::vector<Field>& scenario_fields() {
  static const std::vector<Field> fields = [] {
    Field question = text("question", "What the scenario is to answer.");
    question.most = 300;
    Field name = text("name", "Title of the scenario.", true);
    name.most = 80;
    return std::vector<Field>{
        std::move(name),
        std::move(question),
        required(date("start", "Day of the inspection; the simulation starts here.")),
        number("years", {"", "1", "100"}, "20", "How long to simulate."),
        choice("units", {"us", "metric"}, "us", "Of the results."),
        choice("mode", {"steady", "random"}, "steady",
               "steady: the same typical week again and again; random: uses drawn at random."),
        whole("seed", {"", "0", "9007199254740991"}, "1", "Of the random draws."),
        household_field(),
        tank_field(),
        box_field(),
        map("single_outlet", {required(text("to", "Name of the pit it leads to."))},
            "One pipe from the tank to a pit, without a box."),
        pits_field(),
        plan_field(),
        required(soil_field(true)),
        assumptions_field(),
        limits_field()};
  }();
  return fields;
}

std::vector<std::string> keys_of(const std::vector<Field>& fields) {
  std::vector<std::string> keys;
  for (const Field& f : fields) keys.push_back(f.key);
  return keys;
}

}  // namespace restwell
