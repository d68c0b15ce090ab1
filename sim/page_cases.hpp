// The changes that a page tries on a site by itself, chosen by what the file says, and the rest
// that it shows.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/rest.hpp"
#include "sim/whatif.hpp"
#include "sim/whatif_report.hpp"

namespace restwell {

struct PageCase {
  std::string key;   // "more_people": stays the same whatever the words
  std::string name;  // "Two more people"
  std::string says;  // what exactly is changed
  Scenario scenario;
  bool keeps_past = true;  // tank and pits start as the site's own household left them
};

// In the order of the page; none that the file already says.
[[nodiscard]] std::vector<PageCase> default_cases(const Scenario& scenario);
// One of them; nothing if the site has no such case.
[[nodiscard]] std::optional<PageCase> default_case(const Scenario& scenario,
                                                   const std::string& key);
// So many people more (or less), later changes of the household included.
void add_people(HouseholdConfig& household, double more);
inline constexpr const char* people_case = "more_people";
inline constexpr const char* new_pit_key = "new_pit";
// Key of the case that changes how the tank is pumped.
inline constexpr const char* pumping_case = "pumping";

// Whether the file has the tank pumped at all.
[[nodiscard]] bool pumped_as_planned(const Scenario& scenario);

// A running toilet ("can be 200", see the README's file), gallons a day: common practice, no
// published source.
inline constexpr double running_toilet_gal_per_day = 200.0;
// From here on a leak is worth a plumber: more than twice that of the median home (assumed).
[[nodiscard]] bool leak_worth_fixing(const Scenario& scenario);

// What a pit takes with water at its inlet after so many days of rest, from the start on, all water
// hauled away. By case of clogging: expected, early, late.
struct Recovery {
  std::size_t pit = 0;
  double clean_m3_per_day = 0.0;
  std::vector<std::vector<double>> takes_m3_per_day;  // by case, by day from 0
};
inline constexpr int shown_rest_day = 365;
// Of the pit that is clogged most, by what it takes over what it would take clean; nothing if none
// takes noticeably less than clean.
[[nodiscard]] std::optional<Recovery> shown_recovery(const RunResult& r);

}  // namespace restwell
