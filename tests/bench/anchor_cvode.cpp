// restwell's stepping beside SUNDIALS CVODE on the same equations of one pit (anchor_pit.hpp), at
// equal error against CVODE at a tight tolerance; the same in SciPy: anchor_scipy.py. By hand:
//     build/anchor_cvode [YEARS]
#include <cvode/cvode.h>
#include <fmt/core.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>

#include "sim/downstream.hpp"
#include "tests/bench/anchor_pit.hpp"
#include "tests/support/sites.hpp"

using namespace restwell;
using namespace restwell::bench;

namespace {

struct Rhs {
  const AnchorPit* pit;
  double inflow;
};

int rate(realtype, N_Vector y, N_Vector dy, void* data) {
  const auto* rhs = static_cast<const Rhs*>(data);
  rhs->pit->rate(rhs->inflow, N_VGetArrayPointer(y), N_VGetArrayPointer(dy));
  return 0;
}

// Water [m3] and mean resistance [day] at the end of every day.
struct Course {
  std::vector<double> water_m3, resistance_day;
  double seconds = 0.0;
};

double mean_resistance(const AnchorPit& pit, const double* y) {
  double sum = 0.0, area = 0.0;
  for (std::size_t j = 0; j < pit.parts(); ++j) {
    sum += (y[1 + j] + y[1 + pit.parts() + j]) * pit.area_m2[j];
    area += pit.area_m2[j];
  }
  return sum / area;
}

void check(int flag, const char* what) {
  if (flag < 0) {
    fmt::print(stderr, "{} failed: {}\n", what, flag);
    std::exit(1);
  }
}

// Stiff: BDF with Newton and a dense matrix; else Adams with fixed-point iteration.
Course by_cvode(const AnchorPit& pit, int days, double tolerance, bool stiff) {
  Course course;
  const auto from = std::chrono::steady_clock::now();
  SUNContext context = nullptr;
  check(SUNContext_Create(nullptr, &context), "context");
  const auto n = static_cast<sunindextype>(pit.unknowns());
  N_Vector y = N_VNew_Serial(n, context);
  const std::vector<double> start = pit.start();
  std::copy(start.begin(), start.end(), N_VGetArrayPointer(y));
  Rhs rhs{&pit, 0.0};
  void* cvode = CVodeCreate(stiff ? CV_BDF : CV_ADAMS, context);
  check(CVodeInit(cvode, rate, 0.0, y), "init");
  check(CVodeSStolerances(cvode, tolerance, tolerance), "tolerances");
  check(CVodeSetUserData(cvode, &rhs), "data");
  check(CVodeSetMaxNumSteps(cvode, 1000000), "steps");
  SUNMatrix matrix = nullptr;
  SUNLinearSolver solver = nullptr;
  SUNNonlinearSolver iteration = nullptr;
  if (stiff) {
    matrix = SUNDenseMatrix(n, n, context);
    solver = SUNLinSol_Dense(y, matrix, context);
    check(CVodeSetLinearSolver(cvode, solver, matrix), "solver");
  } else {
    iteration = SUNNonlinSol_FixedPoint(y, 0, context);
    check(CVodeSetNonlinearSolver(cvode, iteration), "solver");
  }
  double time = 0.0, first_step = 0.0;
  for (int day = 0; day < days; ++day) {
    for (std::size_t bin = 0; bin < pit.bin_share.size(); ++bin) {
      rhs.inflow = pit.inflow_m3_per_day(bin);
      check(CVodeReInit(cvode, time, y), "restart");  // the inflow jumps
      if (first_step > 0.0) check(CVodeSetInitStep(cvode, first_step), "first step");
      const double end = time + pit.bin_day;
      check(CVodeSetStopTime(cvode, end), "stop");
      check(CVode(cvode, end, y, &time, CV_NORMAL), "step");
      check(CVodeGetActualInitStep(cvode, &first_step), "first step");
      time = end;
    }
    course.water_m3.push_back(N_VGetArrayPointer(y)[0]);
    course.resistance_day.push_back(mean_resistance(pit, N_VGetArrayPointer(y)));
  }
  CVodeFree(&cvode);
  if (stiff) {
    SUNLinSolFree(solver);
    SUNMatDestroy(matrix);
  } else {
    SUNNonlinSolFree(iteration);
  }
  N_VDestroy(y);
  SUNContext_Free(&context);
  course.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
  return course;
}

Course by_restwell(const AnchorPit& pit, int days) {
  Scenario scenario = test::scenario_of(test::one_pit({.start = "new: yes"}));
  scenario.soil_temperature.mean_c = pit.temperature_c;
  scenario.soil_temperature.surface_swing_c = 0.0;
  SiteLayout site = lay_out(scenario);
  site.pits[0].pit = pit.pit;
  site.pits[0].brim_m = pit.pit.geometry.depth_m + pit.pit.geometry.cover_above_inlet_m;
  BinnedEffluent effluent;
  effluent.bin_day = pit.bin_day;
  effluent.total_m3 = pit.total_m3;
  effluent.tss_kg_per_m3 = pit.tss_kg_per_m3;
  effluent.bod_kg_per_m3 = pit.bod_kg_per_m3;
  for (const double share : pit.bin_share) {
    effluent.outlet_m3.push_back(share * pit.total_m3);
    effluent.lid_m3.push_back(0.0);
  }
  Course course;
  const auto from = std::chrono::steady_clock::now();
  PitState start = clean_pit(pit.pit, pit.biomat);
  start.water_m3 = pit.start_level_m * pit.storage_m2;
  start.soil_flow_m3_per_day = pit.total_m3;
  Downstream downstream(scenario, site, pit.biomat, {start});
  std::vector<double> y(pit.unknowns());
  for (int day = 0; day < days; ++day) {
    (void)downstream.day(effluent, date_of(scenario.start, day));
    const PitState& state = downstream.pits()[0];
    for (std::size_t j = 0; j < pit.parts(); ++j) {
      y[1 + j] = state.biomat[j].labile_day;
      y[1 + pit.parts() + j] = state.biomat[j].residual_day;
    }
    course.water_m3.push_back(state.water_m3);
    course.resistance_day.push_back(mean_resistance(pit, y.data()));
  }
  course.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
  return course;
}

struct Error {
  double water, resistance;  // the largest of all days, over the largest of the course
  [[nodiscard]] double worst() const { return std::max(water, resistance); }
};

double largest_off(const std::vector<double>& a, const std::vector<double>& b) {
  double off = 0.0, most = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    off = std::max(off, std::abs(a[i] - b[i]));
    most = std::max(most, std::abs(b[i]));
  }
  return off / most;
}

