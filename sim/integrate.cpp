#include "sim/integrate.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_cash_karp54.hpp>
#include <cmath>
#include <cstdint>
#include <stdexcept>

namespace restwell {

namespace odeint = boost::numeric::odeint;

struct Integrator::Impl {
  // always_resizer: the default sizes its work arrays at the first call and never again.
  using Stepper = odeint::runge_kutta_cash_karp54<StateVector, double, StateVector, double,
                                                  odeint::range_algebra, odeint::default_operations,
                                                  odeint::always_resizer>;
  using Controlled = odeint::controlled_runge_kutta<
      Stepper,
      odeint::default_error_checker<double, odeint::range_algebra, odeint::default_operations>,
      odeint::default_step_adjuster<double, double>, odeint::always_resizer>;

  Impl(double absolute_, double relative_)
      : absolute(absolute_),
        relative(relative_),
        controlled(Controlled::error_checker_type(absolute, relative)) {}

  double absolute, relative;

  Controlled controlled;
  Stepper plain;
  StateVector start, trial;
  std::vector<double> guard_start, guard_end, guard_trial;
  double last_step_day = 0.0;  // a good first guess for the next call

  // Time from `start` at which the guard, positive there and not at step_day, crosses zero; x is
  // left at the first point found at or past the crossing.
  double locate(const Rhs& rhs, const Guards& guards, std::size_t index, StateVector& x,
                double step_day) {
    const auto system = [&rhs](const StateVector& s, StateVector& d, double) { rhs(s, d); };
    const auto guard_at = [&](double time) {
      trial = start;
      if (time > 0.0) plain.do_step(system, trial, 0.0, time);
      guards(trial, guard_trial);
      return guard_trial[index];
    };
    const auto near_enough = [](double a, double b) { return std::abs(b - a) < 1e-9; };
    std::uintmax_t evaluations = 100;
    const auto [inside, outside] = boost::math::tools::toms748_solve(
        guard_at, 0.0, step_day, guard_start[index], guard_end[index], near_enough, evaluations);
    x = start;
    plain.do_step(system, x, 0.0, outside);
    return outside;
  }
};

Integrator::Integrator(double absolute, double relative)
    : impl_(std::make_unique<Impl>(absolute, relative)) {}
Integrator::~Integrator() = default;
// Cash-Karp keeps nothing from step to step: the first guess of the step is all there is.
Integrator::Integrator(const Integrator& other)
    : impl_(std::make_unique<Impl>(other.impl_->absolute, other.impl_->relative)) {
  impl_->last_step_day = other.impl_->last_step_day;
}
Integrator& Integrator::operator=(const Integrator& other) {
  Integrator copy(other);
  std::swap(impl_, copy.impl_);
  return *this;
}
Integrator::Integrator(Integrator&&) noexcept = default;
Integrator& Integrator::operator=(Integrator&&) noexcept = default;

Advance Integrator::advance(const Rhs& rhs, const Guards& guards, StateVector& x, double dt_day) {
  Impl& m = *impl_;
  const auto system = [&rhs](const StateVector& s, StateVector& d, double) { rhs(s, d); };
  double time = 0.0;
  double step = m.last_step_day > 0.0 ? std::min(m.last_step_day, dt_day) : dt_day;
  if (guards) guards(x, m.guard_start);
  while (time < dt_day) {
    // The last step lands on the end exactly; a sliver that rounding would leave is taken with it.
    bool clamped = false;
    if (time + step * (1.0 + 1e-9) >= dt_day) {
      step = dt_day - time;
      clamped = true;
    }
    m.start = x;
    const double tried = step;
    double now = time;
    if (m.controlled.try_step(system, x, now, step) == odeint::fail) {
      if (!(step > 1e-12 * dt_day)) throw std::runtime_error("integration step underflow");
      continue;
    }
    if (!std::isfinite(x.front())) throw std::runtime_error("integration gave no finite value");
    if (!clamped || step > m.last_step_day) m.last_step_day = step;
    if (guards) {
      guards(x, m.guard_end);
      double first = tried;
      int fired = -1;
      StateVector at_crossing;
      for (std::size_t i = 0; i < m.guard_end.size(); ++i) {
        if (!(m.guard_start[i] > 0.0) || m.guard_end[i] > 0.0) continue;
        StateVector candidate = x;
        const double crossing = m.locate(rhs, guards, i, candidate, tried);
        if (fired < 0 || crossing < first) {
          first = crossing;
          fired = static_cast<int>(i);
          at_crossing = std::move(candidate);
        }
      }
      if (fired >= 0) {
        x = std::move(at_crossing);
        return {time + first, fired};
      }
      m.guard_start = m.guard_end;
    }
    time = clamped ? dt_day : now;
  }
  return {dt_day, -1};
}

void Integrator::advance(const Rhs& rhs, StateVector& x, double dt_day) {
  advance(rhs, Guards{}, x, dt_day);
}

}  // namespace restwell
