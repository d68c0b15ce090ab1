#include "models/groundwater.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <numbers>

namespace restwell {

double hantush_s(double a, double b) {
  if (!(a > 0.0) || !(b > 0.0)) return 0.0;
  // With u = exp(-t) the integrand is smooth at every scale of a and b; from t_one on both erf are
  // 1 to rounding and the rest is exp(-t_one).
  constexpr double erf_is_one = 6.0;
  const double t_one = std::max(0.0, 2.0 * std::log(erf_is_one / std::min(a, b)));
  const auto f = [&](double t) {
    const double grow = std::exp(0.5 * t);
    const double along = std::erf(a * grow);
    return along * (a == b ? along : std::erf(b * grow)) / (grow * grow);
  };
  constexpr double piece = 7.0;
  const int pieces = std::max(1, static_cast<int>(std::ceil(t_one / piece)));
  double sum = std::exp(-t_one);
  for (int i = 0; i < pieces; ++i) {
    sum += boost::math::quadrature::gauss<double, 20>::integrate(f, t_one * i / pieces,
                                                                 t_one * (i + 1) / pieces);
  }
  return sum;
}

double mound_height_m(const GroundwaterParameters& p, double rate_m3_per_day, double area_m2,
                      double conductivity_m_per_day) {
  if (!(rate_m3_per_day > 0.0)) return 0.0;
  const double h0 = p.aquifer_thickness_m;
  const double k = conductivity_m_per_day;
  const double w = rate_m3_per_day / area_m2;
  // m enters on the right through b only, as its logarithm: the iteration contracts fast.
  double mound = 0.0;
  constexpr int most_steps = 50;
  constexpr double tolerance = 1e-7;
  for (int i = 0; i < most_steps; ++i) {
    const double vt = k * (h0 + 0.5 * mound) / p.specific_yield * p.mound_time_day;
    const double a = std::sqrt(area_m2 / vt) / 4.0;
    const double next = std::sqrt(h0 * h0 + 2.0 * w / k * vt * hantush_s(a, a)) - h0;
    const double change = std::abs(next - mound);
    mound = next;
    if (change <= tolerance * (h0 + mound)) break;
  }
  return mound;
}

double seasonal_depth_m(double mean_m, double amplitude_m, double day_of_high, double day_of_year) {
  constexpr double year_day = 365.0;
  return mean_m -
         amplitude_m * std::cos(2.0 * std::numbers::pi * (day_of_year - day_of_high) / year_day);
}

}  // namespace restwell
