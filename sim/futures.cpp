#include "sim/futures.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace restwell {
namespace {

// Ends of the ranges over the defaults (6 day m2/kg, 2-15; 0.19, 0.05-0.45). The two were chosen by
// a sensitivity run over all clogging parameters: see models/sources.md.
constexpr double clogging_early = 15.0 / 6.0, clogging_late = 2.0 / 6.0;
constexpr double submerged_early = 0.05 / 0.19, submerged_late = 0.45 / 0.19;

constexpr const char* clogging_name = "how fast the wall clogs for what the tank sends";
constexpr const char* submerged_name = "how slowly the clogging decays under water";

BiomatParameters with(BiomatParameters p, double clogging, double submerged) {
  p.beta_day_m2_per_kg *= clogging;
  p.submerged_factor = std::min(1.0, p.submerged_factor * submerged);
  return p;
}

std::string says(const BiomatParameters& p) {
  return fmt::format("clogging per load {:.3g} day m2/kg, decay under water {:.2g} of that in air",
                     p.beta_day_m2_per_kg, p.submerged_factor);
}

}  // namespace

std::vector<Future> clogging_futures(const BiomatParameters& expected) {
  const auto make = [&](const char* name, double clogging, double submerged) {
    const BiomatParameters p = with(expected, clogging, submerged);
    return Future{name, says(p), p};
  };
  const auto part = [&](const char* name, double clogging, double submerged) {
    Future future = make(name, clogging, submerged);
    future.until_overflow = true;
    return future;
  };
  return {make("expected", 1.0, 1.0),
          make("early", clogging_early, submerged_early),
          make("late", clogging_late, submerged_late),
          part(clogging_name, clogging_early, 1.0),
          part(clogging_name, clogging_late, 1.0),
          part(submerged_name, 1.0, submerged_early),
          part(submerged_name, 1.0, submerged_late)};
}

}  // namespace restwell
