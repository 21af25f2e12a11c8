"""Cycles and a ride by SciPy's integrators:  in_time.py OUTPUT.json

cycle: a monotube with one orifice and gas, two pressures, as references/motion.py has it; two sines of 50 mm at 2 Hz
from the outer end, samples of the second. discs: the monotube of references/two_discs.py, whose discs and the oil in
whose ports move, two cycles likewise, started anew at every event. ride: a linear quarter car over a half-sine, started
anew where the ground has a kink. Each method at rising accuracy: evaluations of the right-hand side as SciPy counts them
(of BDF and Radau without those for Jacobians by differences, which "calls" has as well), CPU time, and the largest error
at the samples by the largest value, beside a run of Radau at 1e-12, of the discs 1e-10.
"""
import json
import math
import pathlib
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "references"))
import two_discs  # noqa: E402

P_ATM = 101325.0
piston, rod = (math.pi / 4 * d**2 for d in (36e-3, 12e-3))
annulus, hole = piston - rod, math.pi / 4 * 4e-3**2
K, gas_at_middle, omega = 1.5e9, 0.05 * piston, 4 * math.pi
samples = 80


def at_rest():
    """The pressure at the outer end, that of mid stroke being 1 MPa."""
    room, oil, p = 0.025 * rod, 0.1 * (2 * piston - rod), 1e6
    for _ in range(20):
        p = 1e6 * (gas_at_middle / (gas_at_middle + room - oil * (1e6 - p) / K))**1.3
    return p


def cycle_rates(t, p):
    x, v = -0.025 * math.cos(omega * t), 0.025 * omega * math.sin(omega * t)
    gas = gas_at_middle * (1e6 / p[0])**(1 / 1.3)
    dp = p[0] - p[1]
    flow = 0.7 * hole * math.sqrt(2 / 860) * dp / (dp * dp + 1e6)**0.25
    return [(piston * v - flow * math.exp((P_ATM - p[0]) / K)) / ((piston * (0.15 - x) - gas) / K + gas / (1.3 * p[0])),
            (flow * math.exp((P_ATM - p[1]) / K) - annulus * v) * K / (annulus * (0.1 + x))]


def cycle(method, tolerance):
    at = 0.5 + np.arange(samples + 1) * 0.5 / samples
    start = at_rest()
    solved = solve_ivp(cycle_rates, (0, 1), [start, start], method, t_eval=at, rtol=tolerance, atol=1e5 * tolerance)
    return (solved.y[0] - P_ATM) * piston - (solved.y[1] - P_ATM) * annulus, solved.nfev


def ride(method, tolerance):
    ms, mu, ks, c, kt, height, length, speed = 300.0, 60.0, 16000.0, 1000.0, 190000.0, 5e-3, 0.5, 10.0
    values, count, y = [], 0, [0.0] * 4  # z_s, z_s', z_u, z_u'
    all_at = np.arange(samples + 1) / samples
    for begin, end, rises in ((0, 0.1, False), (0.1, 0.15, True), (0.15, 1, False)):
        def rates(t, y):
            road = height * math.sin(math.pi * (t - 0.1) * speed / length) if rises else 0.0
            unit = ks * (y[2] - y[0]) + c * (y[3] - y[1])
            return [y[1], unit / ms, y[3], (kt * (road - y[2]) - unit) / mu]
        at = all_at[(all_at > begin) & (all_at <= end)] if begin else all_at[all_at <= end]
        if begin == 0:  # nothing moves
            values += [0.0] * len(at)
            continue
        solved = solve_ivp(rates, (begin, end), y, method, t_eval=np.append(at, end) if at[-1] < end else at,
                           rtol=tolerance, atol=1e-3 * tolerance)
        values += list((solved.y[2] - solved.y[0])[:len(at)])
        count += solved.nfev
        y = solved.y[:, -1]
    return np.array(values), count


def discs(method, tolerance):
    damper = two_discs.Damper(12e-3)
    states, _, count, _ = damper.run(method, tolerance, 2, samples)
    return np.array([damper.force(state) for state in states]), count, damper.calls


result = {}
for name, run, finest, last in (("cycle", cycle, 1e-12, 20), ("discs", discs, 1e-10, 16), ("ride", ride, 1e-12, 20)):
    exact, *_ = run("Radau", finest)
    result[name] = {"values": list(exact), "runs": []}
    for method in ("LSODA", "BDF", "Radau"):
        for k in range(6, last + 1):
            begin = time.process_time()
            try:
                with np.errstate(all="ignore"):
                    values, count, *calls = run(method, 10.0**(-k / 2))
            except (RuntimeError, ValueError, OverflowError):
                continue  # no step, or no root, was found within such errors
            spent = time.process_time() - begin
            if len(values) != len(exact) or not np.all(np.isfinite(values)):
                continue
            result[name]["runs"].append({"method": method, "error": float(max(abs(values - exact)) / max(abs(exact))),
                                         "rates": count, "calls": (calls or [count])[0], "time": spent})
with open(sys.argv[1], "w") as file:
    json.dump(result, file)
