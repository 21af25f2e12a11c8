"""Shims of one clamp in contact without friction, small deflection: the tips of each.

No finite elements: how far a shim gives at r under a ring of force at r_o is the closed form of young_budynas_2002, Table
11.2, case 1l, that of a pressure is case 2l. Contact is rings of force at evenly spaced radii, none of which pulls, between
shims that may not pass through one another: a quadratic programme, solved as non-negative least squares.

Lengths in mm in the names. E 206 GPa, nu 0.3, clamp 6 mm (radii).
"""
import record

numpy, optimize = record.need("numpy", "scipy.optimize")

NU, E = 0.3, 206e9
CLAMP = 6e-3
SPACING = 0.05e-3
DIGITS = 6


def stiffness(t):
    return E * t**3 / (12.0 * (1.0 - NU**2))


def F2(b, r):
    return 0.25 * (1.0 - (b / r) ** 2 * (1.0 + 2.0 * numpy.log(r / b)))


def F3(b, r):
    return b / (4.0 * r) * (((b / r) ** 2 + 1.0) * numpy.log(r / b) + (b / r) ** 2 - 1.0)


def F9(b, r):
    return b / r * ((1.0 + NU) / 2.0 * numpy.log(r / b) + (1.0 - NU) / 4.0 * (1.0 - (b / r) ** 2))


def C8(a):
    return 0.5 * (1.0 + NU + (1.0 - NU) * (CLAMP / a) ** 2)


def under_ring(a, D, at, r):
    """Deflection at the radii r [m/N] of a shim to a under a ring of force at `at`."""
    w = 1.0 / (2.0 * numpy.pi * at)
    M = w * a / C8(a) * (at / CLAMP * F9(CLAMP, a) - F9(at, a))
    Q = w * at / CLAMP
    beyond = numpy.where(r > at, r**3 * F3(at, numpy.maximum(r, at)), 0.0)
    return (M * r**2 * F2(CLAMP, r) - Q * r**3 * F3(CLAMP, r) + w * beyond) / D


def under_pressure(a, D, start, r):
    """The same [m/Pa] under a pressure from `start` to a."""
    def G11(r):
        s = numpy.minimum(start / r, 1.0)
        return (1.0 + 4.0 * s**2 - 5.0 * s**4 - 4.0 * s**2 * (2.0 + s**2) * numpy.log(1.0 / s)) / 64.0
    s = start / a
    L17 = 0.25 * (1.0 - (1.0 - NU) / 4.0 * (1.0 - s**4) - s**2 * (1.0 + (1.0 + NU) * numpy.log(1.0 / s)))
    M = a**2 / C8(a) * (F9(CLAMP, a) * (a**2 - start**2) / (2.0 * a * CLAMP) - L17)
    Q = (a**2 - start**2) / (2.0 * CLAMP)
    return (M * r**2 * F2(CLAMP, r) - Q * r**3 * F3(CLAMP, r) + r**4 * G11(r)) / D


def tips(shims, pressed=None, ring=None):
    """Shims as (outer radius, thickness), the first one loaded: by 1 bar from `pressed`, or by a force at a radius."""
    def compute():
        D = [stiffness(t) for _, t in shims]

        def loaded(r):
            if pressed:
                return 1e5 * under_pressure(shims[0][0], D[0], pressed, r)
            return ring[0] * under_ring(shims[0][0], D[0], ring[1], r)

        pairs = []  # lower shim, upper shim, radius, clear distance at rest
        for r in numpy.arange(CLAMP + SPACING, max(a for a, _ in shims) + 0.5 * SPACING, SPACING):
            here = [i for i, (a, _) in enumerate(shims) if r < a + 0.5 * SPACING]
            for p, q in zip(here, here[1:]):
                pairs.append((p, q, min(r, shims[p][0], shims[q][0]), sum(t for _, t in shims[p + 1:q])))
        if not pairs:
            return {"tip 1": loaded(numpy.array([shims[0][0]]))[0]}
        radii = numpy.array([r for _, _, r, _ in pairs])
        push = {i: numpy.array([(i == q) * 1.0 - (i == p) * 1.0 for p, q, _, _ in pairs]) for i in range(len(shims))}
        give = {i: numpy.array([under_ring(a, D[i], at, numpy.minimum(radii, a)) for at in radii]).T
                for i, (a, _) in enumerate(shims)}
        A = sum(push[i][:, None] * give[i] * push[i][None, :] for i in range(len(shims)))
        clear = numpy.array([c for _, _, _, c in pairs]) - numpy.array(
            [loaded(r) if p == 0 else 0.0 for p, _, r, _ in pairs])
        scale = 1.0 / numpy.sqrt(numpy.diag(A))
        R = numpy.linalg.cholesky(scale[:, None] * A * scale[None, :] + 1e-14 * numpy.eye(len(pairs))).T
        force = scale * optimize.nnls(R, -numpy.linalg.solve(R.T, scale * clear), maxiter=100 * len(pairs))[0]
        result = {}
        for i, (a, _) in enumerate(shims):
            tip = numpy.array([a])
            w = loaded(tip)[0] if i == 0 else 0.0
            w += sum(f * s * under_ring(a, D[i], at, tip)[0] for f, s, at in zip(force, push[i], radii) if f * s)
            result[f"tip {i + 1}"] = w
        return result
    return compute


def groups():
    found = {}
    for name in ("15x0.2", "15x0.2 12x0.2", "15x0.2 12x0.3", "15x0.2 12x0.2 9x0.2",
                 "15x0.2 9x0.1 13x0.2"):
        shims = [tuple(1e-3 * float(x) for x in shim.split("x")) for shim in name.split()]
        found[f"{name}: 1 bar from 8"] = tips(shims, pressed=8e-3)
        found[f"{name}: 10 N at 15"] = tips(shims, ring=(10.0, 15e-3))
    return found


if __name__ == "__main__":
    record.run(__file__, groups(), DIGITS, ["15x0.2 12x0.2: 1 bar from 8", "15x0.2 9x0.1 13x0.2: 10 N at 15"])
