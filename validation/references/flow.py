"""Oil, leaks and orifices worked out from their formulas."""
import record

mpmath, = record.need("mpmath")

mp = mpmath.mp
mp.dps = 30
DIGITS = 10
P_ATM = mpmath.mpf(101325)


def viscosity(at_40, at_100):
    """astm_d341: log10 log10(nu + 0.7) is linear in log10 T; nu in mm2/s."""
    def compute():
        def left(nu):
            return mpmath.log10(mpmath.log10(mpmath.mpf(nu) + mpmath.mpf("0.7")))

        def right(celsius):
            return mpmath.log10(celsius + mpmath.mpf("273.15"))
        slope = (left(at_40) - left(at_100)) / (right(100) - right(40))
        return {f"{t} C": (10 ** 10 ** (left(at_40) - slope * (right(t) - right(40))) - mpmath.mpf("0.7")) * mpmath.mpf(
            "1e-6") for t in (-20, 0, 20, 50, 60, 80)}
    return compute


def bulk_modulus(exponent):
    """merritt_1967, chapter 1: compliances of oil (1.5 GPa) and of free air, 1 % of the oil's volume at 1 atm, added:
    K (1 + r)/(1 + K r/(n p)) with r = 0.01 (p_atm/p)^(1/n)."""
    def compute():
        n, K, values = mpmath.mpf(exponent), mpmath.mpf("1.5e9"), {}
        for bar in (0, 1, 5, 10, 20, 50, 100):
            p = P_ATM + bar * mpmath.mpf(10) ** 5
            r = mpmath.mpf("0.01") * (P_ATM / p) ** (1 / n)
            values[f"{bar} bar"] = K * (1 + r) / (1 + K * r / (n * p))
        return values
    return compute


def pipe(exponent):
    """merritt_1967, chapter 1: compliances of a pipe of D/t 10, of oil and of 1 % of air at 500 psi add up."""
    psi, pressure = mpmath.mpf("6894.757"), 500
    return lambda: {"modulus": psi / (1 / mpmath.mpf("3e6") + 1 / mpmath.mpf("250000") +
                                      mpmath.mpf("0.01") / (mpmath.mpf(exponent) * pressure))}


def annulus(eccentricity):
    """Laminar flow through an annulus of radii 18 and 18.05 mm, 10 mm long, mu 0.01 Pa s, 10 bar: exactly, in bipolar
    coordinates (white_1991, section 3-3)."""
    def compute():
        R, r, L, mu, dp = (mpmath.mpf(x) for x in ("18.05e-3", "18e-3", "10e-3", "0.01", "1e6"))
        scale = mpmath.pi * dp / (8 * mu * L)
        if eccentricity == 0:
            return {"flow": scale * (R**4 - r**4 - (R**2 - r**2) ** 2 / mpmath.log(R / r))}
        c = mpmath.mpf(str(eccentricity)) * (R - r)
        F = (R**2 - r**2 + c**2) / (2 * c)
        M = mpmath.sqrt(F**2 - R**2)
        alpha = mpmath.log((F + M) / (F - M)) / 2
        beta = mpmath.log((F - c + M) / (F - c - M)) / 2
        terms = sum(n * mpmath.exp(-n * (beta + alpha)) / mpmath.sinh(n * (beta - alpha)) for n in range(1, 400))
        return {"flow": scale * (R**4 - r**4 - 4 * c**2 * M**2 / (beta - alpha) - 8 * c**2 * M**2 * terms)}
    return compute


def piston_leak():
    """fox_mcdonald, Example 8.1: D 25 mm, gap 0.005 mm, length 15 mm, 19 MPa, mu 0.018 Pa s."""
    D, h, L, dp, mu = (mpmath.mpf(x) for x in ("25e-3", "5e-6", "15e-3", "19e6", "0.018"))
    return {"flow": mpmath.pi * D * h**3 * dp / (12 * mu * L)}


def orifice():
    """0.61 A sqrt(2 dp/rho), 2 mm, 10 bar, 860 kg/m3."""
    area = mpmath.pi / 4 * mpmath.mpf("2e-3") ** 2
    return {"flow": mpmath.mpf("0.61") * area * mpmath.sqrt(2 * mpmath.mpf("1e6") / 860)}


def opened_plate():
    """A plate that lifts 5.856238e-9 m/Pa at 15 mm and lets the flow out round its rim: [Q/(C 2 pi a k sqrt(2/rho))]^(2/3)."""
    k, a, C = (mpmath.mpf(x) for x in ("5.856238e-9", "15e-3", "0.61"))
    values = {}
    for flow in ("1e-5", "5e-5", "1e-4", "2e-4"):
        pressure = (mpmath.mpf(flow) / (C * 2 * mpmath.pi * a * k * mpmath.sqrt(mpmath.mpf(2) / 860))) ** (mpmath.mpf(2) / 3)
        values[f"pressure at {flow}"] = pressure
        values[f"lift at {flow}"] = k * pressure
    return values


def strut():
    """shock_and_vibration_5526106, Table 1: annulus of 110 and 90 mm, orifice and check valve of 14.1 mm2, coefficients 0.7
    and 0.6, 870 kg/m3."""
    annulus = mpmath.pi / 4 * (mpmath.mpf("0.11") ** 2 - mpmath.mpf("0.09") ** 2)
    values = {}
    for speed in ("0.05", "0.1", "0.2"):
        for name, C in (("orifice", "0.7"), ("orifice and check valve", "1.3")):
            through = annulus * mpmath.mpf(speed) / (mpmath.mpf(C) * mpmath.mpf("1.41e-5"))
            values[f"{name} at {speed} m/s"] = 870 * through**2 / 2
    return values


GROUPS = {
    "viscosity 32, 5.4": viscosity("32", "5.4"),
    "viscosity 15, 3.6": viscosity("15", "3.6"),
    "bulk modulus, n 1": bulk_modulus("1"),
    "bulk modulus, n 1.4": bulk_modulus("1.4"),
    "pipe, n 1": pipe("1"),
    "pipe, n 1.4": pipe("1.4"),
    "annulus, eccentricity 0": annulus(0),
    "annulus, eccentricity 0.5": annulus(0.5),
    "annulus, eccentricity 0.9": annulus(0.9),
    "piston leak": piston_leak,
    "orifice": orifice,
    "opened plate": opened_plate,
    "strut": strut,
}

record.run(__file__, GROUPS, DIGITS, list(GROUPS))
