#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "plots/section_drawing.hpp"
#include "sim/page_picture.hpp"
#include "sim/spoken.hpp"
#include "sim/water_table.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr double least_tank_cover_m = 0.45, tank_over_pits_m = 0.15, tank_air_m = 0.25;

plots::SectionPart pit_part(const RunResult& r, std::size_t p) {
  const PitConfig& config = r.scenario.pits[p];
  const PitGeometry& g = config.geometry;
  plots::SectionPart part;
  part.kind = g.trench ? plots::SectionPart::Kind::trenches : plots::SectionPart::Kind::pit;
  part.name = sentence_case(pit_label(config));
  part.inlet_m = config.inlet_depth_m;
  part.bottom_m = config.inlet_depth_m + g.depth_m;
  part.top_m = std::max(0.0, config.inlet_depth_m - g.cover_above_inlet_m);
  part.water_m = r.cases[Cases::expected].start_level_m[p];
  const auto length = [&](double m) { return shown(r, m, Quantity::level); };
  if (g.trench) {
    part.width_m = g.trench->width_m;
    part.count = g.trench->count;
    part.notes.push_back(fmt::format(
        "{}{} long, {} wide",
        g.trench->count > 1 ? fmt::format("{} of them, ", g.trench->count) : std::string(),
        length(g.trench->length_m), length(g.trench->width_m)));
    part.notes.push_back(length(g.depth_m) + " of stones");
  } else {
    part.width_m = 2.0 * g.radius_m;
    part.lining_inner_m = 2.0 * g.lining_inner_radius_m;
    part.lining_outer_m = 2.0 * g.lining_outer_radius_m;
    part.filled_with_stone = g.inside_open_share < 1.0;
    part.stain_m = config.start.high_water_m;
    part.notes.push_back(fmt::format("{} wide, {} deep", length(part.width_m), length(g.depth_m)));
  }
  part.notes.push_back(part.water_m > 0.005 ? fmt::format("water {} high", length(part.water_m))
                                            : std::string("no water in it"));
  const bool fed = std::ranges::find(r.site.outlet_pit, p) != r.site.outlet_pit.end();
  const bool spilled = std::ranges::any_of(r.site.pits, [&](const PitLayout& other) {
    return other.over_brim == Destination::next_pit && other.next_pit == p;
  });
  if (!fed) part.notes.push_back(spilled ? "gets what spills" : "gets no water now");
  return part;
}

std::vector<plots::Tick> depth_ticks(const RunResult& r, double deepest_m) {
  const bool us = r.scenario.units == UnitSystem::us;
  const double step = us ? 2.0 : 1.0;
  const double one_m = 1.0 / column_unit(Quantity::level, r.scenario.units).factor;
  std::vector<plots::Tick> ticks = {{0.0, "0"}};
  for (double at = step; at * one_m <= deepest_m + 0.3; at += step)
    ticks.push_back({at * one_m, fmt::format("{:.0f} {}", at, us ? "ft" : "m")});
  return ticks;
}

}  // namespace

