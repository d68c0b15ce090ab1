#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "models/constants.hpp"
#include "models/us_units.hpp"
#include "sim/size_report.hpp"
#include "sim/water_table.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

std::string life_words(const SizeResult& r, const Lives& life, std::size_t which) {
  return lasting_words(lasting(r, life[which]));
}

// "over 25 years in the expected case (early 2.9 years, late over 25 years)"
std::string lives_words(const SizeResult& r, const Lives& life) {
  if (!life[Cases::early]) return life_words(r, life, Cases::early) + " in all three cases";
  return fmt::format("{} in the expected case (early {}, late {})",
                     life_words(r, life, Cases::expected), life_words(r, life, Cases::early),
                     life_words(r, life, Cases::late));
}

std::string flow_words(const SizeResult& r, double flow) {
  return show_text(flow, Quantity::flow, r.site.units);
}

std::string household_words(const SizeResult& r) {
  std::string text = "this household's " + flow_words(r, r.household.flow_m3_per_day);
  constexpr double worth_saying = 0.1;
  if (std::abs(r.household.mean_flow_m3_per_day / r.household.flow_m3_per_day - 1.0) > worth_saying)
    text += fmt::format(" now (over the years {} on the mean)",
                        flow_words(r, r.household.mean_flow_m3_per_day));
  return text;
}

std::string code_flow_words(const SizeResult& r) {
  return fmt::format("the codes' {} ({} {} at 150 gal/day)",
                     flow_words(r, r.code_basis.flow_m3_per_day), r.code_basis.bedrooms,
                     r.code_basis.bedrooms == 1 ? "bedroom" : "bedrooms");
}

std::string cost_words(const SizeResult& r, const Choice& c) {
  const DugUnit unit = dug_unit(r.site.units);
  const std::string dug = fmt::format("{:.1f} {} dug", c.dug_m3 * unit.factor, unit.label);
  return r.question.costs ? fmt::format("cost {:.0f}, {}", c.cost, dug) : dug;
}

std::string case_words(const SizeResult& r) {
  return r.question.by == LifeBy::early ? "even in the early case" : "in the expected case";
}

// The life the list goes by, and the other flow's after it.
std::string choice_words(const SizeResult& r, const Choice& c) {
  const bool by_code = r.question.basis == Basis::code;
  const Lives& life = by_code ? *c.code : c.household;
  std::string text = fmt::format("{} ({}): {} {} on {}.", size_words(r, c.size), cost_words(r, c),
                                 c.size.count == 1 ? "lasts" : "last", lives_words(r, life),
                                 by_code ? code_flow_words(r) : household_words(r));
  if (by_code)
    text += fmt::format(" On {} {} {}.", household_words(r),
                        c.size.count == 1 ? "it lasts" : "they last", lives_words(r, c.household));
  return text;
}

AnswerLine build_line(const SizeResult& r) {
  const Choice& c = picked(r);
  const bool by_table = c.asks.meets_phs();
  std::string text = sentence_case(choice_words(r, c));
  if (&c != &r.choices.front()) {
    text += fmt::format(" The cheapest that lasts {} {} and has the wall that US PHS 526 asks for.",
                        years_words(r.life_day), case_words(r));
  } else if (r.lasting > 1) {
    text +=
        fmt::format(" The cheapest of {} that last {} {}{}.", r.lasting, years_words(r.life_day),
                    case_words(r), by_table ? "; it has the wall that US PHS 526 asks for" : "");
  }
  // What no table allows must not stand in the first line without a word of that.
  if (!by_table) {
    text += fmt::format(" Not by the codes: {}; ask before digging.",
                        c.asks.suitability == PitSuitability::suited && c.asks.phs_m2
                            ? "less wall than US PHS 526 asks for"
                            : "US PHS 526 has no pits in such soil");
  }
  return {"Build", text};
}

AnswerLine nothing_line(const SizeResult& r) {
  if (r.depths_m.empty())
    return {
        "Build",
        fmt::format(
            "Nothing of these depths: a pit's bottom must stay {} above the water "
            "table at {}, so with its inlet {} down it can be at most {} deep.",
            show_text(r.site.separation_m, Quantity::level, r.site.units),
            show_text(shallowest_table_m(*r.site.soil.water_table), Quantity::level, r.site.units),
            show_text(r.pattern.config.inlet_depth_m, Quantity::level, r.site.units),
            show_text(std::max(0.0, shallowest_table_m(*r.site.soil.water_table) -
                                        r.site.separation_m - r.pattern.config.inlet_depth_m),
                      Quantity::level, r.site.units))};
  const Choice& c = r.nearest.front();
  const bool by_code = r.question.basis == Basis::code;
  return {"Build",
          fmt::format("None of the sizes allowed lasts {} {} on {}. Nearest: {}, {}. Allow wider, "
                      "deeper or more pits (--diameters, --depths, --pits), or send them less.",
                      years_words(r.life_day), case_words(r),
                      by_code ? code_flow_words(r) : household_words(r), size_words(r, c.size),
                      lives_words(r, by_code ? *c.code : c.household))};
}

