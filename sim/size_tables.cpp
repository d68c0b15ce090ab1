#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "sim/size_report.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

Cell amount_or_nothing(const std::optional<double>& value, Quantity q, double factor = 1.0) {
  Cell cell;
  if (value) cell = Amount{*value * factor, q};
  return cell;
}
Cell word_if(bool said, const std::string& word) {
  Cell cell;
  if (said) cell = word;
  return cell;
}

std::string basis_name(const SizeResult& r) {
  return r.question.basis == Basis::code ? "the codes' flow" : "the household's flow";
}

// Of the picked choice in the tables, which number on through both lists.
std::size_t picked_number(const SizeResult& r) {
  return &picked(r) == r.choices.data() ? 1 : r.choices.size() + 1;
}

// Numbered on from `first`.
ReportTable choices_table(const SizeResult& r, const std::vector<Choice>& choices, int first,
                          const std::string& key, const std::string& title) {
  ReportTable t{key, title, {}, {}, ""};
  const DugUnit dug = dug_unit(r.site.units);
  const bool by_code = r.question.basis == Basis::code;
  t.columns = {{"no", "no."}, {"pits", "pits"}, {"diameter", "diameter"}, {"depth", "depth"}};
  t.columns.push_back(r.question.costs ? ReportColumn{"cost", "cost"}
                                       : ReportColumn{"dug_" + dug.label, dug.label + " dug"});
  t.columns.push_back({"early", "early"});
  t.columns.push_back({"expected", "expected"});
  t.columns.push_back({"late", "late"});
  const bool both = r.question.basis != Basis::household;
  if (both)
    t.columns.push_back(
        {by_code ? "household_expected" : "code_expected", by_code ? "household" : "codes' flow"});
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const Choice& c = choices[i];
    const Lives& life = by_code ? *c.code : c.household;
    std::vector<Cell> row = {Number{static_cast<double>(first) + static_cast<double>(i), 0},
                             Number{static_cast<double>(c.size.count), 0},
                             Amount{c.size.diameter_m, Quantity::level},
                             Amount{c.size.depth_m, Quantity::level}};
    row.emplace_back(r.question.costs ? Number{c.cost, 0} : Number{c.dug_m3 * dug.factor, 1});
    for (const std::size_t which : Cases::early_to_late) row.emplace_back(lasting(r, life[which]));
    if (both) row.emplace_back(lasting(r, (by_code ? c.household : *c.code)[Cases::expected]));
    t.rows.push_back(std::move(row));
  }
  return t;
}

std::string measure_words(const SizeResult& r) {
  return r.question.costs ? "cost: your unit costs, each pit and the volume dug"
                          : "cheapest: the least volume dug, from the ground to the bottom";
}

// "2 of 5.0 x 13.0"
std::string short_size(const SizeResult& r, const PitSize& size) {
  return fmt::format("{} of {} x {}", size.count,
                     show(size.diameter_m, Quantity::level, r.site.units).number,
                     show(size.depth_m, Quantity::level, r.site.units).number);
}

ReportTable codes_table(const SizeResult& r, const std::vector<Choice>& choices, int first,
                        const std::string& key, const std::string& title) {
  ReportTable t{key, title, {}, {}, ""};
  // In one soil the rate is the same for all and stands in the note.
  const bool rates_differ = r.site.soil.layers.size() > 1;
  const bool with_code = r.question.basis != Basis::household;
  t.columns = {{"no", "no."},
               {"size", "size [" + column_unit(Quantity::level, r.site.units).label + "]"}};
  t.columns.push_back(rates_differ ? ReportColumn{"rate", "perc rate"}
                                   : ReportColumn{"wall", "wall"});
  for (const auto& [column, heading] : {std::pair{"wall_per_bedroom", "/bedroom"},
                                        {"phs_per_bedroom", "PHS 526"},
                                        {"phs_met", "met"},
                                        {"ipsdc_per_bedroom", "IPSDC"},
                                        {"ipsdc_met", "met"},
                                        {"epa_per_bedroom", "EPA 1980"},
                                        {"epa_met", "met"}}) {
    t.columns.push_back({column, heading});
  }
  if (with_code) t.columns.push_back({"lasts_on_code_flow", "lasts"});
  const double bedrooms = r.code_basis.bedrooms;
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const CodeAsk& a = choices[i].asks;
    std::vector<Cell> row = {Number{static_cast<double>(first) + static_cast<double>(i), 0},
                             short_size(r, choices[i].size)};
    row.push_back(rates_differ ? amount_or_nothing(a.rate_day_per_m, Quantity::percolation)
                               : amount_or_nothing(a.wall_m2, Quantity::area));
    row.emplace_back(Amount{a.wall_m2 / bedrooms, Quantity::area});
    for (const auto& asked : {a.phs_m2, a.ipsdc_m2, a.epa_m2}) {
      row.push_back(amount_or_nothing(asked, Quantity::area, 1.0 / bedrooms));
      row.push_back(word_if(asked.has_value(), a.meets(asked) ? "yes" : "no"));
    }
    if (with_code) {
      const auto& life = (*choices[i].code)[Cases::expected];
      row.emplace_back(std::string(!life || *life >= r.life_day ? "yes" : "no"));
    }
    t.rows.push_back(std::move(row));
  }
  return t;
}

