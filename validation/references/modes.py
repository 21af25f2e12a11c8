"""Natural frequencies of annular plates, free outside, from determinants in Bessel functions, solved in 30 digits.

lambda^2 of omega = lambda^2/a^2 sqrt(D/(rho t)), for n nodal diameters and the lowest families, nu = 0.3. leissa_1969,
chapter 2, gives the form: w = A J_n(k r) + B Y_n(k r) + C I_n(k r) + D K_n(k r), with k = lambda/a.
"""
import record

numpy, special, optimize, mpmath = record.need("numpy", "scipy.special", "scipy.optimize", "mpmath")

NU = 0.3
DIGITS = 10


def column(k, r, n, f, slope, sign):
    """w, w', M_r and the support's force of one of the four functions, of which the Laplacian is sign k^2 f."""
    laplacian, d_laplacian = sign * k * k * f, sign * k * k * slope
    second = laplacian - slope / r + n * n * f / (r * r)
    return [f, slope, second + NU * (slope / r - n * n * f / (r * r)),
            d_laplacian - (1 - NU) * n * n / (r * r) * (slope - f / r)]


def functions(k, r, n, bessel):
    J, Y, I, K = bessel
    x = k * r
    yield column(k, r, n, J(n, x), k * (J(n - 1, x) - J(n + 1, x)) / 2, -1)
    yield column(k, r, n, Y(n, x), k * (Y(n - 1, x) - Y(n + 1, x)) / 2, -1)
    yield column(k, r, n, I(n, x), k * (I(n - 1, x) + I(n + 1, x)) / 2, 1)
    yield column(k, r, n, K(n, x), -k * (K(n - 1, x) + K(n + 1, x)) / 2, 1)


def rows(k, b, n, held, bessel):
    """The conditions: which two of (w, w', M_r, V) vanish inside, and M_r and V at the rim."""
    inner, rim = list(functions(k, b, n, bessel)), list(functions(k, 1, n, bessel))
    return [[column[i] for column in inner] for i in held] + [[column[i] for column in rim] for i in (2, 3)]


def coarse(k, b, n, held):
    """Its sign in double precision, with columns scaled so that none overflows."""
    m = numpy.array(rows(k, b, n, held, (special.jv, special.yv, special.iv, special.kv)))
    return numpy.linalg.slogdet(m / numpy.abs(m).max(axis=0))[0]


def first_roots(b, n, held, count):
    """Brackets of k, on a grid finer than roots lie apart, which is about pi/(1 - b)."""
    step = 0.05 / (1.0 - b)
    k, found = step, []
    last = coarse(k, b, n, held)
    while len(found) < count:
        sign = coarse(k + step, b, n, held)
        if sign != last:
            found.append((k, k + step))
        k, last = k + step, sign
    return found


def exact(bracket, b, n, held):
    bessel = (mpmath.besselj, mpmath.bessely, mpmath.besseli, mpmath.besselk)
    with mpmath.workdps(30):
        def determinant(k):
            m = mpmath.matrix(rows(k, mpmath.mpf(b), n, held, bessel))
            for j in range(4):
                largest = max(abs(m[i, j]) for i in range(4))
                for i in range(4):
                    m[i, j] /= largest
            return mpmath.det(m)
        return mpmath.findroot(determinant, bracket, solver="anderson", tol=1e-40) ** 2


CLAMPED, SUPPORTED = (0, 1), (0, 2)


def squares(b, held, families):
    def compute():
        return {f"{n} diameters, family {family}": exact(bracket, str(b), n, held)
                for n in range(4) for family, bracket in enumerate(first_roots(b, n, held, families))}
    return compute


def groups():
    found = {f"clamped, b/a {b}": squares(b, CLAMPED, 3) for b in (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)}
    found.update({f"supported, b/a {b}": squares(b, SUPPORTED, 1) for b in (0.1, 0.3, 0.5, 0.7)})
    return found


record.run(__file__, groups(), DIGITS, ["supported, b/a 0.3"])