// What the PHS table says of a choice.
std::string phs_words(const SizeResult& r, const Choice& c) {
  const CodeAsk& a = c.asks;
  const auto area = [&](double m2) { return show_text(m2, Quantity::area, r.site.units); };
  if (!a.rate_day_per_m) return "US PHS 526 counts none of this soil's layers for pits.";
  const std::string rate = show_text(*a.rate_day_per_m, Quantity::percolation, r.site.units);
  if (a.suitability == PitSuitability::too_slow)
    return fmt::format("At {} US PHS 526 wants no pits at all (slowest 30 min/inch).", rate);
  if (a.suitability == PitSuitability::too_fast)
    return fmt::format("At {} the soil is too fast for the tables (quickest 1 min/inch).", rate);
  return fmt::format("US PHS 526 asks for {} of side wall ({} for each bedroom at {}), {} {}: {}.",
                     area(*a.phs_m2), area(*a.phs_m2 / r.code_basis.bedrooms), rate,
                     c.size.count == 1 ? "it has" : "they have", area(a.wall_m2),
                     a.meets_phs() ? "the table is met" : "the table is not met");
}

AnswerLine codes_line(const SizeResult& r, const Choice& c) {
  std::string text = phs_words(r, c);
  if (c.code && r.question.basis != Basis::code) {
    const auto& expected = (*c.code)[Cases::expected];
    const bool lasts = !expected || *expected >= r.life_day;
    text += fmt::format(" On {} {} would last {}{}.", code_flow_words(r),
                        c.size.count == 1 ? "it" : "they", lives_words(r, *c.code),
                        lasts ? "" : fmt::format(": not the {}", years_words(r.life_day)));
  }
  text += " The local code decides, whatever this household uses.";
  return {"Codes", text};
}

AnswerLine table_line(const SizeResult& r) {
  if (!r.table_choices.empty()) {
    const Choice& c = r.table_choices.front();
    std::string text = fmt::format("{} ({}): the cheapest that lasts and has that wall too, {}",
                                   size_words(r, c.size), cost_words(r, c),
                                   show_text(c.asks.wall_m2, Quantity::area, r.site.units));
    if (c.code)
      text += fmt::format("; on the codes' flow {} would last {}",
                          c.size.count == 1 ? "it" : "they", lives_words(r, *c.code));
    return {"By the table", sentence_case(text + ".")};
  }
  const CodeAsk& a = r.choices.front().asks;
  std::string text = "None of the sizes allowed meets the PHS table";
  if (a.suitability == PitSuitability::suited && a.phs_m2) {
    const double widest = r.question.diameters_m.back();
    const int most = r.question.pits.back();
    text += fmt::format(
        " (it takes {} deep in all at {} wide, {} each for {})",
        show_text(pit_depth_for_wall_m(*a.phs_m2, widest), Quantity::level, r.site.units),
        show_text(widest, Quantity::level, r.site.units),
        show_text(pit_depth_for_wall_m(*a.phs_m2, widest) / most, Quantity::level, r.site.units),
        most == 1 ? "one pit" : fmt::format("{} pits", most));
  }
  return {"By the table", text + "."};
}

// What would do if only this household's water counted, or why the table is not met.
AnswerLine other_line(const SizeResult& r) {
  const Choice& least = r.choices.front();
  if (&picked(r) == &least) return table_line(r);
  return {"Without the table",
          fmt::format("For this household's water alone the least is {} {} {} of the {} of wall "
                      "the table asks for: no reserve for other people or a poorer soil.",
                      choice_words(r, least), least.size.count == 1 ? "It has" : "They have",
                      show_text(least.asks.wall_m2, Quantity::area, r.site.units),
                      show_text(*least.asks.phs_m2, Quantity::area, r.site.units))};
}

