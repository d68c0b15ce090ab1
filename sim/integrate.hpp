// Time marching of one smooth regime with guards. The only place that knows Odeint.
#pragma once

#include <functional>
#include <memory>
#include <vector>

namespace restwell {

using StateVector = std::vector<double>;
using Rhs = std::function<void(const StateVector& x, StateVector& dxdt)>;
// Guards are positive inside the regime. One is armed only if it is strictly positive at the start
// of a step and fires when it is not positive at the step's end, so that it fires once.
using Guards = std::function<void(const StateVector& x, std::vector<double>& value)>;

struct Advance {
  double reached_day = 0.0;  // time passed; less than asked if a guard fired
  int guard = -1;            // index of the guard that fired first, or -1
};

// Adaptive Cash-Karp steps (no cached derivative, so a change of forcing needs no reset). Linear
// invariants of the right-hand side are kept to rounding.
class Integrator {
 public:
  // Tolerances of one step in the state's own unit and relative to it.
  Integrator(double absolute, double relative);
  ~Integrator();
  Integrator(const Integrator& other);  // goes on exactly as the other would
  Integrator& operator=(const Integrator& other);
  Integrator(Integrator&&) noexcept;
  Integrator& operator=(Integrator&&) noexcept;

  // Advances x over dt_day, or up to the first guard crossing (located to 1e-9 day). Throws
  // std::runtime_error if the step size underflows or the first value is not finite (then the
  // others are not either).
  Advance advance(const Rhs& rhs, const Guards& guards, StateVector& x, double dt_day);
  // The same without guards.
  void advance(const Rhs& rhs, StateVector& x, double dt_day);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace restwell
