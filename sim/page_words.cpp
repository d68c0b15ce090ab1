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
  return day < as_date_day ? "on " + iso_date(date) : "in " + month_and_year(date);
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

int pump_due_day(const RunResult& r) {
  int due = never;
  for (const CriterionDates& c : r.criteria)
    if (!c.met.empty()) due = earlier_day(due, c.met.front());
  return due;
}

namespace {

template <typename Get>
DaySpread spread_of(const RunResult& r, const Get& get) {
  return {get(r.cases[Cases::early]), get(r.cases[Cases::expected]), get(r.cases[Cases::late])};
}

}  // namespace

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

std::string answer_text(const Report& report, const std::string& topic) {
  const auto line = std::ranges::find(report.answer, topic, &AnswerLine::topic);
  return line == report.answer.end() ? "" : line->text;
}

std::string pits_word(const Scenario& scenario) {
  return has_drain_field(scenario) ? "pits and field" : "pits";
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
              shown(s, intake_when_full_m3_per_day(layout.pit, now, layout.water_table_m),
                    Quantity::flow),
              shown(s, intake_when_full_m3_per_day(layout.pit, clean, layout.water_table_m),
                    Quantity::flow))};
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
    block.items.push_back({"Ground", "Given as " + scenario.soil.layers.front().basis + "."});
  if (scenario.soil.water_table) block.items.push_back(groundwater_item(s));
  return {"what-you-have", "What you have", {std::move(block)}};
}

// ---- what will happen ------------------------------------------------------------------------

namespace {

std::string pumping_words(const PageStudy& s) {
  const RunResult& r = s.result;
  const int due = pump_due_day(r);
  std::string text = r.pumped.empty()
                         ? "No mark for pumping is reached in these years."
                         : "No mark is reached as long as the tank is pumped as planned.";
  for (const CriterionDates& c : r.criteria) {
    if (due == never || c.met.empty() || c.met.front() != due) continue;
    text = fmt::format("Due for pumping {}: {}.", due == 0 ? "now" : when_words(s.report, due),
                       criterion_reached(r.scenario, c.criterion));
    break;
  }
  if (r.pump_interval_day != never)
    text += fmt::format(" At today's use it takes about {:.1f} years from a pump-out to the mark.",
                        r.pump_interval_day / days_per_year);
  if (r.pumped.empty()) return text + " The file has the tank never pumped.";
  text += fmt::format(
      " The file plans {}, the first {}",
      r.pumped.size() == 1 ? "one pump-out" : fmt::format("{} pump-outs", r.pumped.size()),
      when_words(s.report, r.pumped.front()));
  constexpr int worth_saying_day = 60;
  const int late = due == never ? 0 : r.pumped.front() - due;
  return text + (late > worth_saying_day ? fmt::format(": {:.1f} years late.", late / days_per_year)
                                         : std::string("."));
}

}  // namespace

PageSection page_what_will_happen(const PageStudy& s) {
  const RunResult& r = s.result;
  const DaySpread overflow = overflow_spread(r);
  PageBlock block;
  block.id = "happens";
  std::string place;
  for (const std::size_t f : {Cases::expected, Cases::early, Cases::late})
    if (place.empty()) place = r.cases[f].leaves_at;
  if (overflow.expected == never && overflow.early == never) {
    block.answer = fmt::format("If all stays as it is, nothing overflows within the next {}.",
                               years_words(r.days()));
  } else if (overflow.expected == never) {
    block.answer = fmt::format(
        "If all stays as it is, an overflow is not likely within the next {}. In the "
        "early case it comes {}, {}.",
        years_words(r.days()), when_words(s.report, overflow.early), place);
  } else {
    block.answer = fmt::format("If all stays as it is, sewage overflows {}: {}.", place,
                               range_sentence(s.report, overflow));
  }
  block.paragraphs.push_back(
      "Overflow means that sewage leaves other than into the ground: into the yard, or back "
      "towards "
      "the house. A pit is full when its water stands at the inlet pipe.");
  block.figure = dates_figure(s);
  block.items.push_back({"Tank", pumping_words(s)});
  for (std::size_t p = 0; p < r.site.pits.size(); ++p) {
    const std::string topic = sentence_case(pit_label(r.scenario.pits[p]));
    const DaySpread full = pit_full_spread(r, p);
    block.items.push_back({topic, full == DaySpread{}
                                      ? sentence_case(answer_text(s.report, topic))
                                      : "Full " + range_sentence(s.report, full) + "."});
  }
  block.items.push_back(
      {"Early, late",
       "Nobody can measure how fast a wall clogs. The early case has it clog fast, "
       "the late case slowly; most likely is in between."});
  return {"what-will-happen", "What will happen, and when", {std::move(block)}};
}

// ---- why -------------------------------------------------------------------------------------