std::string codes_note(const SizeResult& r) {
  std::string note;
  if (r.site.soil.layers.size() == 1)
    note = fmt::format("Percolation rate {}. ",
                       show_text(perc_rate_day_per_m(r.site.soil.layers.front()),
                                 Quantity::percolation, r.site.units));
  const auto slow = [](const Choice& c) { return c.asks.suitability == PitSuitability::too_slow; };
  if (std::ranges::any_of(r.choices.empty() ? r.nearest : r.choices, slow))
    note +=
        "Too slow for pits by PHS 526: the whole wall and the tables' areas stand here only to "
        "compare. ";
  note +=
      "Wall: below the inlet, pi x diameter x depth, outside of the gravel; bottoms do not count, "
      "nor do layers slower than 30 min/inch. PHS 526: US Public Health Service 1967. IPSDC: "
      "International Private Sewage Disposal Code, 603.1. EPA 1980: design flow over the loading "
      "of table 7-2 (from memory).";
  if (r.question.basis != Basis::household)
    note +=
        fmt::format(" Lasts: {} on the codes' flow in the expected case.", years_words(r.life_day));
  return note;
}

ReportTable basis_table(const SizeResult& r) {
  ReportTable t{"basis", "Flow: the household's own and the codes'", {}, {}, ""};
  t.columns = {{"what", "what"},
               {"people", "people"},
               {"week", "typical week"},
               {"mean", "mean over the years"},
               {"per_bedroom", "per bedroom"}};
  const auto add = [&](const std::string& what, const FlowBasis& b) {
    t.rows.push_back({what, Number{b.people, 0}, Amount{b.flow_m3_per_day, Quantity::flow},
                      Amount{b.mean_flow_m3_per_day, Quantity::flow},
                      Amount{b.flow_m3_per_day / r.code_basis.bedrooms, Quantity::flow}});
  };
  add("this household", r.household);
  if (r.question.basis != Basis::household) add("codes' design flow", r.code);
  t.note = fmt::format(
      "{} {}{}. Codes: 150 gal/day for each bedroom (common practice, 90-200 by code), taken as 2 "
      "people to a bedroom, there every day, with their solids. Mean over the years: of what "
      "leaves the tank; pump-outs take part of it.",
      r.code_basis.bedrooms, r.code_basis.bedrooms == 1 ? "bedroom" : "bedrooms",
      r.code_basis.assumed ? " (assumed from the people: the file gives no bedrooms)" : "");
  return t;
}

ReportTable soil_trials_table(const SizeResult& r) {
  ReportTable t{"soil_trials",
                fmt::format("No. {} if the soil is not as given (life on {})", picked_number(r),
                            basis_name(r)),
                {},
                {},
                ""};
  t.columns = {
      {"soil", "conductivity"}, {"early", "early"}, {"expected", "expected"}, {"late", "late"}};
  for (const SoilTrial& s : r.soil) {
    t.rows.push_back({s.factor < 1.0   ? std::string("half")
                      : s.factor > 1.0 ? std::string("twice")
                                       : std::string("as given"),
                      lasting(r, s.life[Cases::early]), lasting(r, s.life[Cases::expected]),
                      lasting(r, s.life[Cases::late])});
  }
  t.note = "Percolation tests and codes scatter by this much and more.";
  return t;
}

Cell day_or_not(const std::optional<int>& day, const std::string& otherwise) {
  Cell cell = otherwise;
  if (day) cell = DayPoint{*day};
  return cell;
}

