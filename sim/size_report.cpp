#include "sim/size_report.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <fstream>
#include <set>

#include "models/constants.hpp"
#include "sim/calendar.hpp"
#include "sim/csv_cells.hpp"
#include "sim/report_tables.hpp"
#include "sim/water_table.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

using CsvCell = plots::Cell;

std::string curve_name(const SizeResult& r, const PitSize& size) {
  return fmt::format("{} x {}", size.count,
                     show_text(size.diameter_m, Quantity::level, r.site.units));
}

CsvCell in_unit(const SizeResult& r, double value, Quantity q) {
  return CellsIn{r.site.units}(value, q);
}

double life_years(const SizeResult& r, const std::optional<int>& life) {
  return six_digits(life.value_or(r.look_day) / days_per_year);
}

CsvCell longer(const std::optional<int>& life) {
  return static_cast<long long>(life.has_value() ? 0 : 1);
}

void write_choices(const SizeResult& r, const std::filesystem::path& folder) {
  const auto area = [&](const std::string& name) {
    return column_name(name, Quantity::area, r.site.units);
  };
  std::vector<std::string> columns = {"list",
                                      "pits",
                                      column_name("diameter", Quantity::level, r.site.units),
                                      column_name("depth", Quantity::level, r.site.units),
                                      "dug_" + dug_unit(r.site.units).label,
                                      "cost"};
  for (const char* flow : {"household", "code"}) {
    for (const char* which : {"early", "expected", "late"}) {
      columns.push_back(fmt::format("{}_{}_years", flow, which));
      columns.push_back(fmt::format("{}_{}_longer", flow, which));
    }
  }
  columns.push_back(column_name("perc", Quantity::percolation, r.site.units));
  columns.push_back(area("wall"));
  for (const char* code : {"phs", "ipsdc", "epa"}) {
    columns.push_back(area(std::string(code) + "_asks"));
    columns.push_back(std::string(code) + "_met");
  }
  plots::CsvWriter csv(folder / "choices.csv", columns);
  const auto add = [&](const std::string& list, const std::vector<Choice>& choices) {
    for (const Choice& c : choices) {
      std::vector<CsvCell> row = {list, static_cast<long long>(c.size.count),
                                  in_unit(r, c.size.diameter_m, Quantity::level),
                                  in_unit(r, c.size.depth_m, Quantity::level),
                                  six_digits(c.dug_m3 * dug_unit(r.site.units).factor)};
      row.push_back(r.question.costs ? CsvCell(six_digits(c.cost)) : CsvCell(std::string()));
      for (const bool code : {false, true}) {
        for (const std::size_t which : Cases::early_to_late) {
          if (code && !c.code) {
            row.insert(row.end(), {std::string(), std::string()});
            continue;
          }
          const auto& life = (code ? *c.code : c.household)[which];
          row.emplace_back(life_years(r, life));
          row.push_back(longer(life));
        }
      }
      row.push_back(c.asks.rate_day_per_m
                        ? in_unit(r, *c.asks.rate_day_per_m, Quantity::percolation)
                        : CsvCell(std::string()));
      row.push_back(in_unit(r, c.asks.wall_m2, Quantity::area));
      for (const auto& asked : {c.asks.phs_m2, c.asks.ipsdc_m2, c.asks.epa_m2}) {
        row.push_back(asked ? in_unit(r, *asked, Quantity::area) : CsvCell(std::string()));
        row.push_back(static_cast<long long>(c.asks.meets(asked)));
      }
      csv.row(row);
    }
  };
  add("lasts", r.choices);
  add("lasts and meets PHS 526", r.table_choices);
  add("nearest", r.nearest);
  csv.close();
}

void write_life_by_depth(const SizeResult& r, const std::filesystem::path& folder) {
  plots::CsvWriter csv(
      folder / "life_by_depth.csv",
      {"curve", "pits", column_name("diameter", Quantity::level, r.site.units),
       column_name("depth", Quantity::level, r.site.units), "life_years", "longer"});
  for (const TriedSize& t : r.tried) {
    csv.row({curve_name(r, t.size), static_cast<long long>(t.size.count),
             in_unit(r, t.size.diameter_m, Quantity::level),
             in_unit(r, t.size.depth_m, Quantity::level), life_years(r, t.life_day),
             longer(t.life_day)});
  }
  csv.close();
}

// Highest water of each month, expected case.
void write_plan_levels(const SizeResult& r, const std::filesystem::path& folder) {
  const RunResult& run = r.best->run;
  plots::CsvWriter csv(folder / "plan_levels.csv",
                       {"month", "pit", column_name("highest", Quantity::level, r.site.units)});
  for (std::size_t p = 0; p < run.scenario.pits.size(); ++p) {
    std::string month;
    double highest = 0.0;
    const auto put = [&] {
      if (!month.empty())
        csv.row({month + "-01", run.scenario.pits[p].name, in_unit(r, highest, Quantity::level)});
    };
    for (int d = 0; d < run.days(); ++d) {
      const std::string now = iso_date(date_of(run.scenario.start, d)).substr(0, 7);
      if (now != month) {
        put();
        month = now;
        highest = 0.0;
      }
      highest = std::max(highest,
                         run.cases[Cases::expected].days[p][static_cast<std::size_t>(d)].highest_m);
    }
    put();
  }
  csv.close();
}