Error error_of(const Course& course, const Course& exact) {
  return {largest_off(course.water_m3, exact.water_m3),
          largest_off(course.resistance_day, exact.resistance_day)};
}

}  // namespace

int main(int argc, char** argv) {
  const AnchorPit pit;
  const int days = static_cast<int>(365.25 * (argc > 1 ? std::atof(argv[1]) : 2.0));
  const Course exact = by_cvode(pit, days, 1e-11, true);
  fmt::print(
      "One pit, {} unknowns, {} days, the inflow in {} bins a day. At the end {:.4f} of the "
      "pit's depth, {:.1f} days.\n",
      pit.unknowns(), days, pit.bin_share.size(),
      exact.water_m3.back() / pit.storage_m2 / pit.pit.geometry.depth_m,
      exact.resistance_day.back());
  fmt::print("{:<22} {:>10} {:>14} {:>14}\n", "", "seconds", "water off", "resistance off");
  const auto line = [&](const std::string& name, const Course& c) {
    const Error e = error_of(c, exact);
    fmt::print("{:<22} {:>10.4f} {:>14.2e} {:>14.2e}\n", name, c.seconds, e.water, e.resistance);
    return e;
  };
  Course ours = by_restwell(pit, days);
  for (int i = 0; i < 9; ++i)  // too short to be timed once
    ours.seconds = std::min(ours.seconds, by_restwell(pit, days).seconds);
  const Error error = line("restwell", ours);
  double equal_s = 0.0;
  for (const bool stiff : {true, false}) {
    for (const double tolerance : {1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8}) {
      const Course c = by_cvode(pit, days, tolerance, stiff);
      const Error e = line(fmt::format("CVODE {} {:.0e}", stiff ? "BDF" : "Adams", tolerance), c);
      if (e.worst() <= error.worst() && (equal_s == 0.0 || c.seconds < equal_s))
        equal_s = c.seconds;
    }
  }
  if (equal_s > 0.0)
    fmt::print("CVODE, with no greater error, takes {:.0f} times as long at least.\n",
               equal_s / ours.seconds);
}
