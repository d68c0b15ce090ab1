// Measured depths of sludge and scum: reading them from words, and fitting the household's solids
// to them.
#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "sim/scenario.hpp"
#include "sim/tank_course.hpp"

namespace restwell {

// How far a stick's reading of sludge and scum together may be off: assumed, 1 in.
inline constexpr double reading_error_m = 0.0254;

// The hint for words that are none.
inline constexpr const char* accepted_readings =
    "a reading is a date, sludge and scum: --reading 2026-05-01 sludge=14in scum=3in; a pump-out "
    "is a date: --pumped 2024-05-01";

// "2026-05-01 sludge=14in scum=3in", in any length units; a value may have spaces ("1 ft 2 in").
// Else all that is wrong with it.
[[nodiscard]] std::variant<TankReading, std::vector<std::string>> parse_reading(
    std::string_view text);

// Joins the words that follow --reading on a command line into one, as far as they look like parts
// of a reading: KEY=VALUE, numbers, length units.
[[nodiscard]] std::vector<std::string> join_reading_words(const std::vector<std::string>& words);

// Readings of all stretches: what the model gives in their place.
struct ModelledReading {
  TankReading measured;
  double sludge_m, scum_m;  // of the model on that morning, inlet compartment
  [[nodiscard]] double total_m() const { return sludge_m + scum_m; }
};
[[nodiscard]] std::vector<ModelledReading> modelled_readings(const Scenario& scenario,
                                                             const std::vector<Stretch>& stretches,
                                                             double factor);

// Whether the readings tell a rate: some stretch has one after its begin.
[[nodiscard]] bool tells_rate(const std::vector<Stretch>& stretches);

struct SolidsFit {
  static constexpr double least = 0.05, most = 20.0;  // factors tried
  double factor = 1.0;                                // on the household's solids per person
  bool at_least = false;  // even with the least factor the model holds more than measured
  bool at_most = false;   // even with the most it holds less
  std::vector<ModelledReading> as_given, fitted;  // at factor 1 and at the fitted one
  [[nodiscard]] bool found() const { return !at_least && !at_most; }
  [[nodiscard]] double worst_misfit_m() const;  // of sludge and scum together
};
// The factor with which the modelled sludge and scum together meet the readings: exactly for one,
// by least squares of the thickness for several. error_m is added to all that is measured after a
// begin. The model's thickness rises with the factor; a rate that does not exist (at_least,
// at_most) gives the end of the range. The search begins at guess.
[[nodiscard]] SolidsFit fit_solids(const Scenario& scenario, const std::vector<Stretch>& stretches,
                                   double error_m = 0.0, double guess = 1.0);

}  // namespace restwell
