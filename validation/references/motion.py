"""A damper in time, worked out apart from the library."""
import math

import record

np, scipy_integrate, scipy_optimize = record.need("numpy", "scipy.integrate", "scipy.optimize")

import two_discs  # which needs them too

DIGITS = 7
P_ATM = 101325.0


def monotube():
    """Piston 36 mm, rod 12 mm, one hole of 4 mm (C_d 0.7, fourth-root law, 1 kPa), oil of 860 kg/m3 and 1.5 GPa,
    0.1 m of it on either side at mid stroke, gas of 50 mm at 1 MPa (n 1.3); x = 25 mm sin 2 pi 2 t, all at 1 MPa at
    t = 0. What passes the hole is a mass, so that a volume leaves one chamber and another enters the other."""
    piston, rod = (math.pi / 4 * d**2 for d in (36e-3, 12e-3))
    annulus, hole = piston - rod, math.pi / 4 * 4e-3**2
    K, gas_at_middle, omega = 1.5e9, 0.05 * piston, 4 * math.pi

    def rates(t, p):
        x, v = 0.025 * math.sin(omega * t), 0.025 * omega * math.cos(omega * t)
        gas = gas_at_middle * (1e6 / p[0]) ** (1 / 1.3)
        behind = piston * (0.15 - x) - gas
        dp = p[0] - p[1]
        flow = 0.7 * hole * math.sqrt(2 / 860) * dp / (dp**2 + 1000.0**2) ** 0.25
        out, into = (flow * math.exp(-(q - P_ATM) / K) for q in p)
        return [(piston * v - out) / (behind / K + gas / (1.3 * p[0])),
                (into - annulus * v) * K / (annulus * (0.1 + x))]
    solution = scipy_integrate.solve_ivp(rates, (0, 1), [1e6, 1e6], "Radau", rtol=1e-10, atol=1e-4, max_step=1e-3,
                                         dense_output=True).sol
    values = {}
    for t in (0.5, 0.5625, 0.625, 0.6875, 0.75, 0.875):
        values[f"p_C at {t:g} s"], values[f"p_R at {t:g} s"] = (float(p) for p in solution(t))
    return values


def discs(length):
    """The monotube of two_discs.py with ports of this length, the second of two cycles. Times from its beginning."""
    damper = two_discs.Damper(length)
    states, switched, _, pieces = damper.run("Radau", 1e-10, 2, 16, dense=True)
    begin, values = two_discs.PERIOD, {}
    for k, state in enumerate(states[:16]):
        values[f"force at {k}/16"] = damper.force(state)
        values[f"p_C at {k}/16"], values[f"p_R at {k}/16"] = state[:2]
        for place, y in (("compression", 2), ("rebound", 5)):
            if state[y] > 0:
                values[f"lift of {place} at {k}/16"] = state[y]
                if length:
                    values[f"flow of {place} at {k}/16"] = state[y + 2]

    names = {(0, 1): "opens", (1, 0): "shuts", (1, 2): "meets its stop", (2, 1): "leaves its stop"}
    for time, disc, before, after in switched:
        if time > begin:
            key = f"{('compression', 'rebound')[disc]} {names[before, after]}"
            if key in values:
                raise RuntimeError(f"{key} more than once")
            values[key] = time - begin

    work, found = 0.0, {}
    quantities = {"largest force": lambda s: damper.force(s), "smallest force": lambda s: -damper.force(s),
                  "highest p_C": lambda s: s[0], "lowest p_C": lambda s: -s[0],
                  "highest p_R": lambda s: s[1], "lowest p_R": lambda s: -s[1],
                  "largest lift of compression": lambda s: s[2], "largest lift of rebound": lambda s: s[5]}
    for first, last, solution in pieces:
        if last <= begin:
            continue
        first = max(first, begin)
        times = np.linspace(first, last, 2 * max(1, math.ceil((last - first) / begin * 2000)) + 1)
        power = [damper.force(s) * damper.rod(t)[1] for t, s in zip(times, solution(times).T)]
        work += scipy_integrate.simpson(power, x=times)
        times = np.append(np.append(first, [t for t in solution.ts if first < t < last]), last)
        points = solution(times)
        for key, of in quantities.items():
            of_points = [of(s) for s in points.T]
            k = int(np.argmax(of_points))
            best = of_points[k]
            if 0 < k < len(times) - 1:
                best = max(best, -scipy_optimize.minimize_scalar(
                    lambda t: -of(solution(t)), bounds=(times[k - 1], times[k + 1]), method="bounded",
                    options={"xatol": 1e-9}).fun)
            found[key] = max(found.get(key, -math.inf), best)
    for key, best in found.items():
        values[key] = -best if key.split()[0] in ("smallest", "lowest") else best
    values["work"] = work
    return values


GROUPS = {"monotube": monotube}
for mm in (0, 12, 30):
    GROUPS[f"two discs, ports of {mm} mm"] = lambda mm=mm: discs(mm * 1e-3)

record.run(__file__, GROUPS, DIGITS, ["monotube", "two discs, ports of 12 mm"])
