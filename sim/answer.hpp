// The answer to the main job in plain words.
#pragma once

#include "sim/report.hpp"

namespace restwell {

// Lines in the order a reader wants them; report gives start, days and units.
[[nodiscard]] std::vector<AnswerLine> answer_lines(const RunResult& r, const Report& report);

// The line of one pit.
[[nodiscard]] AnswerLine pit_line(const RunResult& r, const Report& report, std::size_t pit);

// "sludge and scum fill 30 % of the liquid depth": what a criterion is about.
[[nodiscard]] std::string criterion_reached(const Scenario& scenario, Criterion c);

// First day on which a mark says that the tank is to be pumped.
[[nodiscard]] int pump_due_day(const RunResult& r);
// In the model a thick mat of scum thins within a year, in many tanks it does not: the day on which
// sludge and scum reach their mark if the scum stays as thick as at the start. never, if that is
// not a month sooner than the first mark.
[[nodiscard]] int due_if_scum_stays(const RunResult& r);

}  // namespace restwell
