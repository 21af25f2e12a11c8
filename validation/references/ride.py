"""A wheel over the ground, worked out apart from the library: frequency responses and an integrator of SciPy's."""
import cmath
import math

import record

numpy, linalg, scipy_integrate, scipy_optimize = record.need("numpy", "scipy.linalg", "scipy.integrate",
                                                             "scipy.optimize")

DIGITS = 8
P_ATM = 101325.0
G = 9.80665

CARS = {"1": (300, 60, 16000, 190000, 1000, 256e-6, 20), "2": (250, 45, 20000, 180000, 1500, 64e-6, 25),
        "3": (120, 18, 15000, 180000, 900, 256e-6, 25)}


def gains(car, omega):
    """Acceleration of the body, travel and tyre force of a linear quarter car, by the height of the road."""
    ms, mu, ks, kt, c = car[:5]
    s = 1j * omega
    a = numpy.array([[ms * s * s + c * s + ks, -c * s - ks], [-c * s - ks, mu * s * s + c * s + ks + kt]])
    body, wheel = numpy.linalg.solve(a, [0, kt])
    return s * s * body, body - wheel, kt * (1 - wheel)


def random_road():
    """R.m.s. on a road of displacement density G_0 (0.1/n)^2 from 0.011 to 2.83 cycles/m, by quadrature; and of all
    wave numbers, where the road's velocity is white, by Lyapunov's equation."""
    values = {}
    for name, car in CARS.items():
        ms, mu, ks, kt, c, density, speed = car

        def power(which):
            def of(logarithm):  # by the logarithm of the wave number
                n = math.exp(logarithm)
                return abs(gains(car, 2 * math.pi * n * speed)[which])**2 * density * 0.01 / n
            peaks = [math.log(w / (2 * math.pi * speed)) for w in (math.sqrt(ks / ms), math.sqrt((ks + kt) / mu))]
            return math.sqrt(scipy_integrate.quad(of, math.log(0.011), math.log(2.83), points=peaks, limit=500,
                                                  epsabs=0, epsrel=1e-11)[0])
        # y: z_s - z_u, z_s', z_u - road, z_u'; the road's velocity drives the third
        a = numpy.array([[0, 1, 0, -1], [-ks / ms, -c / ms, 0, c / ms], [0, 0, 0, 1],
                         [ks / mu, c / mu, -kt / mu, -c / mu]])
        b = numpy.array([[0], [0], [-1], [0]])
        white = (2 * math.pi * 0.1)**2 * density * speed / 2  # two-sided
        p = linalg.solve_continuous_lyapunov(a, -b @ b.T * white)
        for which, (what, row) in enumerate({"acceleration": a[1], "travel": numpy.array([1, 0, 0, 0]),
                                             "tyre": numpy.array([0, 0, kt, 0])}.items()):
            values[f"{what}, car {name}, band"] = power(which)
            values[f"{what}, car {name}, all"] = math.sqrt(row @ p @ row)
    return values


def strut():
    """Two masses of 33,390 and 517 kg on a gas-and-oil strut and two tyres, 3 m/s at contact, the lift carrying the
    first; the strut is locked until its force is that of the gas at full extension."""
    m1, m2, g, area = 33390.0, 517.0, 9.81, 28352.874e-6
    gas, volume, damping = 4.4e6, 17.88e-3, 2.1 * 19400e-6**3 * 837.244 / (2 * 470e-6**2)

    def tyres(z):
        mm = 1e3 * max(z, 0.0)
        return 2 * mm * mm / (0.008469 + 0.0005346 * mm / 1.15)

    def spring(u):
        return gas * area * volume / (volume - area * u)

    def locked(t, y):
        a = (m2 * g - tyres(y[0])) / (m1 + m2)
        return [y[1], a]

    def needed(t, y):  # of the strut, for the first mass to slow down as the second does
        return m1 * (tyres(y[0]) - m2 * g) / (m1 + m2) - spring(0.0)
    needed.terminal = True

    def free(t, y):
        z1, v1, z2, v2 = y
        rate = v1 - v2
        force = spring(z1 - z2) + damping * rate * abs(rate)
        return [v1, -force / m1, v2, (force + m2 * g - tyres(z2)) / m2]

    def full(t, y):
        return y[1] - y[3]
    full.terminal, full.direction = True, -1
    options = {"method": "DOP853", "rtol": 1e-13, "atol": 1e-14, "dense_output": True}
    first = scipy_integrate.solve_ivp(locked, (0, 0.1), [0, 3.0], events=needed, **options)
    begin = first.t[-1]
    z, v = first.y[:, -1]
    second = scipy_integrate.solve_ivp(free, (begin, 0.5), [z, v, z, v], events=[full], **options)
    values = {"unlocks at": begin, "full closure at": second.t[-1], "full closure": second.y[0, -1] - second.y[2, -1],
              "ground at full closure": tyres(second.y[2, -1])}
    peak = scipy_optimize.minimize_scalar(lambda t: -(second.sol(t)[1] - second.sol(t)[3]), bounds=(begin, 0.1),
                                          method="bounded", options={"xatol": 1e-12})
    values["largest closing speed"] = -peak.fun
    for t in (0.04, 0.08, 0.15, 0.25):
        z1, v1, z2, v2 = second.sol(t)
        row = {"down": z1, "closure": z1 - z2, "closing": v1 - v2, "gas": spring(z1 - z2),
               "oil": damping * (v1 - v2)**2, "ground": tyres(z2)}
        values.update({f"{key} at {t:g} s": value for key, value in row.items()})
    return values