// What is done when; days are of the expected case.
ReportTable dated_plan_table(const SizeResult& r) {
  const BestChoice& best = *r.best;
  const PitSize& size = picked(r).size;
  ReportTable t{"plan", fmt::format("What to do when, for no. {}", picked_number(r)), {}, {}, ""};
  t.columns = {{"when", "when"}, {"what", "what"}, {"early", "early case"}, {"late", "late case"}};
  struct Row {
    int order;
    std::vector<Cell> cells;
  };
  std::vector<Row> rows;
  const Cell none = std::monostate{};
  const auto add = [&](const std::optional<int>& day, const std::string& what, Cell early,
                       Cell late) {
    const std::string not_seen = "not within " + years_words(longest_rest_day);
    rows.push_back({day.value_or(r.look_day),
                    {day_or_not(day, not_seen), what, std::move(early), std::move(late)}});
  };
  const bool several = size.count > 1;
  std::vector<std::string> outlets;
  for (const std::size_t o : best.built.new_outlets)
    outlets.push_back(best.built.scenario.box.outlets[o].name);
  std::string build = "build " + size_words(r, size);
  if (best.built.scenario.box.present) {
    build +=
        fmt::format(", {} {} on the box {}", several ? "outlets" : "outlet", list_words(outlets),
                    best.leveler ? "level with the lowest lip"
                    : several    ? "all level"
                                 : "alone");
  }
  add(0, build, none, none);
  if (best.leveler) {
    for (const PlannedWork& w : best.built.scenario.plan) {
      if (w.date == r.site.start) add(0, work_words(best.built.scenario, w), none, none);
    }
    for (const OldPitBack& old : best.old_pits) {
      const auto cell = [&](std::size_t which) {
        return day_or_not(old.ready_day[which], "not within " + years_words(longest_rest_day));
      };
      const std::string& outlet = r.site.box.outlets[old.outlet].name;
      add(old.ready_day[Cases::expected],
          fmt::format("{} has recovered: outlet {} {}",
                      pit_label(best.built.scenario.pits[old.pit]), outlet,
                      best.leveler->capped ? "opened again" : "back to the height found"),
          cell(Cases::early), cell(Cases::late));
    }
  } else {
    add(0,
        r.site.pits.size() > 1 ? "old pits out of service, pumped and filled or removed"
                               : "old pit out of service, pumped and filled or removed",
        none, none);
  }
  if (r.next_pump_out)
    add(*r.next_pump_out,
        r.pump_out_planned
            ? "next pump-out, by the file's plan" + std::string(r.pump_out_due ? ": too late" : "")
            : "tank due for pumping, though the file plans no pump-out",
        none, none);
  if (r.pump_out_due)
    add(*r.pump_out_due, "tank due for pumping, before the file's plan", none, none);
  std::ranges::stable_sort(rows, {}, &Row::order);
  for (Row& row : rows) t.rows.push_back(std::move(row.cells));
  if (best.leveler) {
    t.note = fmt::format(
        "Recovered: back at its old height, with the others still raised, it would last {} until "
        "full; looked at once a month from {} days on. Early case: the wall clogs fast and "
        "recovers slowly. Open the lid before: water well below the inlet that falls day by day is "
        "the proof. From then on new and old share the water; or raise the new pit's outlet "
        "instead, to rest it in its turn.{}",
        years_words(static_cast<int>(std::lround(r.question.service_day))), shortest_rest_day,
        best.leveler->capped
            ? std::string()
            : fmt::format(
                  " A raised lip still lets {:.0f} % of the water over; capped, a pit rests "
                  "wholly.",
                  100.0 * (1.0 - best.leveler->new_share)));
  }
  return t;
}

}  // namespace

std::vector<ReportTable> size_tables(const SizeResult& r) {
  std::vector<ReportTable> tables;
  const std::string meets =
      fmt::format("last {} {}", years_words(r.life_day),
                  r.question.by == LifeBy::early ? "in the early case" : "in the expected case");
  const std::string asks = "Side wall for each bedroom, what it has and what the codes ask for: ";
  if (!r.choices.empty()) {
    const std::string listed =
        r.lasting > r.choices.size()
            ? fmt::format("the {} cheapest of {} that ", r.choices.size(), r.lasting)
            : std::string("all that ");
    tables.push_back(choices_table(
        r, r.choices, 1, "choices",
        fmt::format("Choices on {}: {}{}, cheapest first", basis_name(r), listed, meets)));
    tables.back().note = fmt::format(
        "Depth: below the inlet, the least of each diameter and number that lasts; {}. A life ends "
        "with every new pit full to its inlet: no reserve is left, water may come up only later. "
        "New pits alone, old ones take nothing.",
        measure_words(r));
    if (r.question.basis == Basis::both)
      tables.back().note += " Codes' flow: expected life on the codes' design flow.";
    tables.push_back(codes_table(r, r.choices, 1, "codes", asks + "the same choices"));
    tables.back().note = codes_note(r);
  } else if (!r.nearest.empty()) {
    tables.push_back(choices_table(r, r.nearest, 1, "nearest",
                                   "Nearest on " + basis_name(r) + ", the longest life first"));
    tables.push_back(codes_table(r, r.nearest, 1, "codes", asks + "the same sizes"));
    tables.back().note = codes_note(r);
  }
  if (!r.table_choices.empty()) {
    const int first = static_cast<int>(r.choices.size()) + 1;
    tables.push_back(choices_table(r, r.table_choices, first, "table_choices",
                                   "Cheapest that last and meet the PHS table too"));
    tables.push_back(
        codes_table(r, r.table_choices, first, "table_choices_codes", asks + "these choices"));
  }
  if (r.best) tables.push_back(dated_plan_table(r));
  tables.push_back(basis_table(r));
  if (!r.soil.empty()) tables.push_back(soil_trials_table(r));
  return tables;
}

}  // namespace restwell
