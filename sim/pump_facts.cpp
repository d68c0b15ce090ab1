#include <fmt/core.h>

#include <cmath>

#include "models/constants.hpp"
#include "sim/pump_report.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

// Sludge and scum out of the usual proportion (assumed): no scum on a filling tank, or more scum
// than sludge.
constexpr double little_scum_m = 0.00635, much_solids_m = 0.1524;
// An inch more or less makes this much between the rates: the reading hardly tells one (assumed).
constexpr double vague_ratio = 2.5;

}  // namespace

std::string stick_words(const PumpStudy& s, double m) {
  const ColumnUnit unit = column_unit(Quantity::small_length, s.scenario.units);
  const double value = m * unit.factor;
  const double said =
      s.scenario.units == UnitSystem::us ? std::round(10.0 * value) / 10.0 : std::round(value);
  return fmt::format("{:g} {}", said, unit.label);
}

std::string short_name(Criterion c) {
  switch (c) {
    case Criterion::solids:
      return "solids";
    case Criterion::sludge_clearance:
      return "sludge clearance";
    case Criterion::scum_clearance:
      return "scum clearance";
    case Criterion::retention:
      return "retention";
  }
  return "";
}

double solids_kg_per_person_day(const PumpStudy& s, double factor) {
  return factor * s.scenario.household_parameters.tss_kg_per_person_day;
}

double like_people(const PumpStudy& s, double factor) {
  const auto per_person = [&](const HouseholdParameters& p) {
    return p.tss_kg_per_person_day +
           (s.today.household.disposer ? p.disposer_tss_kg_per_person_day : 0.0);
  };
  return s.today.household.occupants * factor * per_person(s.scenario.household_parameters) /
         per_person(HouseholdParameters{});
}

std::vector<Criterion> marks_met_by(const PumpStudy& s, const TankReading& reading) {
  const Tank& tank = s.scenario.tank.tank;
  const TankParameters& p = s.scenario.tank_parameters;
  // Measured in the inlet compartment; the outlet's holds less, as in the model.
  const double at_outlet = tank.compartments < 2
                               ? 1.0
                               : (1.0 - p.sludge_share_first) / (1.0 - p.area_share_first) *
                                     p.area_share_first / p.sludge_share_first;
  const double mouth_m = tank.outlet_baffle ? tank.outlet_mouth_depth_m : 0.0;
  const PumpOutReadings read = {
      .solids_share_of_depth = reading.total_m() / tank.liquid_depth_m,
      .sludge_clearance_m = tank.liquid_depth_m - mouth_m - at_outlet * reading.sludge_m,
      .scum_clearance_m = tank.outlet_baffle ? mouth_m - at_outlet * reading.scum_m : 1e9,
      .retention_day = 1e9};  // a matter of the flow, not of the stick
  std::vector<Criterion> met;
  for (const Criterion c : s.criteria) {
    if (criterion_met(c, read, s.scenario.tank.limits)) met.push_back(c);
  }
  return met;
}

LastReading last_reading(const PumpStudy& s) {
  LastReading last;
  for (const Stretch& stretch : s.story.stretches) {
    if (!stretch.readings.empty()) last = {&stretch.readings.back(), &stretch, false};
  }
  const Stretch& end = s.story.stretches.back();
  const bool goes_on = s.from_reading && last.reading != nullptr && end.begin == last.reading->date;
  last.pumped_after = last.stretch != nullptr && last.stretch != &end && !goes_on;
  return last;
}

SolidsLeaving solids_leaving(const RunResult& run, int from, int to) {
  SolidsLeaving sum;
  for (int d = from; d < to; ++d) {
    const TankRecord& day = run.tank[static_cast<std::size_t>(d)];
    sum.all_kg += day.tss_out_kg;
    sum.scoured_kg += day.carried_over_kg;
  }
  return sum;
}

double capacity_at_end(const CaseRun& c) {
  double sum = 0.0;
  for (const double capacity : c.capacity_m3_per_day) sum += capacity;
  return sum;
}

std::string lost_words(int kept, int neglected, int days) {
  if (neglected == never || (kept != never && kept <= neglected)) return "";
  const double years = ((kept == never ? days : kept) - neglected) / days_per_year;
  if (years < 0.05) return "";
  return fmt::format("{}{:.1f} years", kept == never ? "at least " : "", years);
}

