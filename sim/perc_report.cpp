#include "sim/perc_report.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "models/code_tables.hpp"
#include "models/soil.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// "34.3 min/inch (13.5 min/cm)": in the report's units, and in the others.
std::string in_both(double value, Quantity q, UnitSystem system) {
  const UnitSystem other = system == UnitSystem::us ? UnitSystem::metric : UnitSystem::us;
  return fmt::format("{} ({})", show_text(value, q, system), show_text(value, q, other));
}

// Where the rate comes from: "over 10.0 ft of layers", "mean of 3 holes of 18.0 to 25.0 min/inch".
std::string rate_basis(const PercResult& r) {
  const UnitSystem units = r.input.units;
  if (!r.layers.empty())
    return fmt::format(" over {} of layers", show_text(r.counted_m, Quantity::level, units));
  if (r.holes.size() == 1) return "";
  return fmt::format(", mean of {} holes of {} to {}", r.holes.size(),
                     show(r.spread.fastest_day_per_m, Quantity::percolation, units).number,
                     show_text(r.spread.slowest_day_per_m, Quantity::percolation, units));
}

std::string rate_words(const PercResult& r) {
  const UnitSystem units = r.input.units;
  const std::string rate = in_both(r.day_per_m, Quantity::percolation, units);
  if (r.at_least) {
    std::vector<std::string> unread;
    for (std::size_t h = 0; h < r.holes.size(); ++h)
      if (r.holes[h].rate.at_least) unread.push_back(r.input.holes[h].name);
    return fmt::format(
        "slower than {}{}: no drop could be read in {}. Field-saturated conductivity below {}.",
        rate, rate_basis(r), list_words(unread),
        in_both(r.kfs.high_m_per_day, Quantity::conductivity, units));
  }
  const bool stated =
      std::ranges::none_of(r.input.holes, [](const PercHole& h) { return h.structure.empty(); });
  return fmt::format(
      "{}{}. Field-saturated conductivity about {}, {} to {} {}.", rate, rate_basis(r),
      in_both(r.kfs.middle_m_per_day, Quantity::conductivity, units),
      show(r.kfs.low_m_per_day, Quantity::conductivity, units).number,
      show_text(r.kfs.high_m_per_day, Quantity::conductivity, units),
      stated ? "by the error of reading" : "over all soil classes and the error of reading");
}

std::string readings_words(const PercResult& r) {
  std::size_t with_faults = 0;
  for (const HoleResult& h : r.holes) with_faults += h.faults.empty() ? 0 : 1;
  if (with_faults == 0)
    return fmt::format("{}by the usual rule: soaked, long enough, steady.",
                       r.holes.size() == 1 ? "" : "all holes ");
  if (r.holes.size() == 1)
    return "not by the usual rule; the notes below say what is wrong and what to do. Do not rely "
           "on "
           "this rate until that is done.";
  return fmt::format(
      "{} of {} holes not by the usual rule; the notes below say what is wrong and what to do.",
      with_faults, r.holes.size());
}

std::string pits_words(const PercResult& r) {
  const UnitSystem units = r.input.units;
  const std::string limits = fmt::format(
      "{} to {}", show(1 * us::minute_per_inch_day_per_m, Quantity::percolation, units).number,
      show_text(30 * us::minute_per_inch_day_per_m, Quantity::percolation, units));
  switch (pit_suitability(r.day_per_m)) {
    case PitSuitability::too_fast:
      return "too fast for pits by the usual limits, " + limits +
             ": sewage reaches groundwater uncleaned. Ask the health department.";
    case PitSuitability::too_slow:
      return "too slow for pits by the usual limits, " + limits +
             ". Ask the health department what it takes instead.";
    case PitSuitability::suited:
      break;
  }
  std::string text = "within the usual limits for pits, " + limits + ".";
  const auto phs = phs_area_m2_per_bedroom(r.day_per_m);
  const auto ipsdc = ipsdc_area_m2_per_bedroom(r.day_per_m);
  const auto epa = epa_loading_m_per_day(r.day_per_m);
  if (phs && ipsdc && epa) {
    text += fmt::format(
        " Wall asked for per bedroom: {} (PHS 526), {} (IPSDC); loading {} (US EPA 1980).",
        show_text(*phs, Quantity::area, units), show_text(*ipsdc, Quantity::area, units),
        show_text(*epa, Quantity::flux, units));
  }
  return text;
}