class Fork:
    """One leg of the demo fork (stacks/rally-fork.yaml) without friction, its stacks shut, linear about `travel` [m]:
    dp/dt = M p + b v of the pressures in C, R, S."""
    A_p, A_r, A_leg, A_s = (math.pi / 4 * d * d for d in (25e-3, 12e-3, 50e-3, 36e-3))
    travel_full, dead = 0.3, 30e-3

    def __init__(self, travel, into_leg):
        rho = 850.0 * (1 - 7.5e-4 * 25)
        nu, air, bulk = 16e-6, 0.005, 1.4e9
        A_a = self.A_a = self.A_p - self.A_r

        def needle(seat):
            gap = 10 * 0.06e-3 * math.sin(math.radians(10))
            area = math.pi * gap * (seat - gap * math.cos(math.radians(10)))
            return 2 * 0.7 * area * (2 * min(2 * gap, seat) / (nu * 500)) / rho
        base = needle(3e-3)
        piston = needle(2.5e-3) + math.pi * 25e-3 * 0.02e-3**3 / (12 * rho * nu * 8e-3)
        p = self.p_S(travel)
        filled = (1 - air) * math.exp(-(p - P_ATM) / bulk) + air * (P_ATM / p)**(1 / 1.4)
        gives = (1 - air) / bulk * math.exp(-(p - P_ATM) / bulk) + air / (1.4 * p) * (P_ATM / p)**(1 / 1.4)
        C = self.A_p * (self.travel_full - travel + self.dead) / filled * gives  # -dV/dp
        R = A_a * (travel + self.dead) / filled * gives
        stiff = 1800.0 / self.A_s**2
        self.M = numpy.array([[-filled * (piston + base) / C, filled * piston / C, filled * base / C],
                              [filled * piston / R, -filled * piston / R, 0],
                              [stiff * base, 0, -stiff * base]])
        self.b = numpy.array([self.A_p / C, -A_a / R, 0])
        self.force = numpy.array([self.A_p, -A_a, 0])  # on the rod, outwards
        self.leg_slope = self.p_leg(travel)[1]
        self.outside = self.A_r * self.leg_slope if into_leg else 0.0

    def p_S(self, travel):
        return P_ATM + (40 + 1800 * self.A_r * travel / self.A_s) / self.A_s

    def p_leg(self, travel):
        air, swept = 685e-6, self.A_leg - self.A_r
        p = P_ATM * (air / (air - swept * travel))**1.3
        return p, 1.3 * p * swept / (air - swept * travel)


def fork():
    """The rally fork on its wheel: what a small wave of the road does, by its height."""
    ms, mu, kt, ct, ratio = 65 + 0.45 * 95, 16.0, 160e3, 400.0, 1 / math.cos(math.radians(27))

    def carries(x):
        leg = Fork.p_leg(Fork, x)[0]
        return 2 * (4800 * (x + 6e-3) + (leg - P_ATM) * Fork.A_leg + Fork.A_r * (Fork.p_S(Fork, x) - leg))
    x = scipy_optimize.brentq(lambda x: carries(x) - ms * G / ratio, 0.011, 0.29, xtol=1e-15)
    leg = Fork(x, True)
    values = {"travel at rest": x}
    for f in (0.7, 2.0, 5.0, 12.0, 25.0):
        s = 2j * math.pi * f
        pressures = numpy.linalg.solve(s * numpy.eye(3) - leg.M, leg.b) * s  # by travel
        stiffness = 2 * (4800 + Fork.A_leg * leg.leg_slope + leg.force @ pressures - leg.outside)
        a = ratio * ratio * stiffness
        tyre = kt + ct * s
        body, wheel = numpy.linalg.solve([[ms * s * s + a, -a], [-a, mu * s * s + a + tyre]], [0, tyre])
        for what, value in (("acceleration", s * s * body), ("travel", ratio * (wheel - body)),
                            ("load", tyre * (1 - wheel))):
            values[f"{what} at {f:g} Hz"] = abs(value)
            values[f"phase of {what} at {f:g} Hz"] = cmath.phase(value)
    return values


def fork_step():
    """The same cartridge on a dynamometer at mid travel: in at 1 mm/s from rest for 0.1 s, out for 0.1 s, in again. The
    force less that at rest, at times after the first reversal."""
    leg = Fork(0.15, False)
    big = numpy.zeros((5, 5))  # pressures, travel, 1
    speed = 1e-3

    def go(state, v, time):
        big[:3, :3], big[:3, 4], big[3, 4] = leg.M, leg.b * v, v
        return linalg.expm(big * time) @ state
    state = go(numpy.array([0, 0, 0, 0, 1.0]), speed, 0.1)
    values = {}
    for t in (0.002, 0.005, 0.01, 0.02, 0.05, 0.1):
        values[f"force after {t:g} s out"] = leg.force @ go(state, -speed, t)[:3]
    state = go(state, -speed, 0.1)
    for t in (0.002, 0.005, 0.01, 0.02, 0.05, 0.1):
        values[f"force after {t:g} s in"] = leg.force @ go(state, speed, t)[:3]
    return values


GROUPS = {"random road": random_road, "strut": strut, "fork": fork, "fork step": fork_step}

if __name__ == "__main__":
    record.run(__file__, GROUPS, DIGITS, list(GROUPS))
