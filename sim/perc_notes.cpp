#include <fmt/format.h>

#include <algorithm>

#include "models/soil_temperature.hpp"
#include "sim/perc_report.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr const char* until_steady =
    "until two drops in a row differ by no more than 1/16 in (1.6 mm)";

std::string fault_words(TestFault fault, const PercResult& r, std::size_t hole) {
  const HoleResult& h = r.holes[hole];
  switch (fault) {
    case TestFault::too_few_readings:
      if (h.fast)
        return "less than an hour of readings. In soil this fast the rule asks for ten-minute "
               "readings over one hour: refill and read on.";
      return fmt::format(
          "fewer than three readings. Refill and go on by half hours {}, or for four hours.",
          until_steady);
    case TestFault::still_slowing:
      return fmt::format(
          "the drops still get smaller: the soil is still wetting or swelling, and its true rate "
          "is slower than shown. Read on {}, or soak longer and repeat.",
          until_steady);
    case TestFault::still_quickening:
      return fmt::format(
          "the drops still get larger: smear may be coming off, the wall caving in, or the water "
          "was not refilled to the same mark. Look into the hole, refill to the mark, read on {}.",
          until_steady);
    case TestFault::interval_too_long:
      return "six inches are gone within half an hour. The rule then asks for ten-minute readings "
             "over one hour, of which the last counts: repeat at ten minutes.";
    case TestFault::interval_too_short:
      return "the readings are shorter than the rule's half hour, though six inches take longer "
             "than that. Short readings make errors weigh more: read by half hours.";
    case TestFault::interval_not_usual:
      return "the readings are longer than the rule's half hour. The water falls further and "
             "presses less, so the rate comes out slow. The conductivity allows for that, the "
             "codes' tables do not: for a permit read by half hours.";
    case TestFault::presoak_not_stated:
      return "soaking is not stated. Soil not soaked for at least 4 hours, overnight where it "
             "swells, takes water much faster than it will later: give the presoak, or soak and "
             "repeat.";
    case TestFault::presoak_too_short:
      return "soaked for less than 4 hours: the rate may be much too fast. Soak at least 4 hours, "
             "overnight in clayey soil, and repeat. Only sand that loses 12 inches of water twice "
             "within ten minutes needs no soaking.";
    case TestFault::presoak_short_for_clay:
      return "soaked for less than a night, though the soil is slow or clayey: clay swells for a "
             "day. Soak overnight, better 24 hours, and repeat.";
    case TestFault::drop_too_small:
      return fmt::format(
          "the last drop is so small that misreading it by 1/16 in (1.6 mm) moves the rate by "
          "{:.0f} %. Read over a longer time, or with a float and pointer.",
          100 * r.rules.reading_error_m / r.input.holes[hole].test.drops_m.back());
    case TestFault::nothing_read:
      return fmt::format(
          "no drop could be read at last: the rate is slower than {}, nobody knows by how much. "
          "Read over hours, with a float and pointer, the hole covered.",
          show_text(h.rate.day_per_m, Quantity::percolation, r.input.units));
    case TestFault::hole_narrow:
      return "narrower than the rule's 4 in: a narrow hole shows a faster rate in the same soil. "
             "The conductivity allows for the size, the codes' tables do not.";
    case TestFault::hole_wide:
      return "wider than the rule's 12 in: a wide hole shows a slower rate in the same soil. The "
             "conductivity allows for the size, the codes' tables do not.";
    case TestFault::water_depth_not_usual:
      return "the rule asks for 6 in of water over the gravel. Deeper water makes the rate look "
             "faster. The conductivity allows for the depth, the codes' tables do not: for a "
             "permit repeat with 6 in.";
  }
  return "";
}

// "A and B: text", or, where there is one hole only, "Text".
std::string about(const PercResult& r, const std::vector<std::size_t>& holes,
                  const std::string& text) {
  if (r.holes.size() == 1) return sentence_case(text);
  std::vector<std::string> names;
  for (const std::size_t h : holes) names.push_back(r.input.holes[h].name);
  return sentence_case(list_words(names)) + ": " + text;
}

// Each fault once, with the holes that have it in the same words.
std::vector<std::string> fault_notes(const PercResult& r) {
  struct Group {
    std::string text;
    TestFault fault;
    std::vector<std::size_t> holes;
  };
  std::vector<Group> groups;
  for (std::size_t h = 0; h < r.holes.size(); ++h) {
    for (const TestFault fault : r.holes[h].faults) {
      const std::string text = fault_words(fault, r, h);
      auto at = std::ranges::find(groups, text, &Group::text);
      if (at == groups.end()) at = groups.insert(groups.end(), {text, fault, {}});
      at->holes.push_back(h);
    }
  }
  std::ranges::stable_sort(groups, {}, &Group::fault);
  std::vector<std::string> notes;
  for (const Group& g : groups) notes.push_back(about(r, g.holes, g.text));
  return notes;
}

