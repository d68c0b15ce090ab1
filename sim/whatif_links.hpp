// What a case changes, and through which link: from the numbers of two runs to words. No link is
// told that the numbers do not show.
#pragma once

#include <string>
#include <vector>

#include "sim/report.hpp"
#include "sim/whatif.hpp"

namespace restwell {

// From where on a difference is worth telling (assumed: below, nobody would act on it).
struct WorthTelling {
  static constexpr double part = 0.02;         // of flows, masses, intervals
  static constexpr double busiest_day = 0.05;  // of the busiest day over the mean
  static constexpr double share = 0.01;        // of an outlet
  static constexpr double level_m = 0.0254;    // 1 in
  static constexpr double uneven_rise = 0.5;   // days are told apart if their rises differ by this
                                               // part of the mean rise
  static constexpr double days = 7.0;  // of a date, at least `part` of the time to it, and seen in
                                       // the years as shown
};

struct Link {
  std::string what;      // "water a day"
  Cell before, after;    // in the first case, in the second one
  std::string why;       // how much, by what; may be empty
  bool outcome = false;  // what the user asks for, not a link on the way
};

struct Explanation {
  std::vector<Link> links;  // down the chain: household, tank, box, pits, dates
  std::vector<std::string> unchanged;
};

[[nodiscard]] Explanation explain(const CaseOutcome& before, const CaseOutcome& after,
                                  UnitSystem units);

// Whether a date moves by what is worth telling, and which way: 1 sooner, -1 later, 0 neither.
[[nodiscard]] int sooner(const DaySpread& before, const DaySpread& after);
// Whether pump-outs come more often (1), less often (-1) or as before (0).
[[nodiscard]] int more_often(int interval_before, int interval_after);

// "3.3 years", "over 15 years".
[[nodiscard]] std::string interval_words(int pump_interval_day);

}  // namespace restwell