// "October 2027 (1.4 years; early case ..., late case ...)"
std::string ready_words(const SizeResult& r, const OldPitBack& old) {
  const auto date = [&](std::size_t which) -> std::string {
    const auto& day = old.ready_day[which];
    return day ? month_and_year(date_of(r.site.start, *day))
               : "not within " + years_words(longest_rest_day);
  };
  const auto& ready = old.ready_day;
  const auto& expected = ready[Cases::expected];
  const std::string after =
      expected ? fmt::format("{:.1f} years; ", *expected / days_per_year) : std::string();
  const bool agree = ready[Cases::early] == expected && ready[Cases::late] == expected;
  return fmt::format(
      "{} ({}{})", date(Cases::expected), after,
      agree ? std::string("all three cases agree")
            : fmt::format("early case {}, late case {}", date(Cases::early), date(Cases::late)));
}

AnswerLine old_pits_line(const SizeResult& r) {
  const BestChoice& best = *r.best;
  if (!best.leveler) {
    const bool several = r.site.pits.size() > 1;
    return {several ? "Old pits" : "Old pit",
            fmt::format("Left out of service: pumped, filled or removed as the local code says.{}",
                        r.site.box.present ? " --old keep keeps them on the box." : "")};
  }
  const LevelerSetting& l = *best.leveler;
  std::vector<std::string> names;
  for (const std::size_t i : l.outlets) names.push_back(r.site.box.outlets[i].name);
  const std::string outlets = (names.size() == 1 ? "outlet " : "outlets ") + list_words(names);
  std::string text =
      l.capped
          ? fmt::format("cap {}: no leveler below the lid sends {:.0f} % to the new {}.", outlets,
                        100.0 * first_share, picked(r).size.count == 1 ? "pit" : "pits")
          : fmt::format(
                "raise {} by {}: the new {} then {} {:.0f} % of the water (as found, with "
                "the new level with the lowest: {:.0f} %).",
                outlets, lift_words(l.lift_m, r.site.units),
                picked(r).size.count == 1 ? "pit" : "pits",
                picked(r).size.count == 1 ? "gets" : "get", 100.0 * l.new_share,
                100.0 * l.new_share_found);
  // Pits that are ready together are named together.
  std::vector<std::pair<std::string, std::vector<std::string>>> ready;
  for (const OldPitBack& old : best.old_pits) {
    const std::string when = ready_words(r, old);
    const auto same = std::ranges::find(ready, when, [](const auto& x) { return x.first; });
    auto& pits = same == ready.end() ? ready.emplace_back(when, std::vector<std::string>()).second
                                     : same->second;
    pits.push_back(pit_label(r.best->built.scenario.pits[old.pit]));
  }
  text += fmt::format(" Fit to go back into service, good for {} more:",
                      years_words(static_cast<int>(std::lround(r.question.service_day))));
  for (std::size_t i = 0; i < ready.size(); ++i)
    text += fmt::format("{} {} {}", i > 0 ? ";" : "", list_words(ready[i].second), ready[i].first);
  return {"Old pits", sentence_case(text + ".")};
}

AnswerLine plan_line(const SizeResult& r) {
  const RunResult& run = r.best->run;
  const auto all_cases = [](const std::string& expected, const std::string& early,
                            const std::string& late) {
    return fmt::format("{} (early {}, late {})", expected, early, late);
  };
  const auto full = [&](std::size_t which) {
    int first = never;
    for (const std::size_t p : r.best->built.new_pits)
      first = earlier_day(first, run.cases[which].pits[p].first_full);
    return lasting_words({first, r.look_day});
  };
  const auto leaves = [&](std::size_t which) {
    return lasting_words({run.cases[which].first_leaves, r.look_day});
  };
  std::string text;
  if (r.best->leveler)
    text = fmt::format(
        "with the old pits put back on the expected dates the new {} {}, on this "
        "household's flow. ",
        r.best->built.new_pits.size() == 1 ? "pit lasts" : "pits last",
        all_cases(full(Cases::expected), full(Cases::early), full(Cases::late)));
  const bool none =
      std::ranges::all_of(run.cases, [](const CaseRun& c) { return c.first_leaves == never; });
  text += none ? fmt::format("No water comes up or backs up within {}, in any of the three cases.",
                             years_words(r.look_day))
               : fmt::format(
                     "Until water comes up or backs up: {}.",
                     all_cases(leaves(Cases::expected), leaves(Cases::early), leaves(Cases::late)));
  return {r.best->leveler ? "With them" : "Overflow", sentence_case(text)};
}