void add_spread_notes(const PercResult& r, std::vector<std::string>& notes) {
  constexpr std::size_t fewest_holes = 3;  // US EPA 1980
  const auto shown = [&](double day_per_m) {
    return show_text(day_per_m, Quantity::percolation, r.input.units);
  };
  if (r.layers.empty() && r.holes.size() < fewest_holes) {
    notes.push_back(fmt::format(
        "{}: soil differs within a few feet. The usual rule asks for six holes over the site "
        "(PHS 526), at least three (US EPA 1980).",
        r.holes.size() == 1 ? "One hole" : "Two holes"));
  }
  const auto differ = [&](double fastest, double slowest) {
    return slowest - fastest > different_soils_day_per_m;
  };
  const std::string advice =
      " lie more than 20 min/inch (7.9 min/cm) apart: these are different soils, not to be "
      "averaged (US EPA 1980). Go by the slower part, or test more holes and map it.";
  if (r.layers.empty() && differ(r.spread.fastest_day_per_m, r.spread.slowest_day_per_m)) {
    notes.push_back(fmt::format("The holes, {} to {},", shown(r.spread.fastest_day_per_m),
                                shown(r.spread.slowest_day_per_m)) +
                    advice);
  }
  for (const PercLayer& layer : r.layers) {
    std::vector<double> rates;
    for (const std::size_t h : layer.holes) rates.push_back(r.holes[h].rate.day_per_m);
    const RateSpread s = rate_spread(rates);
    if (differ(s.fastest_day_per_m, s.slowest_day_per_m))
      notes.push_back(fmt::format("The holes of one layer, {},", layer.name) + advice);
  }
}

void add_layer_notes(const PercResult& r, std::vector<std::string>& notes) {
  if (r.no_layer_counts) {
    notes.push_back(
        "Every layer is slower than 30 min/inch (11.8 min/cm): by the usual rule none counts for "
        "a pit. The results are over all of them.");
  }
  for (std::size_t i = 1; i < r.layers.size(); ++i) {
    const auto above = r.layers[i - 1].to_depth_m, below = r.layers[i].from_depth_m;
    if (!above || !below || *below <= *above + 1e-9) continue;
    notes.push_back(
        fmt::format("Between {} and {} below ground nothing was tested; that part does not count.",
                    show_text(*above, Quantity::level, r.input.units),
                    show_text(*below, Quantity::level, r.input.units)));
  }
}

void add_input_notes(const PercResult& r, std::vector<std::string>& notes) {
  std::vector<std::size_t> no_depth, no_class;
  for (std::size_t h = 0; h < r.holes.size(); ++h) {
    const PercHole& hole = r.input.holes[h];
    if (!hole.water_depth_given) no_depth.push_back(h);
    if (hole.structure.empty()) no_class.push_back(h);
  }
  if (!no_depth.empty()) {
    notes.push_back(about(r, no_depth,
                          "the depth of water is not given and taken as the rule's 6 in over the "
                          "gravel."));
  }
  if (!no_class.empty()) {
    notes.push_back(about(r, no_class,
                          "the soil's structure is not stated: conductivity is given for "
                          "structured soil, its range over all classes. Say gravelly, structured, "
                          "unstructured or compacted to narrow it."));
  }
  for (std::size_t h = 0; h < r.holes.size(); ++h) {
    const auto celsius = r.input.holes[h].water_temperature_c;
    if (!celsius) continue;
    const double soil_c = SoilTemperature{}.mean_c;
    notes.push_back(about(
        r, {h},
        fmt::format(
            "at {:.0f} degC water is {:.2f} times as viscous as at 20 degC. In water of 20 degC "
            "the conductivity would be {:.2f} times what stands here, in soil of {:.0f} degC "
            "{:.2f} "
            "times. It is not corrected here, nor do the codes.",
            *celsius, viscosity_ratio(*celsius), viscosity_ratio(*celsius), soil_c,
            viscosity_ratio(*celsius) / viscosity_ratio(soil_c))));
  }
}

}  // namespace

std::vector<std::string> perc_notes(const PercResult& r) {
  std::vector<std::string> notes = fault_notes(r);
  add_spread_notes(r, notes);
  add_layer_notes(r, notes);
  add_input_notes(r, notes);
  return notes;
}

}  // namespace restwell
