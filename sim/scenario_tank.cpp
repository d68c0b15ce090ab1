#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sim/scenario_parts.hpp"

namespace restwell {
namespace {

// Volume and plan area from two ways of saying may differ by this much: rounded walls, fillets.
constexpr double volume_tolerance = 0.10;

// Plan area by length and width or by diameter; nothing if neither is given or one is not sound.
std::optional<double> plan_area(const Record& map, Tank& tank, Findings& findings) {
  const Record* length = find(map, "length");
  const Record* width = find(map, "width");
  const Record* diameter = find(map, "diameter");
  const auto shape = find(map, "shape") != nullptr ? word(map, "shape") : std::nullopt;
  if (diameter != nullptr && (length != nullptr || width != nullptr)) {
    add_problem(findings, *diameter, "cannot stand beside length or width",
                "length and width for a rectangular tank, diameter for a round one");
    return std::nullopt;
  }
  if (shape == "round" && (length != nullptr || width != nullptr)) {
    add_problem(findings, length != nullptr ? *length : *width, "is not for a round tank",
                "give its diameter");
    return std::nullopt;
  }
  if (shape == "rectangular" && diameter != nullptr) {
    add_problem(findings, *diameter, "is not for a rectangular tank", "give length and width");
    return std::nullopt;
  }
  if ((length == nullptr) != (width == nullptr)) {
    add_problem(findings, length != nullptr ? *length : *width,
                fmt::format("needs {} beside it", length != nullptr ? "width" : "length"));
    return std::nullopt;
  }
  if (length != nullptr) {
    const auto l = number(map, "length");
    const auto w = number(map, "width");
    if (!l || !w) return std::nullopt;
    tank.long_and_narrow = *l >= 3 * *w;
    return *l * *w;
  }
  if (const auto d = number(map, "diameter")) return std::numbers::pi / 4 * *d * *d;
  return std::nullopt;
}

void read_size(const Record& map, Tank& tank, Findings& findings) {
  const bool sized = find(map, "length") != nullptr || find(map, "width") != nullptr ||
                     find(map, "diameter") != nullptr;
  const Record* volume_given = find(map, "volume");
  const auto area = plan_area(map, tank, findings);
  const auto volume = number(map, "volume");
  tank.liquid_depth_m = number_or(map, "liquid_depth", tank.liquid_depth_m);
  if (volume_given == nullptr && !sized) {
    add_problem(findings, map, "needs volume, or length and width, or diameter");
    return;
  }
  if (area) tank.plan_area_m2 = *area;
  if (!volume) return;
  if (!area) {
    tank.plan_area_m2 = *volume / tank.liquid_depth_m;
    return;
  }
  if (find(map, "liquid_depth") == nullptr) {
    // All but the depth is known.
    tank.liquid_depth_m = *volume / *area;
    if (tank.liquid_depth_m < 0.3 || tank.liquid_depth_m > 6.1)
      add_problem(findings, *volume_given,
                  fmt::format("gives a liquid depth of {} on this plan",
                              quantity_in_unit(tank.liquid_depth_m, Dimension::length, "ft")),
                  "give liquid_depth, and check volume and sizes");
    return;
  }
  const double by_sizes = *area * tank.liquid_depth_m;
  if (std::abs(by_sizes - *volume) > volume_tolerance * *volume)
    add_problem(findings, *volume_given,
                fmt::format("must agree with the sizes within 10 %: they give {}, got {}",
                            quantity_in_unit_of(std::round(by_sizes * 1e4) / 1e4, Dimension::volume,
                                                volume_given->text),
                            volume_given->text),
                "check the sizes, or leave out one of the two");
}

void check_not_after_start(const Record& at, const RunDates& run, Findings& findings) {
  const Date* d = std::get_if<Date>(&at.data);
  if (d != nullptr && run.start && *d > *run.start)
    add_problem(findings, at, fmt::format("must not be after the start, got {}", at.text),
                "pump-outs to come stand under pump_out: on");
}

// Sludge and scum of a reading, not more than the tank holds.
void check_reading_fits(const Record& reading, const TankReading& r, const Tank& tank,
                        Findings& findings) {
  if (r.total_m() <= tank.liquid_depth_m * (1 + 1e-9)) return;
  const Record& sludge = *find(reading, "sludge");
  add_problem(findings, sludge,
              fmt::format("sludge and scum together must be at most the liquid depth, {}, got {}",
                          quantity_in_unit_of(tank.liquid_depth_m, Dimension::length, sludge.text),
                          quantity_in_unit_of(r.total_m(), Dimension::length, sludge.text)));
}

TankStart read_start(const Record& map, const Tank& tank, const RunDates& run, Findings& findings) {
  TankStart start;
  start.pumped = date(map, "pumped");
  const Record* pumped = find(map, "pumped");
  if (pumped != nullptr) check_not_after_start(*pumped, run, findings);
  const Record* found = find(map, "found");
  if (found != nullptr && found->sound) {
    start.sludge_m = number(*found, "sludge");
    start.scum_m = number(*found, "scum");
    if (start.sludge_m && start.scum_m)
      check_reading_fits(*found, {{}, *start.sludge_m, *start.scum_m}, tank, findings);
  }
  const Record* is_new = find(map, "new");
  start.brand_new = yes(map, "new").value_or(false);
  if (start.brand_new && (pumped != nullptr || found != nullptr))
    add_problem(findings, *is_new, "a new tank cannot have been pumped or found with sludge",
                "leave out new, or pumped and found");
  if (!start.brand_new && pumped == nullptr && found == nullptr)
    add_warning(findings, is_new != nullptr ? *is_new : map,
                "without found, pumped or new: yes the tank is taken as pumped on the start date");
  return start;
}

std::vector<TankReading> read_readings(const Record& map, const Tank& tank, const TankStart& start,
                                       const RunDates& run, Findings& findings) {
  std::vector<TankReading> readings;
  for (const Record& given : entries(map, "readings")) {
    const auto day = date(given, "date");
    const auto sludge = number(given, "sludge");
    const auto scum = number(given, "scum");
    if (sludge && scum) check_reading_fits(given, {{}, *sludge, *scum}, tank, findings);
    if (!day) continue;
    const Record& at = *find(given, "date");
    if (start.pumped && *day <= *start.pumped)
      add_problem(
          findings, at,
          fmt::format("must be after the pump-out, {}, got {}", iso_date(*start.pumped), at.text),
          "readings of an earlier filling say nothing of this one");
    else if (start.brand_new && run.start && *day <= *run.start)
      add_problem(
          findings, at,
          fmt::format("must be after the start, on which the new tank is first used, got {}",
                      at.text));
    else if (start.sludge_m && run.start && *day == *run.start)
      add_problem(findings, at, "is the start date, whose reading stands under found",
                  "keep one of the two");
    for (const TankReading& other : readings)
      if (other.date == *day)
        add_problem(findings, at, fmt::format("{} stands twice", at.text), "keep one of the two");
    readings.push_back({*day, sludge.value_or(0.0), scum.value_or(0.0)});
  }
  std::ranges::sort(readings, {}, &TankReading::date);
  return readings;
}

PumpOutPolicy read_pump_out(const Record& map, const RunDates& run, Findings& findings) {
  PumpOutPolicy policy;
  const Record* given = find(map, "pump_out");
  if (given == nullptr || !given->sound || std::holds_alternative<std::string>(given->data))
    return policy;
  const Record* every = find(*given, "every");
  const Record* when = find(*given, "when");
  if (given->items.empty()) add_problem(findings, *given, "needs every, when or on");
  if (every != nullptr && when != nullptr)
    add_problem(findings, *when, "cannot stand beside every", "keep one of the two");
  if (every != nullptr) {
    policy.kind = PumpOutPolicy::Kind::every;
    policy.every_day = number_or(*given, "every", 1);
  }
  if (when != nullptr) {
    policy.kind = PumpOutPolicy::Kind::when;
    for (const Record& r : when->items) {
      if (r.text == "solids") policy.criteria.push_back(Criterion::solids);
      if (r.text == "sludge") policy.criteria.push_back(Criterion::sludge_clearance);
      if (r.text == "scum") policy.criteria.push_back(Criterion::scum_clearance);
      if (r.text == "retention") policy.criteria.push_back(Criterion::retention);
    }
  }
  for (const Record& r : entries(*given, "on")) {
    const Date* d = std::get_if<Date>(&r.data);
    if (d == nullptr) continue;
    policy.dates.push_back(*d);
    if (run.start && *d < *run.start)
      add_problem(findings, r, fmt::format("must not be before the start, got {}", r.text),
                  "the last pump-out before the start stands under pumped");
    if (run.end && *d > *run.end)
      add_warning(findings, r, "is after the end of the run: it has no effect");
  }
  std::ranges::sort(policy.dates);
  return policy;
}

}  // namespace

TankConfig read_tank(const Record& top, const TankConfig& like, const RunDates& run,
                     Findings& findings) {
  TankConfig t = like;
  const Record* given = find(top, "tank");
  if (given == nullptr || !given->sound) return t;
  const Record& map = *given;
  read_size(map, t.tank, findings);
  t.tank.compartments = static_cast<int>(number_or(map, "compartments", 1));
  t.tank.inlet_baffle = word(map, "inlet_baffle") != "missing";
  t.tank.outlet_baffle = word(map, "outlet_baffle") != "missing";
  t.tank.outlet.diameter_m = number_or(map, "outlet_diameter", t.tank.outlet.diameter_m);
  t.tank.outlet_mouth_depth_m =
      number_or(map, "outlet_baffle_depth", default_mouth_share * t.tank.liquid_depth_m);
  if (const Record* mouth = find(map, "outlet_baffle_depth"); mouth != nullptr && mouth->sound) {
    if (!t.tank.outlet_baffle)
      add_problem(findings, *mouth, "is given, but outlet_baffle is missing",
                  "leave it out, or write outlet_baffle: sound");
    else if (t.tank.outlet_mouth_depth_m >= t.tank.liquid_depth_m)
      add_problem(
          findings, *mouth,
          fmt::format("must be less than the liquid depth, {}, got {}",
                      quantity_in_unit_of(t.tank.liquid_depth_m, Dimension::length, mouth->text),
                      mouth->text));
  }
  t.start = read_start(map, t.tank, run, findings);
  t.readings = read_readings(map, t.tank, t.start, run, findings);
  t.pump_out = read_pump_out(map, run, findings);
  if (const Record* marks = find(map, "marks"); marks != nullptr && marks->sound) {
    t.limits.solids_share_of_depth = number_or(*marks, "solids", 1);
    t.limits.sludge_clearance_m = number_or(*marks, "sludge_clearance", 0);
    t.limits.scum_clearance_m = number_or(*marks, "scum_clearance", 0);
    t.limits.retention_day = number_or(*marks, "retention", 0);
  }
  return t;
}

}  // namespace restwell
