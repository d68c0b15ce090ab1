// Plain words for the parts of a site.
#pragma once

#include <string>

#include "sim/run.hpp"

namespace restwell {

// "east" -> "east pit", of trenches "east field"; a name that says what it is already stays.
[[nodiscard]] std::string pit_label(const PitConfig& pit);
// "pit", or "field".
[[nodiscard]] std::string pit_kind(const PitConfig& pit);
[[nodiscard]] std::string pit_label(const Scenario& scenario, const std::string& name);
// "outlet A is capped", "all effluent is hauled away": one planned work.
[[nodiscard]] std::string work_words(const Scenario& scenario, const PlannedWork& work);
// The same as it would stand in a file: "{date: 2026-06-01, outlet: A, capped: yes}".
[[nodiscard]] std::string plan_line(const Scenario& scenario, const PlannedWork& work);
// Where water leaves on a day other than into the soil: "at the box lid", "at the cover of the east
// pit"; empty if nowhere.
[[nodiscard]] std::string leaving_words(const Scenario& scenario, const SiteLayout& site,
                                        const DownstreamDay& day);
// "steady: the same typical week again and again", "random use, seed 7".
[[nodiscard]] std::string mode_words(const Scenario& scenario);
[[nodiscard]] std::string sentence_case(std::string text);
[[nodiscard]] std::string criterion_words(Criterion c);
// "1 day", "2 days".
[[nodiscard]] std::string counted(int number, const std::string& one);
// "20 years", "1 year", "2.5 years".
[[nodiscard]] std::string years_words(int days);
// Years to a day as they are shown: to a tenth below ten years, to the year above.
[[nodiscard]] double years_as_shown(int day);
// Years from the start, early | expected | late: "0.6 | 10.0 | >20"; once if all agree.
[[nodiscard]] std::string spread_words(const DaySpread& spread, int run_days);
// "5 people", "1 person", "2.5 people".
[[nodiscard]] std::string people_words(double people);
// "a", "a and b", "a, b and c".
[[nodiscard]] std::string list_words(const std::vector<std::string>& items);

}  // namespace restwell
