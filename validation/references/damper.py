"""Gas springs, a strut, a leg and a monotube worked out apart from the library.

The leg's force is the derivative of its energy; the monotube is integrated in time, with oil and gas that give (SciPy's
Radau). Pressures absolute, 1 atm = 101325 Pa.
"""
import record

numpy, integrate, mpmath = record.need("numpy", "scipy.integrate", "mpmath")

mpmath.mp.dps = 30
mpf = mpmath.mpf
P_ATM = mpf(101325)
DIGITS = 9


def circle(diameter):
    return mpmath.pi / 4 * mpf(diameter) ** 2


def air_spring(exponent):
    """p_0 A [(L_0/(L_0 - x))^n - 1] with A 1452.2 mm2 and L_0 110 mm."""
    A, L, n = mpf("1452.2e-6"), mpf("0.11"), mpf(exponent)
    return lambda: {f"{x} mm": P_ATM * A * ((L / (L - x / mpf(1000))) ** n - 1) for x in (30, 60, 90)}


def gas(exponent):
    """p V^n constant from 60 cm3 at 10 bar gauge, a rod of 14 mm 60 mm in; gauge."""
    V, taken = mpf("60e-6"), circle("14e-3") * mpf("0.06")
    return lambda: {"pressure": (P_ATM + mpf("1e6")) * (V / (V - taken)) ** mpf(exponent) - P_ATM}


def strut():
    """shock_and_vibration_5526106, Table 1: 9.25 MPa, 1.2 l, exponent 1.4; a rod of 90 mm 20 mm in."""
    V, taken = mpf("1.2e-3"), circle("0.09") * mpf("0.02")
    return {"pressure": mpf("9.25e6") * (V / (V - taken)) ** mpf("1.4")}


def leg(travel):
    """Coil of 4700 N/m and 8 mm, 1 l with 380 ml of oil, sealed at 48 mm, 0.2 bar, n 1.25; a cartridge whose rod of 12.5 mm
    goes in against a piston of 34 mm on a spring of 55 N and 1500 N/m. The cartridge keeps its outer shape, so that the air
    loses what the leg's circle sweeps, less the rod's."""
    leg_circle, rod, piston = circle("48e-3"), circle("12.5e-3"), circle("34e-3")
    p0, n, V0 = P_ATM + mpf("0.2e5"), mpf("1.25"), mpf("620e-6")

    def energy(x):
        coil = mpf(4700) / 2 * ((x + mpf("8e-3")) ** 2 - mpf("8e-3") ** 2)
        swept = (leg_circle - rod) * x
        air = mpmath.quad(lambda dV: p0 * (V0 / (V0 - dV)) ** n, [0, swept]) - P_ATM * leg_circle * x
        s = rod * x / piston
        spring = mpf(1500) / 2 * s**2 + 55 * s
        return coil + air + spring + P_ATM * rod * x
    return lambda: {"energy": energy(mpf(travel)), "force": mpmath.diff(energy, mpf(travel))}


def monotube():
    """Piston 36 mm, rod 12 mm, both oil chambers 100 mm at mid stroke, K 1.5 GPa, 860 kg/m3; one hole of 4 mm, C 0.7,
    regularised near 1 kPa; gas of 50 mm at the bore, 1 MPa, n 1.3; 25 mm at 2 Hz about mid stroke."""
    A, rod = float(circle("36e-3")), float(circle("12e-3"))
    An, hole, K, rho, n, pcr = A - rod, float(circle("4e-3")), 1.5e9, 860.0, 1.3, 1000.0
    omega, X, pa = 2.0 * numpy.pi * 2.0, 0.025, 1e5

    def through(dp):
        return 0.7 * hole * numpy.sqrt(2.0 / rho) * dp / (dp * dp + pcr * pcr) ** 0.25

    def rates(t, p):
        x, v = X * numpy.sin(omega * t), X * omega * numpy.cos(omega * t)
        q = through(p[0] - p[1])
        Vg = A * 0.05 * (1e6 / p[0]) ** (1.0 / n)
        V1 = A * (0.15 - x) - Vg
        return [(A * v - q) / (V1 / K + Vg / (n * p[0])), (q - An * v) * K / (An * (0.10 + x))]

    times = [0.5, 0.75]  # both ways at the largest speed, in the second cycle
    found = integrate.solve_ivp(rates, (0.0, 0.75), [1e6, 1e6], "Radau", times, rtol=1e-9, atol=1e-2, max_step=2e-4)
    at_rest = (1e6 - pa) * rod
    v = X * omega
    result = {"speed": v, "piston drop, incompressible": 0.5 * rho * (An * v / (0.7 * hole)) ** 2}
    for name, p1, p2 in zip(("in", "out"), *found.y):
        result[f"damping force {name}"] = (p1 - pa) * A - (p2 - pa) * An - at_rest
    return result


GROUPS = {f"air spring, n {n}": air_spring(n) for n in ("1", "1.2", "1.3", "1.4")}
GROUPS.update({f"gas, n {n}": gas(n) for n in ("1", "1.2", "1.4")})
GROUPS["strut"] = strut
GROUPS.update({f"leg, {x} m in": leg(x) for x in ("0.05", "0.15", "0.25", "0.28")})
GROUPS["monotube"] = monotube

record.run(__file__, GROUPS, DIGITS, [name for name in GROUPS if name != "monotube"])
