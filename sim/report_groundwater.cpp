#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/report_tables.hpp"
#include "sim/water_table.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

struct Nearest {
  double separation_m = 1e9;  // bottom over the table, mound included
  int day = 0;
  int days_over_bottom = 0;
  double ground_m3 = 0.0;
};

Nearest nearest_table(const CaseRun& run, std::size_t pit, int days) {
  Nearest n;
  for (int d = 0; d < days; ++d) {
    const PitDay& day = run.days[pit][static_cast<std::size_t>(d)];
    if (-day.table_m < n.separation_m) {
      n.separation_m = -day.table_m;
      n.day = d;
    }
    n.days_over_bottom += day.table_m > 0.0 ? 1 : 0;
    n.ground_m3 += day.ground_m3;
  }
  return n;
}

int first_year(const RunResult& r) { return days_to_year_end(r.scenario.start, 1, r.days()); }

}  // namespace

ReportTable water_table_table(const RunResult& r) {
  ReportTable t{"water_table", "Water table: how near it comes to the pits' bottoms", {}, {}, ""};
  t.columns = {{"pit", "pit"},
               {"bottom", "bottom below ground"},
               {"least_first_year", "least, first year"},
               {"least_first_year_on", "on"},
               {"days_over_bottom_first_year", "days over bottom"},
               {"from_ground_first_year", "came in from it"},
               {"least", "least of the run"},
               {"least_on", "on"},
               {"asked", "asked for"}};
  const CaseRun& run = r.cases[Cases::expected];
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const Nearest year = nearest_table(run, p, first_year(r));
    const Nearest all = nearest_table(run, p, r.days());
    const auto on = [&](const Nearest& n) { return iso_date(date_of(r.scenario.start, n.day)); };
    t.rows.push_back({pit_label(r.scenario.pits[p]),
                      Amount{r.site.pits[p].bottom_below_ground_m, Quantity::level},
                      Amount{year.separation_m, Quantity::level}, on(year),
                      Number{static_cast<double>(year.days_over_bottom), 0},
                      Amount{year.ground_m3, Quantity::volume},
                      Amount{all.separation_m, Quantity::level}, on(all),
                      Amount{r.scenario.separation_m, Quantity::level}});
  }
  const GroundwaterParameters& g = r.scenario.groundwater;
  t.note = fmt::format(
      "Water table as given: {}. Least: bottom over the table, the mound under the pit included "
      "(Hantush 1967, from the mean of what the pit has let down lately, in {} of water-bearing "
      "ground: assumed); negative: the table stands over the bottom, and the pit is in "
      "groundwater. Expected clogging.",
      table_words(*r.scenario.soil.water_table, r.scenario.units),
      show_text(g.aquifer_thickness_m, Quantity::level, r.scenario.units));
  return t;
}

std::optional<AnswerLine> water_table_line(const RunResult& r) {
  const CaseRun& run = r.cases[Cases::expected];
  std::size_t pit = 0;
  Nearest worst;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const Nearest n = nearest_table(run, p, r.days());
    if (n.separation_m >= worst.separation_m) continue;
    worst = n;
    pit = p;
  }
  const auto level = [&](double m) { return show_text(m, Quantity::level, r.scenario.units); };
  const std::string who = "the " + pit_label(r.scenario.pits[pit]);
  const std::string when = iso_date(date_of(r.scenario.start, worst.day));
  const std::string rule = fmt::format("{} is asked for (common practice; the local code decides)",
                                       level(r.scenario.separation_m));
  constexpr double far_away = 2.0;  // times what is asked for: then the table of pits says it
  if (worst.separation_m > far_away * r.scenario.separation_m) return std::nullopt;
  if (worst.separation_m < 0.0) {
    const Nearest year = nearest_table(run, pit, first_year(r));
    const std::string came_in =
        year.ground_m3 > noticed_m3
            ? show_text(year.ground_m3, Quantity::volume, r.scenario.units) +
                  " came in from it then"
            : std::string("none came in, since the pit's own water stood higher");
    return AnswerLine{
        "Water table",
        fmt::format("stands up to {} over the bottom of {} ({}), in the first year on {}; "
                    "{}. {}: sewage enters the groundwater there untreated; ask the health "
                    "department.",
                    level(-worst.separation_m), who, when, counted(year.days_over_bottom, "day"),
                    came_in, sentence_case(rule))};
  }
  const bool enough = worst.separation_m >= r.scenario.separation_m;
  // Less than asked for, but shown as the same.
  const bool just_under = !enough && level(worst.separation_m) == level(r.scenario.separation_m);
  return AnswerLine{
      "Water table",
      fmt::format("comes to {}{} below the bottom of {} ({}), the mound under the pit included. "
                  "{}{}.",
                  just_under ? "just under " : "", level(worst.separation_m), who, when,
                  enough ? "" : "Too near: ", enough ? sentence_case(rule) : rule)};
}