// How near the water table comes with the mound that the new pits raise: the depths were held
// against the table alone.
std::optional<AnswerLine> groundwater_line(const SizeResult& r) {
  if (!r.site.soil.water_table) return std::nullopt;
  const CaseRun& run = r.best->run.cases[Cases::expected];
  double least_m = 1e9;
  std::size_t when = 0;
  for (const std::size_t p : r.best->built.new_pits) {
    for (std::size_t d = 0; d < run.days[p].size(); ++d) {
      if (-run.days[p][d].table_m >= least_m) continue;
      least_m = -run.days[p][d].table_m;
      when = d;
    }
  }
  const auto length = [&](double m) { return show_text(m, Quantity::level, r.site.units); };
  const bool one = r.best->built.new_pits.size() == 1;
  const std::string comes = fmt::format(
      "with the mound under the new {} the water table comes to {} below {} bottom{} ({})",
      one ? "pit" : "pits", length(least_m), one ? "its" : "their", one ? "" : "s",
      iso_date(date_of(r.site.start, static_cast<int>(when))));
  if (least_m >= r.site.separation_m) return AnswerLine{"Water table", sentence_case(comes + ".")};
  const double shallower_m = picked(r).size.depth_m - (r.site.separation_m - least_m);
  return AnswerLine{"Water table",
                    sentence_case(fmt::format(
                        "{}: too near, {} is asked for (common practice; the local code "
                        "decides). Depths were held against the table without the mound; "
                        "{}.",
                        comes, length(r.site.separation_m),
                        shallower_m > 0.0 ? fmt::format("with --depths up to about {} it is kept",
                                                        length(shallower_m))
                                          : "no dry well keeps it here"))};
}

AnswerLine sure_line(const SizeResult& r) {
  const auto at = [&](std::size_t i) {
    return lasting_words(lasting(r, r.soil[i].life[Cases::expected]));
  };
  std::string text = fmt::format(
      "with half the soil's conductivity the choice above lasts {}, with twice {} (expected case). "
      "Below some size a life falls off steeply{}; the order of the choices is firmer than any "
      "date.",
      at(0), at(2),
      r.site.soil.layers.size() == 1 ? ", so the next size up is cheap insurance"
                                     : ", and in layers deeper is not always more");
  const auto& early = r.soil[1].life[Cases::early];
  if (r.question.by == LifeBy::expected && early && *early < r.life_day)
    text += " --by early sizes for the case in which walls clog fast.";
  return {"How sure", sentence_case(text)};
}

// Whether anything need be built at all.
AnswerLine as_it_is_line(const SizeResult& r) {
  const auto when = [&](std::size_t which) {
    const int day = r.as_it_is[which];
    return day == never ? "none within " + years_words(r.life_day)
                        : "after " + lasting_words({day, r.life_day});
  };
  if (std::ranges::all_of(r.as_it_is, [](int day) { return day == never; })) {
    return {"As it is",
            fmt::format("If nothing is built nothing overflows within {} either, in any of the "
                        "three cases: new pits are then for reserve or for the code. See run, and "
                        "rest for a full pit, before digging.",
                        years_words(r.life_day))};
  }
  return {"As it is",
          fmt::format("If nothing is built: overflow {} in the expected case, {} in the early, {} "
                      "in the late case.",
                      when(Cases::expected), when(Cases::early), when(Cases::late))};
}

}  // namespace

Lasting lasting(const SizeResult& r, const std::optional<int>& life) {
  return {life.value_or(never), r.look_day};
}

std::string size_words(const SizeResult& r, const PitSize& size) {
  const auto length = [&](double m) { return show_text(m, Quantity::level, r.site.units); };
  return fmt::format("{} of {} x {}",
                     size.count == 1 ? "one pit" : fmt::format("{} pits", size.count),
                     length(size.diameter_m), length(size.depth_m));
}

DugUnit dug_unit(UnitSystem units) {
  return units == UnitSystem::us ? DugUnit{1.0 / us::cubic_yard_m3, "yd3"} : DugUnit{1.0, "m3"};
}

std::vector<AnswerLine> size_answer(const SizeResult& r) {
  if (r.choices.empty()) {
    std::vector<AnswerLine> lines = {nothing_line(r)};
    if (!r.nearest.empty()) lines.push_back(codes_line(r, r.nearest.front()));
    lines.push_back(as_it_is_line(r));
    return lines;
  }
  std::vector<AnswerLine> lines = {build_line(r), codes_line(r, picked(r))};
  if (!r.choices.front().asks.meets_phs()) lines.push_back(other_line(r));
  lines.push_back(as_it_is_line(r));
  lines.push_back(old_pits_line(r));
  lines.push_back(plan_line(r));
  if (const auto line = groundwater_line(r)) lines.push_back(*line);
  lines.push_back(sure_line(r));
  return lines;
}

}  // namespace restwell
