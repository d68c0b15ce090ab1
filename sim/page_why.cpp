#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "models/constants.hpp"
#include "sim/page.hpp"
#include "sim/spoken.hpp"
#include "sim/words.hpp"

namespace restwell {

namespace {

std::string shown(const PageStudy& s, double value, Quantity q) {
  return spoken(value, q, s.report.units);
}

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
    const double percent = std::round(100.0 * std::abs(more));
    if (!other->takes.empty())
      text += fmt::format(
          " If the tank is {}, it sends {} of what feeds the slime, and it is {} then.",
          pumped ? "never pumped again" : "pumped on time",
          percent == 0.0 ? "as much"
                         : fmt::format("{:.0f} % {}", percent, more > 0.0 ? "more" : "less"),
          shown(s, other->takes.back().m3_per_day, Quantity::flow));
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
