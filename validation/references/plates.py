"""Annular and circular plates by von Karman's equations, as boundary value problems (SciPy's collocation).

Lengths per outer radius a, w per thickness t, forces in the plane per D/a^2, moments per D t/a^2; P is q a^4/(D t) of a
pressure and w a^3/(D t) of a line load. State over rho: W, its slope F, K = F' + F/rho, U and s = rho n_r:

    K' = n_r F - P v/rho,   U' = n_r/12 - F^2/2 - nu U/rho,   s' = n_t = 12 (1 - nu^2) U/rho + nu n_r,

with P v the load outside rho per 2 pi. Stresses are times a^2/(E t^2).
"""
import record

numpy, integrate = record.need("numpy", "scipy.integrate")

NU = 0.3
DIGITS = 8


def slopes(load, poisson=NU):
    def f(r, y):
        _, F, K, U, s = y
        n_r = s / r
        n_t = 12.0 * (1.0 - poisson**2) * U / r + poisson * n_r
        return numpy.vstack([F, K - F / r, n_r * F - load(r) / r, n_r / 12.0 - F * F / 2.0 - poisson * U / r, n_t])
    return f


def solve(load, ends, inner, steps=4, nodes=60):
    """Over ln rho, which spreads a small hub; climbs to the load in even steps. Returns the state as a function of rho."""
    x, y = numpy.linspace(numpy.log(inner), 0.0, nodes), numpy.zeros((5, nodes))
    for k in range(1, steps + 1):
        part = k / steps

        def rates(x, y):
            r = numpy.exp(x)
            return r * slopes(lambda r: part * load(r))(r, y)
        found = integrate.solve_bvp(rates, ends, x, y, tol=1e-9 if k == steps else 1e-4, max_nodes=100000)
        if not found.success:
            raise RuntimeError(found.message)
        x, y = found.x, found.y
    return lambda r: found.sol(numpy.log(r))


def moments(r, y):
    """M_r and M_t per D t/a^2, positive where they stretch the face towards +w."""
    _, F, K, _, _ = y
    bent = K - F / r  # F'
    return -(bent + NU * F / r), -(F / r + NU * bent)


def forces(r, y):
    n_r = y[4] / r
    return n_r, 12.0 * (1.0 - NU**2) * y[3] / r + NU * n_r


def membrane(n):
    return n / (12.0 * (1.0 - NU**2))


def bending(m):
    return m / (2.0 * (1.0 - NU**2))


def mises(r, y):
    """Of both faces, the greater."""
    most = 0.0
    for side in (-1.0, 1.0):
        radial, hoop = (membrane(n) + side * bending(m) for n, m in zip(forces(r, y), moments(r, y)))
        most = numpy.maximum(most, numpy.sqrt(radial**2 - radial * hoop + hoop**2))
    return most


def clamped_annulus(P, b, ring):
    """Clamped at b, free at the rim; P a pressure on all of it, or a line load at the rim."""
    def ends(inner, rim):
        return numpy.array([inner[0], inner[1], inner[3], rim[2] - (1.0 - NU) * rim[1], rim[4]])

    def compute():
        sol = solve(lambda r: P * (1.0 if ring else (1.0 - r * r) / 2.0) + 0.0 * r, ends, b)
        r = numpy.linspace(b, 1.0, 2001)
        inner = sol(b)
        return {"lift": sol(1.0)[0], "moment": moments(b, inner)[0], "stress": numpy.max(mises(r, sol(r)))}
    return compute


def circle(Qb, hub, fixed):
    """Circle whose middle is a level hub, under a pressure Qb = q a^4/(E t^4); at the rim fixed, or supported and free to
    slide."""
    P = 12.0 * (1.0 - NU**2) * Qb

    def ends(inner, rim):
        outer = [rim[0], rim[1], rim[3]] if fixed else [rim[0], rim[2] - (1.0 - NU) * rim[1], rim[4]]
        return numpy.array([inner[1], inner[3], *outer])

    def compute():
        sol = solve(lambda r: -P * (r * r - hub * hub) / 2.0, ends, hub)
        inner, rim = sol(hub), sol(1.0)
        result = {"lift": inner[0]}
        if fixed:
            result.update({
                "edge bending": abs(bending(moments(1.0, rim)[0])), "edge membrane": membrane(forces(1.0, rim)[0]),
                "hub bending": abs(bending(moments(hub, inner)[0])), "hub membrane": membrane(forces(hub, inner)[0])})
        return result
    return compute


def groups():
    found = {}
    for b in (0.2, 0.3, 0.5):
        for P in (5, 10, 20, 40, 80, 160):
            found[f"annulus, pressure {P}, b/a {b}"] = clamped_annulus(P, b, False)
        for P in (1, 5, 10, 20, 40):
            found[f"annulus, rim load {P}, b/a {b}"] = clamped_annulus(P, b, True)
    for Qb in (1, 2, 3, 6, 10, 15, 20, 30):
        found[f"clamped circle, Qb {Qb}"] = circle(Qb, 3e-4, True)
    return found


record.run(__file__, groups(), DIGITS,
           ["annulus, pressure 20, b/a 0.3", "annulus, rim load 40, b/a 0.2", "clamped circle, Qb 10"])
