#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "models/drainage.hpp"
#include "sim/report_tables.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

std::string start_words(const RunResult& r, std::size_t p) {
  const PitStart& s = r.scenario.pits[p].start;
  switch (s.kind) {
    case PitStart::Kind::brand_new:
      return "new";
    case PitStart::Kind::in_service:
      return fmt::format("{:.3g} years old", s.service_day / days_per_year);
    case PitStart::Kind::measured:
      return fmt::format("measured, {}",
                         show_text(s.drop_m_per_day, Quantity::conductivity, r.scenario.units));
  }
  return "";
}

std::size_t middle_ring(const Pit& pit) {
  std::size_t j = 0;
  while (j + 1 < pit.rings.size() && pit.rings[j].top_m < 0.5 * pit.geometry.depth_m) ++j;
  return j;
}

// "2 of 50.0 ft x 2.0 ft": trenches and the size of each.
std::string trench_words(const TrenchPlan& t, UnitSystem units) {
  return fmt::format("{}{} x {}", t.count > 1 ? fmt::format("{} of ", t.count) : std::string(),
                     show_text(t.length_m, Quantity::level, units),
                     show_text(t.width_m, Quantity::level, units));
}

}  // namespace

ReportTable pits_at_start_table(const RunResult& r) {
  ReportTable t{"pits", "Pits: as found and what they can take", {}, {}, ""};
  const bool fields = has_drain_field(r.scenario);
  t.columns = {{"pit", "pit"},
               {"starts", "starts as"},
               {fields ? "size" : "diameter", fields ? "diameter or size" : "diameter"},
               {"depth", "depth"},
               {"level", "water now"},
               {"clean", "clean, full"},
               {"now", "now, full"},
               {"end", "at the end, full"}};
  const CaseRun& f = r.cases[Cases::expected];
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const Pit& pit = r.site.pits[p].pit;
    const std::vector<double>& now = f.profiles.front().resistance_day[p];
    const std::vector<double> clean(now.size(), f.clog_case.biomat.clean_resistance_day);
    const std::optional<TrenchPlan>& trench = pit.geometry.trench;
    t.rows.push_back({pit_label(r.scenario.pits[p]), start_words(r, p),
                      trench ? Cell(trench_words(*trench, r.scenario.units))
                             : Cell(Amount{2.0 * pit.geometry.radius_m, Quantity::level}),
                      Amount{pit.geometry.depth_m, Quantity::level},
                      Amount{f.start_level_m[p], Quantity::level},
                      Amount{intake_when_full_m3_per_day(r.site.pits[p], clean), Quantity::flow},
                      Amount{intake_when_full_m3_per_day(r.site.pits[p], now), Quantity::flow},
                      Amount{f.capacity_m3_per_day[p], Quantity::flow}});
  }
  double last_year = 0.0;
  const int year = std::min(r.days(), 365);
  for (int d = r.days() - year; d < r.days(); ++d) {
    last_year += r.tank[static_cast<std::size_t>(d)].outflow_m3 / year;
  }
  std::string drains;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const Pit& pit = r.site.pits[p].pit;
    const double day = drainage_day(r.scenario.drainage, pit.rings[middle_ring(pit)].soil,
                                    0.5 * pit.geometry.depth_m);
    drains += fmt::format(
        "{}{} {}", drains.empty() ? "" : ", ", r.scenario.pits[p].name,
        day < 1.0 ? "less than a day" : counted(static_cast<int>(std::lround(day)), "day"));
  }
  t.note = fmt::format(
      "Once the water has passed, the soil behind the wall drains before air enters and clogging "
      "decays faster; at half depth that takes about: {}. Clean, now, at the end: what the soil "
      "takes a day with water at the inlet (expected "
      "clogging); "
      "above the inlet the wall takes more. The tank sends all pits together {} in a typical week "
      "now "
      "and {} in the last year.",
      drains, show_text(r.week.mean_flow_m3_per_day, Quantity::flow, r.scenario.units),
      show_text(last_year, Quantity::flow, r.scenario.units));
  if (r.scenario.soil.water_table) t.note += " The water table stands at its mean depth for this.";
  t.note +=
      " What a pit takes comes from a law fitted to a numerical solution of the flow. On pits "
      "nothing was fitted to it was within 20 % when full and standing still, half within 3 %; run "
      "with a moving level half were within 2 %, 95 in 100 within 10 %, the worst 35 % off.";
  return t;
}