void write_plan(const SizeResult& r, const std::filesystem::path& folder) {
  plots::CsvWriter csv(folder / "plan.csv", {"date", "work"});
  for (const PlannedWork& w : r.best->built.scenario.plan)
    csv.row({iso_date(w.date), work_words(r.best->built.scenario, w)});
  csv.close();
}

std::vector<std::string> size_cautions(const SizeResult& r) {
  std::vector<std::string> cautions = {
      "Digging: a pit's walls collapse without warning. Nobody enters an excavation that is not "
      "shored or sloped by the rules; have buried lines marked before the first cut; no pit is "
      "dug without the permit.",
      "The soil at the new place decides: have it logged and tested there, down to below the "
      "bottom, before any of this is dug."};
  if (r.question.old_pits == OldPits::leave)
    cautions.emplace_back(
        "An old pit left empty and open in the ground is a trap: it is pumped "
        "and filled or removed, not just left.");
  for (std::string& c : safety_cautions()) cautions.push_back(std::move(c));
  return cautions;
}

std::vector<std::string> size_notes(const SizeResult& r) {
  std::vector<std::string> notes;
  const UnitSystem units = r.site.units;
  const auto length = [&](double m) { return show_text(m, Quantity::level, units); };
  if (!r.site.soil.water_table) {
    notes.push_back(
        fmt::format("The file gives no water table: a boring must show none within {} "
                    "below the bottom.",
                    length(r.site.separation_m)));
  } else if (!r.depths_too_deep_m.empty()) {
    notes.push_back(fmt::format(
        "{} of {} depths, from {} on, are left out: their bottom would be "
        "less than {} above the water table at {}.",
        r.depths_too_deep_m.size(), r.question.depths_m.size(), length(r.depths_too_deep_m.front()),
        length(r.site.separation_m), length(shallowest_table_m(*r.site.soil.water_table))));
  }
  if (r.site.tank.pump_out.kind == PumpOutPolicy::Kind::never && r.site.tank.pump_out.dates.empty())
    notes.push_back(
        "The file says the tank is never pumped: what it then sends clogs new pits "
        "too. Give tank.pump_out, e.g. {every: 3 years}, to size for a kept tank.");
  if (r.plan_left_out)
    notes.push_back("The file's own plan of works is left out: the box starts as found.");
  if (r.best && r.best->leveler) {
    for (const std::string& note : r.best->run.cases[Cases::expected].notes) notes.push_back(note);
  }
  if (r.site.mode == Mode::steady)
    notes.push_back("A typical week has no busy days; compare with --mode random.");
  if (!r.choices.empty() && (picked(r).size.count > 1 || r.best->leveler)) {
    const double clear = clear_diameters * picked(r).size.diameter_m;
    notes.push_back(
        fmt::format("Room: {} of clear ground between pits, old ones too (three "
                    "diameters, US PHS 526, from memory).{}",
                    length(clear),
                    picked(r).size.count > 1
                        ? fmt::format(" In a row the new ones take {}.",
                                      length(picked(r).size.count * picked(r).size.diameter_m +
                                             (picked(r).size.count - 1) * clear))
                        : ""));
  }
  return notes;
}

}  // namespace

ReportTable size_assumptions_table(const SizeResult& r) {
  ReportTable t{"size_assumptions", "Assumed of the new pits and of the search", {}, {}, ""};
  t.columns = {{"what", "what"}, {"value", "value"}, {"why", "why"}};
  const UnitSystem units = r.site.units;
  const auto small = [&](double m) { return show_text(m, Quantity::small_length, units); };
  const PitPattern& p = r.pattern;
  const std::string like =
      p.like.empty() ? "assumed: the file has no pit to go by" : "as the file's " + p.like;
  const bool lined = p.config.geometry.lining_inner_radius_m > 0.0 && p.wall_m > 0.0;
  t.rows.push_back(
      {"inside",
       lined ? fmt::format("lining {} thick, {} of gravel around it", small(p.wall_m),
                           small(p.gravel_ring_m))
             : std::string(p.filled_with_stone() ? "filled with stone, no lining" : "open hole"),
       like});
  t.rows.push_back({"open share of the gravel",
                    fmt::format("{:.0f} %", 100.0 * p.config.geometry.gravel_porosity), like});
  t.rows.push_back(
      {"inlet below ground", show_text(p.config.inlet_depth_m, Quantity::level, units), like});
  t.rows.push_back({"looked beyond the life", fmt::format("{:g} years", look_beyond_years),
                    "a life is told as more than that"});
  t.rows.push_back(
      {"bedrooms", fmt::format("{}", r.code_basis.bedrooms),
       r.code_basis.assumed ? "assumed: one for two people, not under 2" : "the file's"});
  t.rows.push_back({"people of the codes' household",
                    fmt::format("{:g} for each bedroom", code_people_per_bedroom),
                    "common practice, no published source"});
  if (r.question.old_pits == OldPits::keep) {
    t.rows.push_back({"new pits first", fmt::format("{:.0f} % of the water", 100.0 * first_share),
                      "assumed; levelers in steps of " + small(leveler_step_m)});
    t.rows.push_back({"an old pit is recovered",
                      fmt::format("lasts {}", years_words(static_cast<int>(
                                                  std::lround(r.question.service_day)))),
                      "--service; assumed"});
    t.rows.push_back(
        {"rest of an old pit",
         fmt::format("{} days to {}", shortest_rest_day, years_words(longest_rest_day)),
         "at least: several months, US EPA 1980; at most: assumed"});
  }
  return t;
}

