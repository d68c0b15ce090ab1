// Time marching of smooth equations. The only place that knows Odeint.
#pragma once

#include <functional>
#include <memory>
#include <vector>

namespace restwell {

using StateVector = std::vector<double>;
using Rhs = std::function<void(const StateVector& x, StateVector& dxdt)>;

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

  // Advances x over dt_day. Throws std::runtime_error if the step size underflows or the first
  // value is not finite (then the others are not either).
  void advance(const Rhs& rhs, StateVector& x, double dt_day);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace restwell