ReportTable pit_dates_table(const RunResult& r) {
  ReportTable t{"pit_dates", "Pits: when", {}, {}, ""};
  t.columns = {{"pit", "pit"},
               {"what", "what"},
               {"early", "early"},
               {"expected", "expected"},
               {"late", "late"}};
  const auto add = [&](const std::string& who, const std::string& what, auto get) {
    t.rows.push_back({who, what, DayPoint{get(r.cases[Cases::early])},
                      DayPoint{get(r.cases[Cases::expected])},
                      DayPoint{get(r.cases[Cases::late])}});
  };
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const std::string who = pit_label(r.scenario.pits[p]);
    add(who, "full to the inlet", [p](const CaseRun& f) { return f.pits[p].first_full; });
    if (ever_backs_up_to_box(r.phases, p)) {
      add(who, "backs up into the box",
          [p](const CaseRun& f) { return f.pits[p].first_reaches_box; });
    }
    const std::string over =
        r.site.pits[p].over_brim == Destination::next_pit
            ? "spills to " + pit_label(r.scenario.pits[r.site.pits[p].next_pit])
        : r.site.pits[p].over_brim == Destination::house ? "backs up to the house"
                                                         : "water at the surface";
    add(who, over, [p](const CaseRun& f) { return f.pits[p].first_overflow; });
  }
  return t;
}

ReportTable overflow_table(const RunResult& r) {
  ReportTable t{
      "overflow", "Overflow: when water first leaves other than into the soil", {}, {}, ""};
  t.columns = {{"case", "case"},
               {"no_reserve", "every pit full"},
               {"overflow", "overflow"},
               {"where", "where"}};
  for (const std::size_t k : Cases::early_to_late) {
    const CaseRun& f = r.cases[k];
    t.rows.push_back({f.clog_case.name, DayPoint{f.first_no_reserve}, DayPoint{f.first_leaves},
                      f.leaves_at.empty() ? Cell() : Cell(f.leaves_at)});
  }
  return t;
}

ReportTable pit_levels_table(const RunResult& r) {
  ReportTable t{"pit_levels", "Pits: highest water in the year (expected clogging)", {}, {}, ""};
  t.columns = {{"year", "year"}};
  for (const PitConfig& p : r.scenario.pits) {
    const std::string key = fmt::format("pit_{}", t.columns.size() / 2 + 1);
    t.columns.push_back({key + "_level", pit_label(p)});
    t.columns.push_back({key + "_days_full", "days full"});
  }
  const CaseRun& f = r.cases[Cases::expected];
  const int last = static_cast<int>(std::ceil(r.days() / days_per_year - 0.01));
  for (int year = 1; year <= last; ++year) {
    const bool shown = year <= 5 || year == 7 || year % 5 == 0 || year == last;
    if (!shown) continue;
    const int from = days_to_year_end(r.scenario.start, year - 1, r.days());
    const int to = days_to_year_end(r.scenario.start, year, r.days());
    std::vector<Cell> row{Number{static_cast<double>(year), 0}};
    for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
      double highest = 0.0;
      int full = 0;
      for (int d = from; d < to; ++d) {
        const PitDay& day = f.days[p][static_cast<std::size_t>(d)];
        highest = std::max(highest, day.highest_m);
        full += day.full ? 1 : 0;
      }
      row.push_back(Amount{highest, Quantity::level});
      row.push_back(Number{static_cast<double>(full), 0});
    }
    t.rows.push_back(std::move(row));
  }
  std::vector<std::string> full_at;
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    full_at.push_back(fmt::format(
        "{} at {}", pit_label(r.scenario.pits[p]),
        show_text(r.site.pits[p].pit.geometry.depth_m, Quantity::level, r.scenario.units)));
  }
  t.note = "Water over the pit's bottom. Full: " + list_words(full_at) + ".";
  return t;
}

}  // namespace restwell
