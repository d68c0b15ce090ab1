#include "sim/words.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <initializer_list>
#include <numbers>

#include "models/constants.hpp"
#include "sim/units.hpp"

namespace restwell {

namespace {

std::string label(const std::string& name, std::initializer_list<const char*> words,
                  const char* kind) {
  std::string lower = name;
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  for (const char* word : words) {
    if (lower.find(word) != std::string::npos) return name;
  }
  return name + " " + kind;
}

}  // namespace

std::string pit_label(const PitConfig& pit) {
  if (pit.geometry.trench) return label(pit.name, {"field", "trench", "bed"}, "field");
  return label(pit.name, {"pit", "well"}, "pit");
}

std::string pit_kind(const PitConfig& pit) { return pit.geometry.trench ? "field" : "pit"; }

std::string pit_label(const Scenario& scenario, const std::string& name) {
  const auto found = std::ranges::find(scenario.pits, name, &PitConfig::name);
  return found != scenario.pits.end() ? pit_label(*found) : label(name, {"pit", "well"}, "pit");
}

std::string work_words(const Scenario& scenario, const PlannedWork& work) {
  if (work.haul) {
    return *work.haul             ? "from now on all that leaves the tank is hauled away"
           : scenario.box.present ? "hauling ends, the box gets the water again"
                                  : "hauling ends, the pit gets the water again";
  }
  const BoxOutletConfig& outlet = scenario.box.outlets[work.outlet];
  const std::string led = work.to.value_or(outlet.pit);
  std::vector<std::string> done;
  if (work.capped) {
    done.push_back(*work.capped
                       ? "is capped"
                       : "is opened" + (led.empty() ? "" : " to the " + pit_label(scenario, led)));
  }
  if (work.to && work.capped.value_or(true))
    done.push_back("is led to the " + pit_label(scenario, *work.to));
  if (work.raised_m) {
    const double found_m = outlet.placement.raised_m, higher_m = *work.raised_m - found_m;
    const auto inches = [&](double m) {
      return show_text(std::abs(m), Quantity::small_length, scenario.units);
    };
    done.push_back(std::abs(higher_m) < 1e-9
                       ? std::string("goes back to the height found")
                       : fmt::format("is set {} {} than found", inches(higher_m),
                                     higher_m > 0.0 ? "higher" : "lower"));
    if (found_m != 0.0 && *work.raised_m != 0.0)
      done.back() += fmt::format(" (raised {} in all)", inches(*work.raised_m));
  }
  if (work.leveler_angle_rad) {
    done.push_back(fmt::format("has its leveler turned to {:.0f} deg",
                               *work.leveler_angle_rad * 180.0 / std::numbers::pi));
  }
  const std::string of = outlet.pit.empty() ? "" : " (" + pit_label(scenario, outlet.pit) + ")";
  return (scenario.box.present ? "outlet " + outlet.name + of : "the outlet") + " " +
         list_words(done);
}

std::string plan_line(const Scenario& scenario, const PlannedWork& work) {
  std::string line = "{date: " + iso_date(work.date);
  const auto yes_no = [](bool b) { return b ? "yes" : "no"; };
  if (work.haul) return line + fmt::format(", haul: {}}}", yes_no(*work.haul));
  if (scenario.box.present) line += ", outlet: " + scenario.box.outlets[work.outlet].name;
  if (work.capped) line += fmt::format(", capped: {}", yes_no(*work.capped));
  if (work.to) line += ", to: " + *work.to;
  if (work.raised_m) {
    line += ", raised: " + quantity_in_unit(*work.raised_m, Dimension::length,
                                            scenario.units == UnitSystem::us ? "in" : "mm");
  }
  if (work.leveler_angle_rad) {
    line +=
        ", leveler_angle: " + quantity_in_unit(*work.leveler_angle_rad, Dimension::angle, "deg");
  }
  return line + "}";
}

std::string leaving_words(const Scenario& scenario, const SiteLayout& site,
                          const DownstreamDay& day) {
  if (day.over_lid_m3 > noticed_m3) {
    return scenario.box.over_lid == LeavesTo::house ? "the house drain, past the box"
                                                    : "at the box lid";
  }
  for (std::size_t p = 0; p < site.pits.size(); ++p) {
    const auto& pit = site.pits[p];
    if (day.pits[p].overflow_m3 <= noticed_m3 || pit.over_brim == Destination::next_pit) continue;
    if (pit.over_brim == Destination::house) return "back into the house";
    const bool cover = pit.brim_m > pit.pit.geometry.depth_m && !pit.pit.geometry.trench;
    const char* where = cover ? "at the cover of the " : "at the ground at the ";
    return where + pit_label(scenario.pits[p]);
  }
  return "";
}

std::string mode_words(const Scenario& scenario) {
  return scenario.mode == Mode::steady ? "steady: the same typical week again and again"
                                       : fmt::format("random use, seed {}", scenario.seed);
}

std::string sentence_case(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string criterion_words(Criterion c) {
  switch (c) {
    case Criterion::solids:
      return "sludge and scum together";
    case Criterion::sludge_clearance:
      return "clear depth from sludge up to the outlet's mouth";
    case Criterion::scum_clearance:
      return "clear depth from scum down to the outlet's mouth";
    case Criterion::retention:
      return "time the water stays in the clear zone";
  }
  return "";
}

std::string counted(int number, const std::string& one) {
  return fmt::format("{} {}{}", number, one, number == 1 ? "" : "s");
}

std::string years_words(int days) {
  const double years = std::round(10.0 * days / days_per_year) / 10.0;
  return fmt::format("{:.3g} {}", years, years == 1.0 ? "year" : "years");
}

double years_as_shown(int day) {
  const double tenths = std::round(10.0 * day / days_per_year) / 10.0;
  return tenths < 10.0 ? tenths : std::round(day / days_per_year);
}

std::string spread_words(const DaySpread& spread, int run_days) {
  const auto one = [&](int day) -> std::string {
    if (day == never)
      return fmt::format(">{:.3g}", std::round(10.0 * run_days / days_per_year) / 10.0);
    if (day == 0) return "now";
    const double years = years_as_shown(day);
    return years == 0.0 ? "<0.1" : fmt::format("{:.{}f}", years, years < 10.0 ? 1 : 0);
  };
  const std::string early = one(spread.early), expected = one(spread.expected),
                    late = one(spread.late);
  if (early == expected && expected == late) return expected;
  return early + " | " + expected + " | " + late;
}

std::string people_words(double people) {
  if (people == 1.0) return "1 person";
  if (people == std::floor(people)) return fmt::format("{:.0f} people", people);
  return fmt::format("{:.1f} people", people);
}

std::string list_words(const std::vector<std::string>& items) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (i > 0) text += i + 1 == items.size() ? " and " : ", ";
    text += items[i];
  }
  return text;
}

}  // namespace restwell
