"""A damper in time, worked out apart from the library."""
import math

import record

scipy_integrate, = record.need("scipy.integrate")

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


GROUPS = {"monotube": monotube}

record.run(__file__, GROUPS, DIGITS, list(GROUPS))