// What a site file would say of this soil; empty if one line cannot say it.
std::string site_file_words(const PercResult& r) {
  const bool us_units = r.input.units == UnitSystem::us;
  const auto soil = [&](double kfs, const std::string& structure) {
    const ColumnUnit unit = column_unit(Quantity::conductivity, r.input.units);
    return fmt::format("conductivity: {:.3g} {}, structure: {}", kfs * unit.factor, unit.label,
                       structure);
  };
  if (r.at_least) return "";
  if (r.layers.empty()) {
    std::vector<std::size_t> all(r.holes.size());
    for (std::size_t h = 0; h < all.size(); ++h) all[h] = h;
    const auto structure = structure_of(r, all);
    if (!structure) return "";
    return fmt::format("soil: {{{}}}", soil(r.kfs.middle_m_per_day, *structure));
  }
  std::string text;
  for (std::size_t i = 0; i < r.layers.size(); ++i) {
    const PercLayer& layer = r.layers[i];
    const bool last = i + 1 == r.layers.size();
    const auto structure = structure_of(r, layer.holes);
    if (!layer.to_depth_m || !structure) return "";
    if (!last && r.layers[i + 1].from_depth_m != layer.to_depth_m) return "";
    const std::string to =
        last ? ""
             : fmt::format("to: {}, ", quantity_in_unit(*layer.to_depth_m, Dimension::length,
                                                        us_units ? "ft" : "m"));
    text += fmt::format("{}{{{}{}}}", i == 0 ? "" : ", ", to,
                        soil(layer.kfs.middle_m_per_day, *structure));
  }
  return fmt::format("soil: {{layers: [{}]}}", text);
}

std::string setting(const PercResult& r) {
  if (r.holes.size() > 1) {
    std::size_t readings = 0;
    for (const PercHole& h : r.input.holes) readings += h.test.drops_m.size();
    return fmt::format("({} holes, {} readings.)", r.holes.size(), readings);
  }
  const HoleTest& t = r.input.holes.front().test;
  return fmt::format("(1 hole of {}, {} {} of {}, {} of water{}.)",
                     show_text(t.diameter_m, Quantity::small_length, r.input.units),
                     t.drops_m.size(), t.drops_m.size() == 1 ? "reading" : "readings",
                     duration_words(t.interval_day),
                     show_text(t.water_depth_m, Quantity::small_length, r.input.units),
                     t.presoak_day ? ", soaked " + duration_words(*t.presoak_day) : "");
}

std::vector<std::string> simplifications() {
  return {
      "Percolation rates overstate conductivity and scatter (Bouma 1971): two holes a few feet "
      "apart may differ twofold. Another hole is worth more than a third digit.",
      "Field-saturated: air trapped in the pores leaves about half of the conductivity of the "
      "saturated soil (Reynolds & Elrick), and that half is what a pit has.",
      "The hole is taken as a clean cylinder without gravel, far above any water table, in even "
      "soil (Reynolds, Galloway & Radcliffe 2015). Smear, gravel and cracks are not in it.",
      fmt::format(
          "Cold water runs slower: its viscosity over that at 20 degC is {:.2f} at 5, {:.2f} at "
          "10, {:.2f} at 15 and {:.2f} at 25 degC, and rates go with it. Nothing is corrected for "
          "it.",
          viscosity_ratio(5), viscosity_ratio(10), viscosity_ratio(15), viscosity_ratio(25)),
      "This is clean water in clean soil. A pit in use is ruled by its clogged layer: what it "
      "takes "
      "in the long run is a small part of this, see restwell run."};
}

}  // namespace

Report perc_report(const PercResult& r) {
  Report report;
  report.site = r.input.name;
  report.question = r.input.question;
  report.units = r.input.units;
  report.setting = setting(r);
  report.answer = {
      {"Rate", rate_words(r)}, {"Readings", readings_words(r)}, {"Pits", pits_words(r)}};
  if (const std::string soil = site_file_words(r); !soil.empty())
    report.answer.push_back({"Site file", soil});
  report.notes = perc_notes(r);
  report.tables = {perc_readings_table(r), perc_holes_table(r), perc_rates_table(r)};
  if (!r.layers.empty()) report.tables.push_back(perc_layers_table(r));
  report.tables.push_back(perc_conductivity_table(r));
  if (ReportTable t = perc_hole_size_table(r); !t.rows.empty())
    report.tables.push_back(std::move(t));
  report.tables.push_back(perc_codes_table(r));
  report.assumptions = {perc_rules_table(r)};
  report.simplifications = simplifications();
  report.cautions = safety_cautions();
  return report;
}

}  // namespace restwell
