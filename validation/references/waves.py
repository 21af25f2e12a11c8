"""One shim that buckles into waves round the ring: von Karman's plates by a stress function, without finite elements.

The deflection is a sum of polynomials of the radius times cosines of the angle, Airy's stress function another. For a given
deflection the stress function is the one of the greatest

    (integral of N_ij w,i w,j)/2 - (integral of the energy of N in the plane),

which is compatibility in the mean (timoshenko_woinowsky_krieger_1959, chapter 13, gives both equations); what is left is
minimised over the deflection by Newton's method in a trust region. Nothing of it is shared with the library: no displacements in the
plane, no elements, no nodes round the ring. The round shape buckles where the second derivative against cos(k angle) is
no longer positive; beyond, a push in that direction is taken away before the minimum is found.

Radii: bore 6 mm, pressure from 8 mm to 14.5, where the lift is told, rim 15; thickness 0.2 mm; E 206 GPa, nu 0.3. Pressures
in bar in the names; lifts in m, the energy released by buckling in J.
"""
import record

numpy, linalg, optimize = record.need("numpy", "scipy.linalg", "scipy.optimize")

Legendre = numpy.polynomial.Legendre
E, NU, T = 206e9, 0.3, 0.2e-3
BORE, ZONE, SEAT, RIM = 6e-3, 8e-3, 14.5e-3, 15e-3
BAR = 1e5
DIGITS = 5


class Ring:
    """Energies over the whole ring. Radii by the rim, deflections by the thickness, stress functions by E t^3."""

    def __init__(self, waves, clamped, powers=12, harmonics=5):
        self.waves, self.powers, self.harmonics = waves, powers, harmonics
        marks = [r / RIM for r in (BORE, ZONE, SEAT, RIM)]
        nodes, weights = numpy.polynomial.legendre.leggauss(20)
        r = numpy.concatenate([(b - a) / 2 * nodes + (a + b) / 2 for a, b in zip(marks, marks[1:])])
        by_r = numpy.concatenate([(b - a) / 2 * weights for a, b in zip(marks, marks[1:])]) * r
        round_ = 4 * harmonics + 2  # exact for what is multiplied: w twice and the stress function, over half a turn
        angle = (numpy.arange(round_) + 0.5) * numpy.pi / round_
        area = numpy.outer(by_r, numpy.full(round_, 2 * numpy.pi / round_)).ravel()
        b = marks[0]

        def basis(factor, count, order):
            """Polynomials of the radius with a factor (lowest power first): values and derivatives below `order`."""
            domain = [b, 1.0]
            times = numpy.polynomial.Polynomial(factor).convert(kind=Legendre, domain=domain)
            rows = [times * Legendre.basis(j, domain=domain) for j in range(count)]
            return [numpy.array([p.deriv(d)(r) if d else p(r) for p in rows]) for d in range(order)]

        def spread(radial, harmonic, sine=False):
            k = harmonic * waves * angle
            return (radial[:, :, None] * (numpy.sin(k) if sine else numpy.cos(k))).reshape(len(radial), -1)

        inner = [-b, 1.0]
        squared = [b * b, -2 * b, 1.0]
        one_r = 1.0 / r
        w, slope, turn, second_r, second_t, twist = [], [], [], [], [], []
        for m in range(harmonics + 1):
            n = m * waves
            f, f1, f2 = basis(squared if clamped else inner, powers, 3)
            w.append(spread(f, m))
            slope.append(spread(f1, m))
            turn.append(spread(-n * f * one_r, m, True))
            second_r.append(spread(f2, m))
            second_t.append(spread(f1 * one_r - n * n * f * one_r**2, m))
            twist.append(spread(-n * (f1 - f * one_r) * one_r, m, True))
        w, slope, turn, second_r, second_t, twist = map(numpy.vstack, (w, slope, turn, second_r, second_t, twist))
        stiffness = 1.0 / (12 * (1 - NU**2))
        both = second_r + second_t
        cross = (second_r * area) @ second_t.T
        self.bending = stiffness * ((both * area) @ both.T
                                    - (1 - NU) * (cross + cross.T - 2 * (twist * area) @ twist.T))
        pressed = numpy.repeat((r > marks[1]) & (r < marks[2]), round_)
        self.load = w @ (area * pressed)

        n_r, n_t, n_rt = [], [], []
        rim = [1.0, -2.0, 1.0]  # no force at the rim, and none at a bore that is free
        for m in range(2 * harmonics + 1):
            n = m * waves
            if m == 0:  # the slope of the stress function is what is meant
                g, g1 = basis([1.0, -1.0] if clamped else [-b, 1.0 + b, -1.0], powers, 2)
                n_r.append(spread(g * one_r, 0))
                n_t.append(spread(g1, 0))
                n_rt.append(numpy.zeros_like(n_r[-1]))
                continue
            factor = rim if clamped else numpy.polynomial.polynomial.polymul(rim, squared)
            g, g1, g2 = basis(factor, powers, 3)
            n_r.append(spread(g1 * one_r - n * n * g * one_r**2, m))
            n_t.append(spread(g2, m))
            n_rt.append(spread(n * (g1 - g * one_r) * one_r, m, True))
        n_r, n_t, n_rt = map(numpy.vstack, (n_r, n_t, n_rt))
        both = n_r + n_t
        cross = (n_r * area) @ n_t.T
        self.flexibility = linalg.cho_factor((both * area) @ both.T
                                             - (1 + NU) * (cross + cross.T - 2 * (n_rt * area) @ n_rt.T))
        self.pull = numpy.empty((len(n_r), len(w), len(w)))
        for i in range(len(n_r)):
            mixed = (slope * (area * n_rt[i])) @ turn.T
            self.pull[i] = (slope * (area * n_r[i])) @ slope.T + (turn * (area * n_t[i])) @ turn.T + mixed + mixed.T
        at = numpy.array([Legendre.basis(j, domain=[b, 1.0])(SEAT / RIM) for j in range(powers)])
        self.at_seat = at * (SEAT / RIM - b) ** (2 if clamped else 1)

    def stress(self, c):
        pulled = self.pull @ c
        return linalg.cho_solve(self.flexibility, 0.5 * pulled @ c), pulled

    def energy(self, c, q):
        f, pulled = self.stress(c)
        return 0.5 * c @ self.bending @ c + 0.25 * f @ (pulled @ c) - q * self.load @ c

    def gradient(self, c, q):
        f, pulled = self.stress(c)
        return self.bending @ c + f @ pulled - q * self.load

    def hessian(self, c, q):
        f, pulled = self.stress(c)
        return (self.bending + numpy.tensordot(f, self.pull, 1)
                + pulled.T @ linalg.cho_solve(self.flexibility, pulled))

    def minimum(self, c, q):
        found = optimize.minimize(self.energy, c, (q,), "trust-exact", self.gradient, self.hessian,
                                  options={"gtol": 1e-8, "maxiter": 500})
        c = found.x
        for _ in range(3):
            c = c - linalg.solve(self.hessian(c, q), self.gradient(c, q), assume_a="sym")
        return c

    def round_state(self, q, start=None):
        """With the harmonics left at zero, where symmetry keeps them."""
        own = slice(0, self.powers)
        c = numpy.zeros(len(self.load)) if start is None else start.copy()
        for _ in range(100):
            step = linalg.solve(self.hessian(c, q)[own, own], self.gradient(c, q)[own], assume_a="sym")
            # A step of the stiff plate is far too long: no more than a third of a thickness.
            most = numpy.abs(self.at_seat @ step)
            c[own] -= step * min(1.0, 0.3 / most)
            if most < 1e-11:
                return c
        raise RuntimeError("the round shape was not found")

    def least(self, c, q):
        """The least eigenvalue against the first harmonic, and its direction."""
        own = slice(self.powers, 2 * self.powers)
        values, vectors = linalg.eigh(self.hessian(c, q)[own, own], self.bending[own, own])
        direction = numpy.zeros(len(c))
        direction[own] = vectors[:, 0]
        return values[0], direction

    def buckles(self, low, high):
        return optimize.brentq(lambda q: self.least(self.round_state(q), q)[0], low, high, rtol=1e-10)

    def lifts(self, c):
        by_harmonic = [self.at_seat @ c[m * self.powers:(m + 1) * self.powers] for m in range(self.harmonics + 1)]
        crest = sum(by_harmonic)
        trough = sum(a * (-1) ** m for m, a in enumerate(by_harmonic))
        return by_harmonic[0] * T, crest * T, trough * T


