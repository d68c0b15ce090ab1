"""SciPy's solve_ivp on the equations of anchor_pit.hpp (their C++ through ctypes), by hand:
    python3 tests/bench/anchor_scipy.py build/libanchor.so [YEARS]
Compare with build/anchor_cvode for the same years."""

import ctypes
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

library = ctypes.CDLL(sys.argv[1])
days = int(365.25 * (float(sys.argv[2]) if len(sys.argv) > 2 else 2.0))
doubles = np.ctypeslib.ndpointer(dtype=np.float64, flags="C")
library.anchor_start.argtypes = [doubles]
library.anchor_rate.argtypes = [ctypes.c_int, doubles, doubles]
unknowns, bins = library.anchor_unknowns(), library.anchor_bins()


def run(method, tolerance):
    y = np.zeros(unknowns)
    library.anchor_start(y)
    first_step = None
    water = []
    begin = time.perf_counter()
    for _ in range(days):
        for b in range(bins):
            def rate(_, state, b=b):
                dy = np.empty(unknowns)
                library.anchor_rate(b, np.ascontiguousarray(state), dy)
                return dy

            s = solve_ivp(rate, (0.0, 1.0 / bins), y, method=method, rtol=tolerance,
                          atol=tolerance, first_step=first_step)
            if not s.success:
                raise SystemExit(s.message)
            y = np.ascontiguousarray(s.y[:, -1])
            first_step = min(s.t[1] - s.t[0], 1.0 / bins)
        water.append(y[0])
    return np.array(water), time.perf_counter() - begin


exact, _ = run("LSODA", 1e-10)
print(f"{days} days, {unknowns} unknowns")
for method in ("LSODA", "RK45", "BDF"):
    for tolerance in (1e-3, 1e-5):
        water, seconds = run(method, tolerance)
        off = np.max(np.abs(water - exact)) / np.max(exact)
        print(f"SciPy {method:<6} {tolerance:.0e} {seconds:10.3f} s   water off {off:.2e}", flush=True)
