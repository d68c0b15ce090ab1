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

}  // namespace restwell
