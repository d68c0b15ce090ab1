#include <fmt/core.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "models/constants.hpp"
#include "sim/answer.hpp"
#include "sim/page.hpp"
#include "sim/report_tables.hpp"
#include "sim/spoken.hpp"
#include "sim/words.hpp"

namespace restwell {

// ---- when ------------------------------------------------------------------------------------

namespace {

std::string in_words(const Report& report, int day) {
  constexpr int as_date_day = 60;
  const Date date = date_of(report.start, day);
  if (day == 0) return "right away";
  return day < as_date_day ? "on " + spoken_date(date) : "in " + month_and_year(date);
}

}  // namespace

std::string when_words(const Report& report, int day) {
  if (day == never) return "not within the next " + years_words(report.days);
  return in_words(report, day);
}

std::string when_short(const Report& report, int day) {
  if (day == never) return "after " + month_and_year(date_of(report.start, report.days));
  if (day == 0) return "now";
  return in_words(report, day).substr(3);
}

std::string range_sentence(const Report& report, const DaySpread& d) {
  if (d == DaySpread{}) return when_words(report, never) + ", in none of the three cases";
  if (d.early == d.expected && d.expected == d.late)
    return when_words(report, d.expected) + ", in all three cases";
  std::string text = "most likely " + when_words(report, d.expected);
  if (d.early != d.expected) text += "; in the early case " + when_words(report, d.early);
  if (d.late != d.expected)
    text += (d.early != d.expected ? ", in the late case " : "; in the late case ") +
            when_words(report, d.late);
  return text;
}

std::string range_short(const Report& report, const DaySpread& d) {
  const std::string end = month_and_year(date_of(report.start, report.days));
  if (d == DaySpread{}) return "not before " + end;
  const std::string early = when_short(report, d.early);
  if (d.expected == never) return fmt::format("not likely before {} (early case {})", end, early);
  const std::string expected = when_short(report, d.expected);
  if (d.early == d.expected && d.expected == d.late) return expected;
  return fmt::format("most likely {} (from {} to {})", expected, early, when_short(report, d.late));
}

namespace {

template <typename Get>
DaySpread spread_of(const RunResult& r, const Get& get) {
  return {get(r.cases[Cases::early]), get(r.cases[Cases::expected]), get(r.cases[Cases::late])};
}

}  // namespace

std::string pits_word(const Scenario& scenario) {
  return has_drain_field(scenario) ? "pits and field" : "pits";
}

DaySpread overflow_spread(const RunResult& r) {
  return spread_of(r, [](const CaseRun& f) { return f.first_leaves; });
}

DaySpread pit_full_spread(const RunResult& r, std::size_t pit) {
  return spread_of(r, [pit](const CaseRun& f) { return f.pits[pit].first_full; });
}

// ---- what you have ---------------------------------------------------------------------------

namespace {

std::string shown(const PageStudy& s, double value, Quantity q) {
  return spoken(value, q, s.report.units);
}

bool says_invented(const std::string& text) {
  std::string lower = text;
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return lower.find("invented") != std::string::npos;
}

PageItem pit_item(const PageStudy& s, std::size_t p) {
  const RunResult& r = s.result;
  const PitLayout& layout = r.site.pits[p];
  const CaseRun& f = r.cases[Cases::expected];
  const std::vector<double>& now = f.profiles.front().resistance_day[p];
  const std::vector<double> clean(now.size(), f.clog_case.biomat.clean_resistance_day);
  constexpr double dry_m = 0.02;
  const double level = f.start_level_m[p];
  return {sentence_case(pit_label(r.scenario.pits[p])),
          fmt::format(
              "{}; it is full at {}. Full of water, the ground around it takes {} today. With a "
              "clean wall it would take {}.",
              level < dry_m ? std::string("No water stands in it")
                            : "The water stands " + shown(s, level, Quantity::level) + " high",
              shown(s, layout.pit.geometry.depth_m, Quantity::level),
              shown(s, intake_when_full_m3_per_day(layout, now), Quantity::flow),
              shown(s, intake_when_full_m3_per_day(layout, clean), Quantity::flow))};
}

std::string layers_words(const PageStudy& s, const std::vector<SoilLayer>& layers) {
  std::vector<std::string> words;
  for (const SoilLayer& layer : layers) {
    const bool last = &layer == &layers.back();
    words.push_back(layer.basis +
                    (layers.size() == 1 ? ""
                     : last             ? " below that"
                            : " down to " + shown(s, layer.to_depth_m, Quantity::level)));
  }
  return "Given as " + list_words(words) + ".";
}

// How near the groundwater comes to a pit's bottom, at the worst.
PageItem groundwater_item(const PageStudy& s) {
  const RunResult& r = s.result;
  const CaseRun& f = r.cases[Cases::expected];
  double least = 1e9;
  std::size_t nearest = 0;
  for (std::size_t p = 0; p < f.days.size(); ++p)
    for (const PitDay& day : f.days[p])
      if (-day.table_m < least) {
        least = -day.table_m;
        nearest = p;
      }
  const std::string name = pit_label(r.scenario.pits[nearest]);
  const std::string asked = fmt::format(
      "{} of ground between them are asked for (common practice; "
      "the local code decides).",
      shown(s, r.scenario.separation_m, Quantity::level));
  return {"Groundwater",
          least >= 0.0
              ? fmt::format("At its highest it comes within {} of the bottom of the {}. {}",
                            shown(s, least, Quantity::level), name, asked)
              : fmt::format("At its highest it stands {} above the bottom of the {}. {}",
                            shown(s, -least, Quantity::level), name, asked)};
}

}  // namespace

PageSection page_what_you_have(const PageStudy& s) {
  const RunResult& r = s.result;
  const Scenario& scenario = r.scenario;
  PageBlock block;
  block.id = "have";
  if (says_invented(scenario.name) || says_invented(scenario.question)) {
    block.paragraphs.push_back(
        "This site is invented: no real house, people or place. It shows what the page looks "
        "like.");
  }
  block.paragraphs.push_back(fmt::format(
      "Your system, cut open and seen from the side, as it was found in {}. All water from the "
      "house runs into the tank. There the heavy part sinks (sludge), the light part floats "
      "(scum), "
      "and the water between them runs on{}. From the {} it soaks into the ground.",
      month_and_year(scenario.start),
      r.site.box_present ? " to the box, which shares it out" : " through one pipe",
      scenario.pits.size() == 1 ? "pit" : pits_word(scenario)));
  block.figure = section_figure(s);
  block.items.push_back(
      {"House", fmt::format("{}, {} in a typical week.", people_words(scenario.household.occupants),
                            shown(s, r.week.mean_flow_m3_per_day, Quantity::flow))});
  const Tank& tank = scenario.tank.tank;
  block.items.push_back(
      {"Tank",
       fmt::format(
           "{}. Sludge and scum fill {:.0f} % of its depth; at {:.0f} % it is time to pump.",
           shown(s, tank.plan_area_m2 * tank.liquid_depth_m, Quantity::volume),
           100.0 * r.tank.front().readings.solids_share_of_depth,
           100.0 * scenario.tank.limits.solids_share_of_depth)});
  if (r.site.outlets.size() > 1) {
    std::vector<std::string> shares;
    for (std::size_t i = 0; i < r.site.outlets.size(); ++i)
      shares.push_back(fmt::format("the {} {:.0f} %",
                                   pit_label(scenario.pits[r.site.outlet_pit[i]]),
                                   100.0 * r.free_share[i]));
    block.items.push_back({"Box", "Of the water, " + list_words(shares) +
                                      ", as long as no pit is so full that it holds water back."});
  }
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) block.items.push_back(pit_item(s, p));
  if (!scenario.soil.layers.empty())
    block.items.push_back({"Ground", layers_words(s, scenario.soil.layers)});
  for (const PitConfig& pit : scenario.pits)
    if (pit.layers)
      block.items.push_back({"Ground around the " + pit_label(pit), layers_words(s, *pit.layers)});
  if (scenario.soil.water_table) block.items.push_back(groundwater_item(s));
  return {"what-you-have", "What you have", {std::move(block)}};
}

}  // namespace restwell
