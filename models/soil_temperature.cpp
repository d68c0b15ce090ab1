#include "models/soil_temperature.hpp"

#include <cmath>
#include <numbers>

#include "models/constants.hpp"

namespace restwell {

namespace {
constexpr double yearly_per_day = 2.0 * std::numbers::pi / days_per_year;  // w
}

double damping_depth_m(const SoilTemperature& p) {
  return std::sqrt(2.0 * p.diffusivity_m2_per_day / yearly_per_day);
}

SeasonAtDepth season_at_depth(const SoilTemperature& p, double depth_m) {
  const double damping = depth_m / damping_depth_m(p);
  const double swing_c = p.surface_swing_c * std::exp(-damping);
  const double warmest = yearly_per_day * p.surface_warmest_day_of_year + damping;
  return {p.mean_c, swing_c * std::cos(warmest), swing_c * std::sin(warmest)};
}

Wave wave_on(double day_of_year) {
  const double angle = yearly_per_day * day_of_year;
  return {std::cos(angle), std::sin(angle)};
}

double temperature_c(const SeasonAtDepth& season, const Wave& wave) {
  return season.mean_c + season.cosine_c * wave.cosine + season.sine_c * wave.sine;
}

double temperature_c(const SeasonAtDepth& season, double day_of_year) {
  return temperature_c(season, wave_on(day_of_year));
}

}  // namespace restwell
