#include "sim/fields.hpp"

#include <utility>

#include "sim/assumptions.hpp"
#include "sim/field_forms.hpp"
#include "sim/site_fields.hpp"

namespace restwell {

using namespace forms;

namespace {

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

// ---- the whole ----------------------------------------------------------------------------------
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
  return map(
      "limits",
      {quantity("ring_height", Dimension::length, {"", "0.5 in", "3 ft"}, "4 in",
                "Of the rings a pit's wall is cut into, at most."),
       quantity("pit_step", Dimension::duration, {"", "1 minute", "1 day"}, "2 hours",
                "Inflow of the pits is averaged over this, at most."),
       quantity("surge_step", Dimension::percent, {"", "0.1 %", "100 %"}, "50 %",
                "Change of the tank's surge level in one step, at most."),
       quantity("intake_step", Dimension::duration, {"", "1 day", "14 days"}, "7 days",
                "A pit's intake by level is reckoned anew after so many whole days at most; every "
                "day where the water table moves.")},
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
        trenches_field(),
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
