#include <fmt/format.h>

#include "models/code_tables.hpp"
#include "models/soil.hpp"
#include "sim/perc_report.hpp"

namespace restwell {
namespace {

std::string drift_words(Drift d) {
  switch (d) {
    case Drift::steady:
      return "steady";
    case Drift::slowing:
      return "still slowing";
    case Drift::quickening:
      return "still quickening";
  }
  return "";
}

std::string structure_or_assumed(const PercHole& hole) {
  return hole.structure.empty() ? "structured (assumed)" : hole.structure;
}

Cell area_cell(std::optional<double> area_m2) {
  if (!area_m2) return std::string("none");
  return Amount{*area_m2, Quantity::area};
}

}  // namespace

std::string duration_words(double day) {
  const double minutes = day * 1440.0;
  if (minutes < 119.5) return fmt::format("{:.3g} min", minutes);
  if (minutes < 1440.0 * 3) return fmt::format("{:.3g} hours", minutes / 60.0);
  return fmt::format("{:.3g} days", day);
}

std::optional<std::string> structure_of(const PercResult& r,
                                        const std::vector<std::size_t>& holes) {
  const std::string first = r.input.holes[holes.front()].structure;
  for (const std::size_t h : holes)
    if (r.input.holes[h].structure != first) return std::nullopt;
  return first.empty() ? "structured" : first;
}

ReportTable perc_readings_table(const PercResult& r) {
  ReportTable t{"readings", "Readings", {}, {}, ""};
  t.columns = {{"hole", "hole"}, {"reading", "reading"}, {"after", "after"},
               {"drop", "drop"}, {"change", "change"},   {"rate", "rate of this interval"}};
  for (const PercHole& hole : r.input.holes) {
    const HoleTest& test = hole.test;
    for (std::size_t i = 0; i < test.drops_m.size(); ++i) {
      const double drop = test.drops_m[i];
      const Cell change =
          i == 0 ? Cell() : Cell(Amount{drop - test.drops_m[i - 1], Quantity::small_length});
      const Cell rate = drop > 0.0 ? Cell(Amount{test.interval_day / drop, Quantity::percolation})
                                   : Cell(std::string("no drop"));
      const auto number = static_cast<double>(i + 1);
      t.rows.push_back({hole.name, Number{number, 0}, duration_words(number * test.interval_day),
                        Amount{drop, Quantity::small_length}, change, rate});
    }
  }
  t.note = "The last interval of a hole gives its rate: time over drop.";
  return t;
}

ReportTable perc_holes_table(const PercResult& r) {
  ReportTable t{"holes", "Holes", {}, {}, ""};
  t.columns = {{"hole", "hole"},     {"diameter", "diameter"},
               {"water", "water"},   {"mean_depth", "mean depth"},
               {"soaked", "soaked"}, {"interval", "read by"},
               {"state", "drops"}};
  for (std::size_t h = 0; h < r.holes.size(); ++h) {
    const PercHole& hole = r.input.holes[h];
    const HoleTest& test = hole.test;
    t.rows.push_back(
        {hole.name, Amount{test.diameter_m, Quantity::small_length},
         Amount{test.water_depth_m, Quantity::small_length},
         Amount{mean_water_depth_m(test), Quantity::small_length},
         test.presoak_day ? Cell(duration_words(*test.presoak_day))
                          : Cell(std::string("not stated")),
         duration_words(test.interval_day),
         r.holes[h].rate.at_least ? std::string("not readable") : drift_words(r.holes[h].drift)});
  }
  t.note = "Water: over the gravel as a reading starts. Mean depth: during the last reading.";
  return t;
}

ReportTable perc_rates_table(const PercResult& r) {
  ReportTable t{"rates", "Rate and conductivity of each hole", {}, {}, ""};
  t.columns = {{"hole", "hole"},
               {"rate", "rate"},
               {"fastest", "fastest"},
               {"slowest", "slowest"},
               {"conductivity", "conductivity"},
               {"structure", "as soil"}};
  for (std::size_t h = 0; h < r.holes.size(); ++h) {
    const HoleResult& result = r.holes[h];
    t.rows.push_back({r.input.holes[h].name, Amount{result.rate.day_per_m, Quantity::percolation},
                      Amount{result.rate.fastest_day_per_m, Quantity::percolation},
                      Amount{result.rate.slowest_day_per_m, Quantity::percolation},
                      Amount{result.kfs.middle_m_per_day, Quantity::conductivity},
                      structure_or_assumed(r.input.holes[h])});
  }
  t.note =
      "Fastest and slowest: the last drop misread by 1/16 in (1.6 mm). Conductivity: "
      "field-saturated, from rate, hole and mean depth.";
  return t;
}

ReportTable perc_layers_table(const PercResult& r) {
  ReportTable t{"layers", "Layers", {}, {}, ""};
  t.columns = {{"layer", "holes"},
               {"from", "from"},
               {"to", "to"},
               {"thickness", "thickness"},
               {"rate", "rate"},
               {"counts", "counts"},
               {"conductivity", "conductivity"}};
  const auto depth = [](std::optional<double> m) {
    return m ? Cell(Amount{*m, Quantity::level}) : Cell();
  };
  for (const PercLayer& layer : r.layers) {
    t.rows.push_back({layer.name, depth(layer.from_depth_m), depth(layer.to_depth_m),
                      Amount{layer.rate.thickness_m, Quantity::level},
                      Amount{layer.rate.day_per_m, Quantity::percolation},
                      std::string(layer.counts ? "yes" : "no, too slow"),
                      Amount{layer.kfs.middle_m_per_day, Quantity::conductivity}});
  }
  t.note =
      "Rates are weighted by thickness; layers slower than 30 min/inch (11.8 min/cm) are left out, "
      "as if they took nothing (US EPA 1980, 7.2.3.3). Holes of one layer are averaged first.";
  return t;
}

ReportTable perc_conductivity_table(const PercResult& r) {
  ReportTable t{"conductivity", "Field-saturated conductivity by soil class", {}, {}, ""};
  t.columns = {{"structure", "structure"},
               {"soils", "soils"},
               {"alpha", "capillarity"},
               {"conductivity", "conductivity"}};
  const auto classes = structure_classes();
  for (std::size_t c = 0; c < classes.size(); ++c) {
    t.rows.push_back({std::string(classes[c].name), std::string(classes[c].soils),
                      fmt::format("alpha {:.0f} 1/m", classes[c].alpha_per_m),
                      Amount{r.kfs_m_per_day[c], Quantity::conductivity}});
  }
  t.note =
      "The same readings, if the soil were of each class (alpha: Elrick et al. 1989): the more a "
      "soil sucks sideways, the less conductivity explains the same rate.";
  if (r.holes.size() > 1) {
    t.note +=
        " Over several holes: the conductivity that goes with their mean rate (harmonic mean).";
  }
  return t;
}

ReportTable perc_hole_size_table(const PercResult& r) {
  ReportTable t{"hole_size", "What other holes would have shown in the same soil", {}, {}, ""};
  t.columns = {{"diameter", "hole"}, {"rate", "rate"}, {"area", "wall per bedroom, PHS 526"}};
  if (r.at_least) return t;
  std::vector<std::size_t> all(r.holes.size());
  for (std::size_t h = 0; h < all.size(); ++h) all[h] = h;
  const auto structure = structure_of(r, all);
  if (!structure) return t;
  const double alpha = find_structure(*structure)->alpha_per_m;
  for (const double inches : {4.0, 6.0, 8.0, 12.0}) {
    PercolationTest hole;
    hole.hole_radius_m = inches * us::inch_m / 2;
    const double rate = percolation_from_kfs_day_per_m(r.kfs.middle_m_per_day, hole, alpha);
    t.rows.push_back({Amount{inches * us::inch_m, Quantity::small_length},
                      Amount{rate, Quantity::percolation},
                      area_cell(phs_area_m2_per_bedroom(rate))});
  }
  t.note =
      "With a mean depth of 6 in (15 cm) of water. The codes' tables take a rate as it is read, "
      "whatever the hole: from a 12-inch to a 6-inch hole it falls to less than half. "
      "Above 30 min/inch (11.8 min/cm) the area is not for pits.";
  return t;
}

ReportTable perc_codes_table(const PercResult& r) {
  ReportTable t{"codes", "What published codes ask for at this rate", {}, {}, ""};
  t.columns = {{"rule", "rule"},
               {"area", "wall per bedroom"},
               {"loading", "loading"},
               {"note", "how it is meant"}};
  const auto loading_cell = [](std::optional<double> q) {
    return q ? Cell(Amount{*q, Quantity::flux}) : Cell(std::string("none"));
  };
  const double rate = r.day_per_m;
  const bool suited = pit_suitability(rate) == PitSuitability::suited;
  const DesignFlow flow;
  const auto epa = epa_loading_m_per_day(rate);
  std::optional<double> epa_area;
  if (epa) epa_area = flow.m3_per_bedroom_day / *epa;
  t.rows.push_back({std::string("US PHS 526, 1967"), area_cell(phs_area_m2_per_bedroom(rate)),
                    Cell(),
                    std::string(suited ? "below the inlet; linear between its rows"
                                       : "not for pits at this rate; shown for trenches")});
  t.rows.push_back({std::string("IPSDC 603.1"), area_cell(ipsdc_area_m2_per_bedroom(rate)), Cell(),
                    std::string("in steps of the rate")});
  t.rows.push_back(
      {std::string("US EPA 1980, table 7-2"), area_cell(epa_area), loading_cell(epa),
       fmt::format("area at the design flow of {} per bedroom",
                   show_text(flow.m3_per_bedroom_day, Quantity::flow, r.input.units))});
  t.rows.push_back({std::string("US PHS 526, 5/sqrt(t)"), Cell(),
                    loading_cell(phs_loading_m_per_day(rate)),
                    std::string("for flows in gallons a day, not for bedrooms")});
  t.rows.push_back({std::string("Healy & Laak 1974"), Cell(),
                    r.at_least ? Cell(std::string("none"))
                               : loading_cell(healy_laak_loading_m_per_day(r.kfs.middle_m_per_day)),
                    std::string("of the conductivity, once clogged")});
  t.note = fmt::format(
      "None: the rule has no value at this rate. Each rule is complete in itself: an area per "
      "bedroom goes with its own code's flow ({} to {} per bedroom by code). Area per bedroom "
      "times "
      "5/sqrt(t) gives 213 to 350 gal/day per bedroom: never mix the two. The local code decides.",
      show_text(flow.least_m3_per_bedroom_day, Quantity::flow, r.input.units),
      show_text(flow.most_m3_per_bedroom_day, Quantity::flow, r.input.units));
  return t;
}

ReportTable perc_rules_table(const PercResult& r) {
  ReportTable t{"test_rules", "The rule the readings are held to, and what is assumed", {}, {}, ""};
  t.columns = {{"parameter", "parameter"}, {"value", "value"}, {"meaning", "meaning, basis"}};
  const TestRules& u = r.rules;
  const auto small = [](double m) { return Amount{m, Quantity::small_length}; };
  const auto add = [&](const char* name, Cell value, const char* meaning) {
    t.rows.push_back({std::string(name), std::move(value), std::string(meaning)});
  };
  add("reading error", small(u.reading_error_m), "of a drop; assumed");
  add("steady within", small(u.steady_difference_m),
      "two drops in a row, US EPA 1980; three drops that go one way: assumed");
  add("steady within, fast soil", Share{u.steady_share_fast}, "of the last drop; assumed");
  add("small drop", Share{u.small_drop_share},
      "reading error over last drop worth a note; assumed");
  add("fewest readings", Number{static_cast<double>(u.fewest_readings), 0}, "US EPA 1980");
  add("interval", duration_words(u.interval_day), "US PHS 1967");
  add("interval, fast soil", duration_words(u.fast_interval_day),
      "over one hour, where 6 in go within half an hour; US PHS 1967");
  add("interval may be off by", Share{u.interval_tolerance}, "assumed");
  add("presoak", duration_words(u.presoak_day), "US PHS 1967");
  add("presoak, slow or clayey soil", duration_words(u.clayey_presoak_day),
      "the rule says overnight; hours assumed");
  add("slow", Amount{u.clayey_day_per_m, Quantity::percolation},
      "taken as clayey from here on; assumed");
  add("water depth may be off by", Amount{u.water_depth_tolerance_m, Quantity::small_length},
      "from 6 in; assumed");
  return t;
}

}  // namespace restwell