std::vector<std::string> flooded_inlet_notes(const RunResult& r) {
  std::vector<std::string> notes;
  if (!r.scenario.soil.water_table) return notes;
  const CaseRun& run = r.cases[Cases::expected];
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const PitLayout& pit = r.site.pits[p];
    int flooded = 0;
    double ground_m3 = 0.0, sewage_m3 = 0.0;
    for (int d = 0; d < r.days(); ++d) {
      const double depth_m =
          table_depth_m(*r.scenario.soil.water_table, date_of(r.scenario.start, d));
      if (pit.bottom_below_ground_m - depth_m <= pit.pit.geometry.depth_m) continue;
      ++flooded;
      ground_m3 += run.days[p][static_cast<std::size_t>(d)].ground_m3;
      sewage_m3 += r.tank[static_cast<std::size_t>(d)].outflow_m3;
    }
    if (flooded == 0) continue;
    const auto volume = [&](double m3) {
      return show_text(m3, Quantity::volume, r.scenario.units);
    };
    notes.push_back(fmt::format(
        "{}: the water table stands over its inlet on {} of the run, and groundwater, not only "
        "sewage, floods the {} and its pipe: {} came in from the ground on those days, {} from "
        "the tank.",
        sentence_case(pit_label(r.scenario.pits[p])), counted(flooded, "day"),
        pit_kind(r.scenario.pits[p]), volume(ground_m3), volume(sewage_m3)));
  }
  return notes;
}

std::vector<std::string> coarse_soil_notes(const RunResult& r) {
  constexpr double coarser = 2.0;       // alpha over alpha
  constexpr double felt_lengths = 2.0;  // capillary lengths: a seventh is left of what is held
  std::vector<std::string> notes;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const PitLayout& pit = r.site.pits[p];
    for (const SoilBoundary& boundary : pit.boundaries) {
      const double alpha = boundary.above.alpha_per_m;
      if (boundary.is_tight() || boundary.below.alpha_per_m < coarser * alpha) continue;
      if (boundary.top_m < -felt_lengths / alpha || boundary.top_m >= pit.pit.geometry.depth_m)
        continue;
      notes.push_back(fmt::format(
          "{}: the soil gets coarser {} {} the bottom. Coarse soil takes no water before the finer "
          "soil on it is nearly full, so clogged walls in the finer soil take in less than if it "
          "went on.",
          sentence_case(pit_label(r.scenario.pits[p])),
          show_text(std::abs(boundary.top_m), Quantity::level, r.scenario.units),
          boundary.top_m < 0.0 ? "below" : "over"));
    }
  }
  return notes;
}

namespace {

struct HighestPerched {
  double over_bottom_m = far_below_m;
  int day = 0;
};

// Of the days on which the layer's water is the highest.
HighestPerched highest_perched(const CaseRun& run, std::size_t pit, const SoilBoundary& layer,
                               int days) {
  HighestPerched h;
  for (int d = 0; d < days; ++d) {
    const PitDay& day = run.days[pit][static_cast<std::size_t>(d)];
    if (day.tight_m == layer.top_m && day.perched_m > h.over_bottom_m) h = {day.perched_m, d};
  }
  return h;
}

double times_tighter(const SoilBoundary& layer) {
  return layer.above.kfs_m_per_day / layer.below.kfs_m_per_day;
}

// Two digits: conductivities are known no better.
Number times_tighter_shown(const SoilBoundary& layer) {
  const double times = times_tighter(layer);
  const double digit = std::pow(10.0, std::floor(std::log10(times)) - 1.0);
  return {std::round(times / digit) * digit, times < 10.0 ? 1 : 0};
}

// Where the water table comes over a layer's top.
bool table_over_layer(const RunResult& r) {
  const std::optional<WaterTable>& table = r.scenario.soil.water_table;
  if (!table) return false;
  return std::ranges::any_of(r.site.pits, [&](const PitLayout& pit) {
    const double highest_m = pit.bottom_below_ground_m - shallowest_table_m(*table);
    return std::ranges::any_of(pit.boundaries, [&](const SoilBoundary& layer) {
      return layer.is_tight() && highest_m > layer.top_m;
    });
  });
}

}  // namespace