Report size_report(const SizeResult& r, const std::vector<std::string>& warnings) {
  Report report;
  report.site = r.site.name;
  report.question = fmt::format("Which new pits last {}?", years_words(r.life_day));
  report.start = r.site.start;
  report.days = r.look_day;
  report.units = r.site.units;
  report.setting = fmt::format(
      "({}, {} in a typical week; {} of {} sizes tried, from {} over {}; {}.)",
      people_words(r.site.household.occupants),
      show_text(r.household.flow_m3_per_day, Quantity::flow, report.units), r.tried.size(),
      r.question.diameters_m.size() * r.question.depths_m.size() * r.question.pits.size(),
      iso_date(report.start), years_words(r.look_day), mode_words(r.site));
  report.answer = size_answer(r);
  report.notes = size_notes(r);
  for (const std::string& w : warnings) report.notes.push_back(without_place(w));
  report.tables = size_tables(r);
  report.tables.push_back(soil_table(r.best ? r.best->built.scenario : r.site));
  report.assumptions = {size_assumptions_table(r), cases_table(main_cases(r.site.biomat)),
                        clogging_parameters_table(r.site), other_parameters_table(r.site)};
  report.simplifications = model_simplifications(r.site);
  report.cautions = size_cautions(r);
  return report;
}

void write_size_files(const SizeResult& r, const std::filesystem::path& folder) {
  write_choices(r, folder);
  write_life_by_depth(r, folder);
  if (!r.best) return;
  write_plan(r, folder);
  write_plan_levels(r, folder);
  std::ofstream file(folder / "best_choice.yaml", std::ios::binary);
  file << r.best->built.text;
  file.close();
  if (!file) {
    throw std::runtime_error(
        fmt::format("best_choice.yaml: cannot be written: {}", std::strerror(errno)));
  }
}

std::vector<plots::Figure> size_figures(const SizeResult& r) {
  std::vector<plots::Figure> figures;
  plots::Figure life;
  life.name = "life_by_depth";
  life.title = "How long new pits last, by depth";
  life.caption =
      fmt::format("On {}, {} case; up to the first depth that lasts. Lives over {} stand at {}.",
                  r.question.basis == Basis::code ? "the codes' flow" : "the household's flow",
                  r.question.by == LifeBy::early ? "early" : "expected", years_words(r.look_day),
                  years_words(r.look_day));
  life.x_label =
      fmt::format("depth below the inlet [{}]", column_unit(Quantity::level, r.site.units).label);
  life.y_label = "years until full";
  std::set<std::string> seen, drawn;
  for (const TriedSize& t : r.tried) {
    const std::string curve = curve_name(r, t.size);
    // A single point is no line.
    if (seen.insert(curve).second || !drawn.insert(curve).second) continue;
    life.series.push_back({"life_by_depth.csv", column_name("depth", Quantity::level, r.site.units),
                           "life_years", curve, "curve", curve});
  }
  life.levels.push_back({r.life_day / days_per_year, "asked for"});
  if (!life.series.empty()) figures.push_back(std::move(life));
  if (!r.best) return figures;
  plots::Figure levels;
  levels.name = "plan_levels";
  levels.title = "Water in the pits under the plan, highest of each month";
  levels.caption = "Expected clogging. Old pits drain, recover and go back into service.";
  if (!r.best->leveler) levels.caption = "Expected clogging.";
  levels.y_label =
      fmt::format("water over the bottom [{}]", column_unit(Quantity::level, r.site.units).label);
  levels.x_is_date = true;
  for (const PitConfig& p : r.best->built.scenario.pits)
    levels.series.push_back({"plan_levels.csv", "month",
                             column_name("highest", Quantity::level, r.site.units), pit_label(p),
                             "pit", p.name});
  figures.push_back(std::move(levels));
  return figures;
}

}  // namespace restwell