def scaled(bar):
    """Of a pressure [bar]: q a^4/(E t^4)."""
    return bar * BAR * RIM**4 / (E * T**4)


def branch(waves, clamped, bars, between, **finer):
    def compute():
        ring = Ring(waves, clamped, **finer)
        at = ring.buckles(scaled(between[0]), scaled(between[1]))
        values = {"buckles at": at / scaled(1.0) * BAR}
        c = None
        for bar in bars:
            q = scaled(bar)
            if c is None:
                start = ring.round_state(q)
                direction = ring.least(start, q)[1]
                c = start + 0.5 * direction / abs(ring.at_seat @ direction[ring.powers:2 * ring.powers])
                if ring.lifts(c)[1] < ring.lifts(c)[2]:
                    c = 2 * start - c
            c = ring.minimum(c, q)
            for name, lift in zip(("mean", "crest", "trough"), ring.lifts(c)):
                values[f"{bar:g} bar, {name}"] = lift
            released = ring.energy(ring.round_state(q), q) - ring.energy(c, q)
            values[f"{bar:g} bar, released"] = released * E * T**5 / RIM**2
        return values
    return compute


# From 1.05 to 2.5 times what the round shape buckles at.
GROUPS = {
    "clamped, 3 waves": branch(3, True, [1.624, 1.856, 2.011, 2.475, 3.867], [1.0, 2.5]),
    "bore supported, 2 waves": branch(2, False, [0.568, 0.649, 0.703, 0.866, 1.0], [0.4, 0.7]),
    "bore supported, 3 waves": branch(3, False, [0.703, 0.866, 1.0], [0.4, 0.7]),
}

if __name__ == "__main__":
    record.run(__file__, GROUPS, DIGITS, ["bore supported, 3 waves"])