PageFigure section_figure(const PageStudy& s) {
  using Kind = plots::SectionPart::Kind;
  const RunResult& r = s.result;
  const Tank& tank = r.scenario.tank.tank;
  plots::Section drawing;
  drawing.words = {
      "section", "A cut through the system as it was found",
      "House, tank, box and pits with their water, sludge and scum; the table below has "
      "the numbers."};
  double shallowest = 1e9, deepest = 0.0;
  std::vector<plots::SectionPart> pits;
  for (std::size_t p = 0; p < r.scenario.pits.size(); ++p) {
    pits.push_back(pit_part(r, p));
    shallowest = std::min(shallowest, pits.back().inlet_m);
    deepest = std::max(deepest, pits.back().bottom_m);
  }
  plots::SectionPart house;
  house.kind = Kind::house;
  house.name = "House";
  house.bottom_m = 0.2;
  house.notes = {people_words(r.scenario.household.occupants),
                 shown(r, r.week.mean_flow_m3_per_day, Quantity::flow)};

  // How deep tank and box lie is not in the file: a little over the pits' inlets.
  plots::SectionPart t;
  t.kind = Kind::tank;
  t.name = "Tank";
  t.inlet_m = std::max(least_tank_cover_m, shallowest - tank_over_pits_m);
  t.top_m = t.inlet_m - tank_air_m;
  t.bottom_m = t.inlet_m + tank.liquid_depth_m;
  t.width_m = std::sqrt(2.0 * tank.plan_area_m2);  // drawn twice as long as wide
  const Layers& layers = r.tank.front().layers;
  t.sludge_m = std::min(layers.sludge_first_m, tank.liquid_depth_m);
  t.scum_m = std::min(layers.scum_first_m, tank.liquid_depth_m);
  t.inlet_baffle = tank.inlet_baffle;
  t.outlet_baffle = tank.outlet_baffle;
  t.baffle_m = tank.outlet_mouth_depth_m;
  t.compartments = tank.compartments;
  const auto small = [&](double m) { return stick_words(m, s.report.units); };
  t.notes = {shown(r, tank.plan_area_m2 * tank.liquid_depth_m, Quantity::volume),
             "sludge " + small(t.sludge_m), "scum " + small(t.scum_m)};
  if (!tank.inlet_baffle) t.notes.push_back("inlet baffle missing");
  if (!tank.outlet_baffle) t.notes.push_back("outlet baffle missing");
  deepest = std::max(deepest, t.bottom_m);
  drawing.parts = {house, t};
  drawing.pipe_m = std::max(0.2, shallowest - 0.1);
  if (r.site.box_present) {
    plots::SectionPart box;
    box.kind = Kind::box;
    box.name = "Box";
    box.width_m = 0.5;
    box.inlet_m = t.inlet_m + 0.05;
    box.top_m = t.inlet_m - 0.2;
    box.bottom_m = t.inlet_m + 0.25;
    box.water_m = 0.12;
    box.notes = {
        fmt::format("{} of {} outlets open", r.site.outlets.size(), r.scenario.box.outlets.size())};
    drawing.parts.push_back(box);
    drawing.pipe_m = std::max(0.2, std::min(drawing.pipe_m, box.inlet_m + 0.05));
  }
  drawing.parts.insert(drawing.parts.end(), pits.begin(), pits.end());
  drawing.depths = depth_ticks(r, deepest);
  if (const auto& table = r.scenario.soil.water_table) {
    drawing.water_table_m = std::max(0.0, shallowest_table_m(*table));
    drawing.water_table_label = table->amplitude_m > 0.0 || !table->readings.empty()
                                    ? "groundwater at its highest"
                                    : "groundwater";
  }
  PageFigure f = drawn(
      drawing, [](const plots::Section& d, double w) { return plots::section_drawing(d, w); },
      "Depths, widths, water, sludge and scum are drawn to one scale (depth below ground at the "
      "left), the distances between the parts are not. How deep tank and box lie is guessed.");
  PageTable data{"The system as found",
                 {"part", "depth of the inlet", "depth below the inlet", "water"},
                 {false, true, true, true},
                 {},
                 ""};
  for (std::size_t p = 0; p < pits.size(); ++p) {
    data.rows.push_back({pits[p].name, shown(r, pits[p].inlet_m, Quantity::level),
                         shown(r, pits[p].bottom_m - pits[p].inlet_m, Quantity::level),
                         shown(r, pits[p].water_m, Quantity::level)});
  }
  data.note = fmt::format("Tank: {} of liquid, {} deep; sludge {}, scum {}.", t.notes.front(),
                          small(tank.liquid_depth_m), small(t.sludge_m), small(t.scum_m));
  f.data = std::move(data);
  return f;
}

}  // namespace restwell