std::vector<std::string> disagreements(const PumpStudy& s) {
  std::vector<std::string> found;
  for (const auto& [before, after] : s.story.drops) {
    found.push_back(fmt::format(
        "the reading of {} ({}) is lower than that of {} ({}), and no pump-out is known between: "
        "it was pumped since. From {} on the reading itself is taken as the start",
        iso_date(after.date), stick_words(s, after.total_m()), iso_date(before.date),
        stick_words(s, before.total_m()), iso_date(after.date)));
  }
  if (!s.fit) return found;
  const SolidsFit& fit = *s.fit;
  const std::string people = people_words(s.today.household.occupants);
  const double kg = solids_kg_per_person_day(s, fit.factor);
  const std::string grams =
      fmt::format("{}{:.0f} g per person and day", fit.at_least ? "less than " : "", 1e3 * kg);
  const std::string published =
      fmt::format("{:.0f} to {:.0f} are published", 1e3 * published_least_kg_per_day,
                  1e3 * published_most_kg_per_day);
  const auto also_within = [&](double factor) {
    if (!fit.found()) return std::string();
    const double at = solids_kg_per_person_day(s, factor);
    return at >= published_least_kg_per_day && at <= published_most_kg_per_day
               ? fmt::format(" A reading {} off would explain it, so measure again.",
                             stick_words(s, reading_error_m))
               : std::string();
  };
  constexpr double hardly = 0.25;  // of what was measured
  const ModelledReading& end = fit.fitted.back();
  if (fit.at_most && end.total_m() < hardly * end.measured.total_m()) {
    found.push_back(
        "by the file next to nothing came into the tank in that time: look at who lived here and "
        "since when, at the season, and at the date of the pump-out");
  } else if (fit.at_most) {
    found.push_back(
        "more than any rate of solids gives in this tank: above a certain depth the flow washes "
        "out to the pits what comes in, and layers grow no further. The tank is past telling a "
        "rate; pump it, and count the pits as fed with sludge");
  } else if (kg < published_least_kg_per_day) {
    found.push_back(fmt::format(
        "too little for {}: {}, {}. Either the house stood empty for a long time, or the tank was "
        "pumped since, or the stick missed a layer (soft sludge, broken scum), or water passes "
        "straight from inlet to outlet and takes the solids to the pits: look at the baffles.{}",
        people, grams, published, also_within(s.earliest.factor)));
  } else if (kg > published_most_kg_per_day) {
    found.push_back(fmt::format(
        "too much for {}: {}, {}. Either more people or guests use the house{}, or the tank was "
        "not pumped (or not emptied) on the date given, or the stick took loose floating matter "
        "for sludge.{}",
        people, grams, published,
        s.today.household.disposer ? std::string() : std::string(", or a disposer does"),
        also_within(s.latest.factor)));
  }
  if (fit.found() && s.earliest.factor > vague_ratio * s.latest.factor) {
    found.push_back(fmt::format(
        "the reading hardly tells a rate: {} more or less makes it {:.0f} to {:.0f} g per person "
        "and day, {}",
        stick_words(s, reading_error_m), 1e3 * solids_kg_per_person_day(s, s.latest.factor),
        1e3 * solids_kg_per_person_day(s, s.earliest.factor),
        last_reading(s).reading->total_m() > 0.4 * s.scenario.tank.tank.liquid_depth_m
            ? "since a tank this full washes out what comes in"
            : "so little has gathered"));
  }
  if (fit.found() && fit.worst_misfit_m() > 2.0 * reading_error_m) {
    found.push_back(fmt::format(
        "no one rate passes through all the readings: one lies {} from the best curve. Between "
        "them people changed, or a layer was missed",
        stick_words(s, fit.worst_misfit_m())));
  }
  const TankReading& last = *last_reading(s).reading;
  if (last.total_m() > much_solids_m && last.scum_m < little_scum_m) {
    found.push_back(fmt::format(
        "next to no scum on {} of sludge: look whether the outlet baffle stands (without one "
        "floating solids go to the pits), and whether the reading was taken at the inlet",
        stick_words(s, last.sludge_m)));
  } else if (last.total_m() > much_solids_m && last.scum_m > last.sludge_m) {
    found.push_back(fmt::format(
        "more scum ({}) than sludge ({}): grease or paper, or a tank in use without life; the "
        "model floats {:.0f} % of what stays. Go by the distance from scum to the outlet's mouth",
        stick_words(s, last.scum_m), stick_words(s, last.sludge_m),
        100.0 * s.scenario.tank_parameters.scum_share));
  }
  return found;
}

}  // namespace restwell
