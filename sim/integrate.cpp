#include "sim/integrate.hpp"

#include <algorithm>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_cash_karp54.hpp>
#include <cmath>
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
  double last_step_day = 0.0;  // a good first guess for the next call
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

void Integrator::advance(const Rhs& rhs, StateVector& x, double dt_day) {
  Impl& m = *impl_;
  const auto system = [&rhs](const StateVector& s, StateVector& d, double) { rhs(s, d); };
  double time = 0.0;
  double step = m.last_step_day > 0.0 ? std::min(m.last_step_day, dt_day) : dt_day;
  while (time < dt_day) {
    // The last step lands on the end exactly; a sliver that rounding would leave is taken with it.
    bool clamped = false;
    if (time + step * (1.0 + 1e-9) >= dt_day) {
      step = dt_day - time;
      clamped = true;
    }
    double now = time;
    if (m.controlled.try_step(system, x, now, step) == odeint::fail) {
      if (!(step > 1e-12 * dt_day)) throw std::runtime_error("integration step underflow");
      continue;
    }
    if (!std::isfinite(x.front())) throw std::runtime_error("integration gave no finite value");
    if (!clamped || step > m.last_step_day) m.last_step_day = step;
    time = clamped ? dt_day : now;
  }
}

}  // namespace restwell
