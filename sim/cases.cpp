#include "sim/cases.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace restwell {
namespace {

// Ends of the ranges. The two parameters were chosen by a sensitivity run over all clogging
// parameters: see models/sources.md. A value set outside of its range is its own end.
constexpr double clogging_early = 15.0, clogging_late = 2.0;  // day m2/kg
constexpr double submerged_early = 0.05, submerged_late = 0.45;

constexpr const char* clogging_name = "how fast the wall clogs for what the tank sends";
constexpr const char* submerged_name = "how slowly the clogging decays under water";

enum class End { early, expected, late };

double clogging_at(const BiomatParameters& p, End end) {
  if (end == End::early) return std::max(p.beta_day_m2_per_kg, clogging_early);
  if (end == End::late) return std::min(p.beta_day_m2_per_kg, clogging_late);
  return p.beta_day_m2_per_kg;
}

double submerged_at(const BiomatParameters& p, End end) {
  if (end == End::early) return std::min(p.submerged_factor, submerged_early);
  if (end == End::late) return std::max(p.submerged_factor, submerged_late);
  return p.submerged_factor;
}

std::string says(const BiomatParameters& p) {
  return fmt::format("clogging per load {:.3g} day m2/kg, decay under water {:.2g} of that in air",
                     p.beta_day_m2_per_kg, p.submerged_factor);
}

}  // namespace

std::vector<ClogCase> clogging_cases(const BiomatParameters& expected) {
  const auto make = [&](const char* name, End clogging, End submerged) {
    BiomatParameters p = expected;
    p.beta_day_m2_per_kg = clogging_at(expected, clogging);
    p.submerged_factor = submerged_at(expected, submerged);
    return ClogCase{name, says(p), p};
  };
  const auto part = [&](const char* name, End clogging, End submerged) {
    ClogCase c = make(name, clogging, submerged);
    c.follow = Follow::until_overflow;
    return c;
  };
  return {make("expected", End::expected, End::expected),
          make("early", End::early, End::early),
          make("late", End::late, End::late),
          part(clogging_name, End::early, End::expected),
          part(clogging_name, End::late, End::expected),
          part(submerged_name, End::expected, End::early),
          part(submerged_name, End::expected, End::late)};
}

std::vector<ClogCase> main_cases(const BiomatParameters& expected) {
  std::vector<ClogCase> cases = clogging_cases(expected);
  cases.resize(Cases::first_partial);
  return cases;
}

std::vector<ClogCase> main_cases_for_dates(const BiomatParameters& expected) {
  std::vector<ClogCase> cases = main_cases(expected);
  cases[Cases::early].follow = cases[Cases::late].follow = Follow::until_all_happened;
  return cases;
}

}  // namespace restwell