bool has_tight_layers(const RunResult& r) {
  return std::ranges::any_of(r.site.pits, [](const PitLayout& p) {
    return std::ranges::any_of(p.boundaries, &SoilBoundary::is_tight);
  });
}

ReportTable perched_table(const RunResult& r) {
  ReportTable t{"perched_water", "Tight soil: how high water stands on it", {}, {}, ""};
  t.columns = {{"pit", "pit"},
               {"below_ground", "top below ground"},
               {"below_bottom", "below the bottom"},
               {"tighter", "times tighter"},
               {"highest_first_year", "highest over bottom, first year"},
               {"highest", "of the run"},
               {"highest_on", "on"}};
  const CaseRun& run = r.cases[Cases::expected];
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const PitLayout& pit = r.site.pits[p];
    for (const SoilBoundary& layer : pit.boundaries) {
      if (!layer.is_tight()) continue;
      const HighestPerched year = highest_perched(run, p, layer, first_year(r));
      const HighestPerched all = highest_perched(run, p, layer, r.days());
      const auto stands = [&](const HighestPerched& h) {
        return h.over_bottom_m > layer.top_m ? Cell(Amount{h.over_bottom_m, Quantity::level})
                                             : Cell("none");
      };
      t.rows.push_back({pit_label(r.scenario.pits[p]),
                        Amount{pit.bottom_below_ground_m - layer.top_m, Quantity::level},
                        Amount{-layer.top_m, Quantity::level}, times_tighter_shown(layer),
                        stands(year), stands(all),
                        all.over_bottom_m > layer.top_m
                            ? iso_date(date_of(r.scenario.start, all.day))
                            : std::string("-")});
    }
  }
  t.note =
      "Water that comes down faster than the tight layer lets it through spreads on it, its "
      "capillary fringe with it, and stands at the pit's edge; steady flow for the mean of the "
      "past season (mound_memory), the layer level and draining freely below (assumed); no higher "
      "than the pit's own water. The pit's walls and bottom feel it as they feel a water table. "
      "While a pit is emptied the water stays as in the past season, so it empties too slowly, to "
      "the safe side; after a long rest it comes back too slowly. Negative: it stands below the "
      "bottom. None: nothing, or another layer's water stood higher. Against an independent "
      "numerical solution the pit's intake then comes out mostly within 15 %. Expected clogging.";
  if (table_over_layer(r)) {
    t.note +=
        " The water table comes up over a tight layer: what drains through it then is less than "
        "assumed, and the pits take in less than shown.";
  }
  return t;
}

std::optional<AnswerLine> perched_line(const RunResult& r) {
  const CaseRun& run = r.cases[Cases::expected];
  std::size_t pit = 0;
  HighestPerched worst;
  const SoilBoundary* layer = nullptr;  // that holds the highest water
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    for (const SoilBoundary& one : r.site.pits[p].boundaries) {
      constexpr double worth_saying = 2.0;  // soil tests scatter as much
      if (times_tighter(one) < worth_saying) continue;
      const HighestPerched h = highest_perched(run, p, one, r.days());
      if (h.over_bottom_m <= worst.over_bottom_m) continue;
      worst = h;
      pit = p;
      layer = &one;
    }
  }
  // Far below the bottom the table of pits says it.
  if (layer == nullptr || worst.over_bottom_m < -r.scenario.separation_m) return std::nullopt;
  const auto level = [&](double m) {
    return show_text(std::abs(m), Quantity::level, r.scenario.units);
  };
  constexpr double at_m = 0.015;  // shown as 0.0 ft
  const Number times = times_tighter_shown(*layer);
  const std::string side = layer->top_m > 0.0 ? "over" : "below";
  const std::string where =
      (std::abs(layer->top_m) < at_m ? std::string("at") : level(layer->top_m) + " " + side) +
      " the bottom of the " + pit_label(r.scenario.pits[pit]);
  return AnswerLine{
      "Tight soil",
      fmt::format(
          "the layer {} lets through about {} times less than the soil on it and holds water "
          "up: it stands up to {} {} the pit's bottom ({}){}. "
          "Codes ask for room over such a layer too; the local code decides.",
          where, fmt::format("{:.{}f}", times.value, times.decimals), level(worst.over_bottom_m),
          worst.over_bottom_m >= 0.0 ? "over" : "below",
          iso_date(date_of(r.scenario.start, worst.day)),
          worst.over_bottom_m > 0.0 ? ", and the pit drains less for it" : "")};
}

}  // namespace restwell
