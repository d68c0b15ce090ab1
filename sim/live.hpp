// The what-ifs that a reader of the page asks in the page: a number of people, and any of the cases
// that the page tries. The same engine answers natively and, compiled to WebAssembly, in the page;
// words and pictures come from here in both.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/packed_site.hpp"
#include "sim/page.hpp"

namespace restwell {

// What can be asked of a site.
struct LiveControls {
  double people = 0.0, least = 0.0, most = 0.0;  // in steps of one
  std::vector<PageCase> changes;                 // default_cases but for the people
};
[[nodiscard]] LiveControls live_controls(const Scenario& scenario);

struct LiveQuestion {
  double people = 0.0;
  std::vector<std::string> changes;  // keys of LiveControls::changes; others do not count
};
// "6;leak,pumping"; nothing for what is no question.
[[nodiscard]] std::optional<LiveQuestion> live_question(std::string_view text);

struct LiveAnswer {
  std::string tried;   // what is asked
  std::string answer;  // when it overflows
  std::string change;  // beside how it is
  std::vector<PageItem> items;
  PageFigure figure;
  CaseOutcome outcome;
};
// Throws std::runtime_error if the integration fails.
[[nodiscard]] LiveAnswer live_answer(const LiveSite& site, const LiveQuestion& question,
                                     const Progress& progress = {});

// One line of JSON: tried, answer, change, items (pairs), wide, narrow, caption, and numbers (name
// to number; days, kg, m3) for whoever compares.
[[nodiscard]] std::string live_json(const LiveAnswer& answer);

}  // namespace restwell