namespace {

constexpr int year_day = 365;

double first_year_mean(const RunResult& r, double TankRecord::*what) {
  const int days = std::min(r.days(), year_day);
  double sum = 0.0;
  for (int d = 0; d < days; ++d) sum += r.tank[static_cast<std::size_t>(d)].*what;
  return days > 0 ? sum / days : 0.0;
}

const CaseOutcome* chosen_outcome(const PageStudy& s, const std::string& key) {
  for (std::size_t i = 0; i < s.chosen.size(); ++i)
    if (s.chosen[i].key == key) return &s.cases.outcomes[i + 1];
  return nullptr;
}

std::string interval(int day) {
  return day == never ? "more than 15 years" : fmt::format("{:.1f} years", day / days_per_year);
}

PageBlock people_block(const PageStudy& s) {
  const RunResult& r = s.result;
  PageBlock b;
  b.id = "people";
  b.heading = "People fill the tank";
  const double solids = first_year_mean(r, &TankRecord::tss_in_kg);
  const double people = first_year_mean(r, &TankRecord::residents);
  b.paragraphs.push_back(fmt::format(
      "Whoever uses a toilet, a sink or a washer sends solids along with the water. In this house "
      "that is {} of dry solids{}. Part of it sinks, part floats, part rots away; the rest fills "
      "the tank.",
      shown(s, solids, Quantity::mass_per_year),
      people > 0.0 && people != 1.0
          ? fmt::format(", {} for each person", shown(s, solids / people, Quantity::mass_per_year))
          : std::string()));
  std::string text =
      fmt::format("From empty to the mark it takes {} with {}.", interval(r.pump_interval_day),
                  people_words(r.scenario.household.occupants));
  if (const CaseOutcome* more = chosen_outcome(s, "more_people")) {
    text += fmt::format(" With {} it takes {}.", people_words(more->scenario.household.occupants),
                        interval(more->pump_interval_day));
  }
  text += " Saving water does not slow this down: the solids are the same.";
  b.paragraphs.push_back(text);
  b.figure = tank_figure(s);
  return b;
}

PageBlock water_block(const PageStudy& s) {
  const RunResult& r = s.result;
  PageBlock b;
  b.id = "water";
  b.heading = "Gallons raise the water in the pits";
  if (s.report.units == UnitSystem::metric) b.heading = "Liters raise the water in the pits";
  b.paragraphs.push_back(fmt::format(
      "Every day the ground must swallow what the house sends: {} in a typical week. The higher "
      "the "
      "water stands in a pit, the more wall it wets and the harder it presses. So it rises until "
      "as much soaks away as comes in. If that height is above the inlet, the pit is full.",
      shown(s, r.week.mean_flow_m3_per_day, Quantity::flow)));
  b.figure = level_figure(s);
  return b;
}

PageBlock clogging_block(const PageStudy& s) {
  const RunResult& r = s.result;
  const CaseOutcome& base = s.cases.outcomes.front();
  PageBlock b;
  b.id = "clogging";
  b.heading = "What slips through the tank seals the ground";
  b.paragraphs.push_back(
      "The water that leaves the tank is not clean. Tiny germs live on what is left in it. They "
      "build a slime on the wall of the pit, and less and less water gets through. A tank full of "
      "sludge lets more through, and the slime grows faster.");
  const double now = base.takes.empty() ? 0.0 : base.takes.front().m3_per_day;
  const double end = base.takes.empty() ? 0.0 : base.takes.back().m3_per_day;
  std::string text = fmt::format(
      "With clean walls the {} together would take {}. Today it is {}, after {} {}.",
      pits_word(r.scenario), shown(s, base.clean_m3_per_day(), Quantity::flow),
      shown(s, now, Quantity::flow), years_words(r.days()), shown(s, end, Quantity::flow));
  if (const CaseOutcome* other = chosen_outcome(s, pumping_case)) {
    const bool pumped = pumped_as_planned(r.scenario);
    const double more = other->bod_kg_per_day / std::max(1e-12, base.bod_kg_per_day) - 1.0;
    if (!other->takes.empty())
      text += fmt::format(
          " If the tank is {}, it sends {:.0f} % {} of what feeds the slime, and it is {} then.",
          pumped ? "never pumped again" : "pumped on time", 100.0 * std::abs(more),
          more >= 0.0 ? "more" : "less", shown(s, other->takes.back().m3_per_day, Quantity::flow));
  }
  b.paragraphs.push_back(text);
  b.figure = clogging_figure(s);
  return b;
}

PageBlock rest_block(const PageStudy& s) {
  const RunResult& r = s.result;
  const Recovery& rest = *s.recovery;
  const std::string name = pit_label(r.scenario.pits[rest.pit]);
  const std::vector<double>& expected = rest.takes_m3_per_day[Cases::expected];
  PageBlock b;
  b.id = "rest";
  b.heading = "Rest lets the ground recover";
  b.paragraphs.push_back(fmt::format(
      "A pit that gets no water for months drains. Air comes to the wall, the slime starves and "
      "rots away. Full of water, the {} can take {} today; after six months of rest {}, after a "
      "year {}. With a clean wall it would be {}: rest helps, but does not make it new.",
      name, shown(s, expected.front(), Quantity::flow),
      shown(s, expected[shown_rest_day / 2], Quantity::flow),
      shown(s, expected[shown_rest_day], Quantity::flow),
      shown(s, rest.clean_m3_per_day, Quantity::flow)));
  b.figure = recovery_figure(s);
  return b;
}

}  // namespace

PageSection page_why(const PageStudy& s) {
  PageSection section{"why",
                      "Why: from the tap to the ground",
                      {people_block(s), water_block(s), clogging_block(s)}};
  if (s.recovery) section.blocks.push_back(rest_block(s));
  return section;
}

}  // namespace restwell
