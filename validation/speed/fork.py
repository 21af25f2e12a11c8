"""Four lift curves and the steady forces of a damper, on NumPy and SciPy:  fork.py INPUT.json OUTPUT.json

The same plates as the library's, on the same stations: cubic Hermite deflection, quintic radial displacement
condensed to its nodes, von Karman strains; contact by bounds on single unknowns, found by an active set within
Newton's method with a line search; banded Cholesky factorisation by LAPACK. Everything inside an iteration is done on
whole arrays. An entry of the list of shims is one plate, of `count` equal shims. The lift curve is climbed by the
library's steps and halved where interpolation misses its lift by as much. The script solves more states, since it
checks every interval by a state half-way where the library foretells it from rates; and does less: it locates no
contact events, and computes no stresses and no onset of voids.

Writes forces, and the CPU time from the input read to the forces found, without the start of Python.
"""
import json
import sys
import time

import numpy as np
from scipy import sparse
from scipy.interpolate import PchipInterpolator
from scipy.linalg import LinAlgError, cho_solve_banded, cholesky_banded
from scipy.linalg.blas import dsbmv

FREE, LOWER, UPPER = 0, 1, 2


def gauss(count):
    at, weight = np.polynomial.legendre.leggauss(count)
    return 0.5 * (at + 1.0), 0.5 * weight


def hermite(s, h):
    s2, s3 = s * s, s * s * s
    one = np.ones_like(h)
    value = np.stack([(1 - 3 * s2 + 2 * s3) * one, (s - 2 * s2 + s3) * h, (3 * s2 - 2 * s3) * one, (s3 - s2) * h], 1)
    slope = np.stack([(6 * s2 - 6 * s) / h, (1 - 4 * s + 3 * s2) * one, (6 * s - 6 * s2) / h,
                      (3 * s2 - 2 * s) * one], 1)
    second = np.stack([(12 * s - 6) / h**2, (6 * s - 4) / h, (6 - 12 * s) / h**2, (6 * s - 2) / h], 1)
    return value, slope, second


class Elements:
    """Bending matrices, condensed membrane matrices and slopes of all elements, for unit stiffness."""

    def __init__(self, nodes, nu):
        self.inner, h = nodes[:-1], np.diff(nodes)
        self.h = h
        count = len(h)
        points, _ = gauss(5)
        self.bending = np.zeros((count, 4, 4))
        full = np.zeros((count, 11, 11))
        coefficients = np.linalg.inv(np.vander(points, increasing=True))  # Lagrange polynomials on the points
        for s, w in zip(*gauss(8)):
            r = self.inner + h * s
            weight = (2 * np.pi * r * h * w)[:, None, None]
            _, slope, second = hermite(s, h)
            self.bending += weight * self.energy(second, slope / r[:, None], nu)
            k = np.arange(4)  # bubbles s^(k+1) (1 - s)
            value = np.concatenate([[1 - s, s], s ** (k + 1) * (1 - s)])
            derivative = np.concatenate([[-1.0, 1.0], (k + 1) * s**k - (k + 2) * s ** (k + 1)])
            f = s ** np.arange(5) @ coefficients
            e_r = np.concatenate([derivative / h[:, None], np.tile(f, (count, 1))], 1)
            e_t = np.concatenate([value / r[:, None], np.zeros((count, 5))], 1)
            full += weight * self.energy(e_r, e_t, nu)
        kept, bubbles = [0, 1, 6, 7, 8, 9, 10], [2, 3, 4, 5]
        coupling = full[:, bubbles][:, :, kept]
        self.membrane = full[:, kept][:, :, kept] - np.swapaxes(coupling, 1, 2) @ np.linalg.solve(
            full[:, bubbles][:, :, bubbles], coupling)
        self.slopes = np.stack([hermite(s, h)[1] for s in points], 1)

    @staticmethod
    def energy(a, b, nu):
        outer = lambda x, y: x[:, :, None] * y[:, None, :]
        return outer(a, a) + outer(b, b) + nu * (outer(a, b) + outer(b, a))


class Stack:
    """Energy of a stack and its derivatives, as functions of bounded unknowns."""

    def __init__(self, spec):
        self.spec = spec
        nodes = np.array(spec["nodes"])
        self.floating = spec["floating"]
        self.large = spec["large_deflection"]
        elements = Elements(nodes, spec["nu"])
        node = lambda radius: int(np.argmin(np.abs(nodes - radius)))
        shims = [dict(s, number=n) for n, s in enumerate(spec["shims"]) if s["outer"] > spec["clamp"] + 1e-9]
        last = [node(s["outer"]) for s in shims]
        present = [[i for i in range(len(shims)) if last[i] >= k] for k in range(len(nodes))]
        self.per_shim = 3 if self.large else 2
        offsets = np.concatenate([[0], np.cumsum([self.per_shim * len(p) for p in present])])
        self.size = offsets[-1]
        self.openings = np.concatenate([o + np.arange(len(p)) for o, p in zip(offsets, present)])

        ring = node(self.floating["ring"]) if self.floating else 0
        stop = node(self.floating["stop"]) if self.floating else -1
        seat, seat_end = node(spec["seat_inner"]), node(spec["seat_outer"])
        self.seat_index = offsets[seat]
        self.land = offsets[seat : seat_end + 1]
        self.lower, self.upper = np.full(self.size, -np.inf), np.full(self.size, np.inf)
        thickness = [s["count"] * s["thickness"] for s in spec["shims"]]
        rows, columns, values = [], [], []
        for k, here in enumerate(present):
            o, count = offsets[k], len(here)
            from_top = k == stop and k != ring
            for p in range(self.per_shim * count):
                if p >= count:
                    entries = [(o + p, 1.0)]
                elif from_top:
                    entries = [(o, 1.0)] + [(o + q, -1.0) for q in range(p + 1, count)]
                else:
                    entries = [(o + q, 1.0) for q in range(p + 1)]
                for column, value in entries:
                    rows.append(o + p), columns.append(column), values.append(value)
            for p in range(1, count):
                missing = range(shims[here[p - 1]]["number"] + 1, shims[here[p]]["number"])
                self.lower[o + p] = -sum(thickness[n] for n in missing)
            if seat <= k <= seat_end:
                self.lower[o] = spec["seat_height"]
            if from_top:
                self.upper[o] = self.floating["travel"]
            if k == ring:
                held = list(range(1, count))
                if self.floating:
                    if self.floating["rests_on_hub"]:
                        self.lower[o] = 0.0
                    if k == stop:
                        self.upper[o] = self.floating["travel"]
                else:
                    held.append(0)
                if not spec["free_edge"]:
                    held += range(count, self.per_shim * count)
                for p in held:
                    self.lower[o + p] = self.upper[o + p] = 0.0
        self.to_w = sparse.csr_matrix((values, (rows, columns)), (self.size, self.size))

        # Elements of all shims, one after the other.
        shim_of = np.concatenate([np.full(l, i) for i, l in enumerate(last)])
        element_of = np.concatenate([np.arange(l) for l in last])
        place = lambda k, i: present[k].index(i)
        ends = lambda k, i: [offsets[k] + place(k, i) + c * len(present[k]) for c in range(self.per_shim)]
        self.dofs = np.array([ends(e, i) + ends(e + 1, i) for i, e in zip(shim_of, element_of)])
        E, nu = spec["E"], spec["nu"]
        t = np.array([shims[i]["thickness"] for i in shim_of])
        E = E * np.array([shims[i]["count"] for i in shim_of])
        self.bending = (E * t**3 / (12 * (1 - nu * nu)))[:, None, None] * elements.bending[element_of]
        if self.large:
            self.membrane = (E * t / (1 - nu * nu))[:, None, None] * elements.membrane[element_of]
            self.slopes = elements.slopes[element_of]
        self.thinnest = t.min()

        self.load = np.zeros(self.size)
        inner, full, end = max(spec["zone_inner"], nodes[0]), spec["seat_inner"], spec["seat_outer"]
        for e in range(node(inner), node(end)):
            for s, w in zip(*gauss(8)):
                r = elements.inner[e] + elements.h[e] * s
                share = 1.0 if nodes[e + 1] <= full + 1e-9 else (end - r) / (end - full)
                value = hermite(s, elements.h[e : e + 1])[0][0]
                n = self.per_shim
                self.load[self.dofs[e, [0, 1, n, n + 1]]] += (
                    spec["coverage"] * share * 2 * np.pi * r * elements.h[e] * w * value)
        land = (end - full) * (2 * full + end) / 3
        self.load_area = spec["coverage"] * np.pi * (full**2 - inner**2 + land)
        self.spring = None
        if self.floating:
            self.spring = ends(node(self.floating["spring"]), len(shims) - 1)[0]
            self.rate = max(self.floating["rate"], 10.0 * self.load_area / self.floating["travel"])
        self.lay_band()

    def lay_band(self):
        """The linear map from entries of element matrices to the lower band of the tangent."""
        size = self.dofs.shape[1]
        a = np.repeat(self.dofs, size, axis=1).ravel()
        b = np.tile(self.dofs, size).ravel()
        source = np.arange(len(a))
        if self.spring is not None:  # one more entry
            a, b, source = np.append(a, self.spring), np.append(b, self.spring), np.append(source, len(a))
        entries = len(a)
        value = np.ones(entries)
        for side in range(2):
            index = a if side == 0 else b
            length = np.diff(self.to_w.indptr)[index]
            owner = np.repeat(np.arange(len(index)), length)
            within = np.arange(len(owner)) - np.repeat(np.cumsum(length) - length, length)
            slot = self.to_w.indptr[index][owner] + within
            value = value[owner] * self.to_w.data[slot]
            source = source[owner]
            if side == 0:
                a, b = self.to_w.indices[slot], b[owner]
            else:
                a, b = a[owner], self.to_w.indices[slot]
        low = a >= b
        a, b, value, source = a[low], b[low], value[low], source[low]
        self.width = int((a - b).max())
        self.to_band = sparse.csr_matrix((value, (b * (self.width + 1) + a - b, source)),
                                         (self.size * (self.width + 1), entries))
        self.band_rows = np.minimum(np.arange(self.width + 1)[:, None] + np.arange(self.size), self.size - 1)

    def gather(self, x):
        w = self.to_w @ x
        q = w[self.dofs]
        n = self.per_shim
        b = q[:, [0, 1, n, n + 1]].copy()
        b[:, 2] -= b[:, 0]
        b[:, 0] = 0.0
        return w, q, b

    def strains(self, q, b):
        slope = np.einsum("egi,ei->eg", self.slopes, b)
        return slope, np.concatenate([q[:, [2, 5]], 0.5 * slope**2], 1)

    def energy(self, x, pressure):
        w, q, b = self.gather(x)
        energy = 0.5 * np.einsum("ei,eij,ej", b, self.bending, b, optimize=True) - pressure * (self.load @ w)
        if self.large:
            _, z = self.strains(q, b)
            energy += 0.5 * np.einsum("ei,eij,ej", z, self.membrane, z, optimize=True)
        if self.floating:
            y = w[self.spring]
            energy += self.floating["preload"] * y + 0.5 * self.rate * y * y
        return energy

    def assemble(self, x, pressure, convex):
        w, q, b = self.gather(x)
        count, n = len(q), self.per_shim
        bent = np.array([0, 1, n, n + 1])
        force, tangent = np.zeros((count, 2 * n)), np.zeros((count, 2 * n, 2 * n))
        force[:, bent] = (self.bending @ b[:, :, None])[:, :, 0]
        k = self.bending
        if self.large:
            slope, z = self.strains(q, b)
            conjugate = (self.membrane @ z[:, :, None])[:, :, 0]
            dz = slope[:, :, None] * self.slopes
            force[:, bent] += np.einsum("egi,eg->ei", dz, conjugate[:, 2:])
            force[:, [2, 5]] += conjugate[:, :2]
            normal = np.maximum(conjugate[:, 2:], 0.0) if convex else conjugate[:, 2:]
            k = k + np.swapaxes(dz, 1, 2) @ self.membrane[:, 2:, 2:] @ dz
            k = k + np.swapaxes(self.slopes, 1, 2) @ (normal[:, :, None] * self.slopes)
            across = self.membrane[:, :2, 2:] @ dz
            radial = np.array([2, 5])
            tangent[:, radial[:, None], bent] = across
            tangent[:, bent[:, None], radial] = np.swapaxes(across, 1, 2)
            tangent[:, radial[:, None], radial] = self.membrane[:, :2, :2]
        tangent[:, bent[:, None], bent] = k
        forces = np.bincount(self.dofs.ravel(), force.ravel(), self.size) - pressure * self.load
        entries = tangent.ravel()
        if self.floating:
            forces[self.spring] += self.floating["preload"] + self.rate * w[self.spring]
            entries = np.append(entries, self.rate)
        band = (self.to_band @ entries).reshape(self.size, self.width + 1).T
        return self.to_w.T @ forces, band

    def active_set(self, origin, gradient, band, hold, tolerance):
        """Minimum of the quadratic within the bounds; None where it is not found."""
        x, hold = origin.copy(), hold.copy()
        bounded = self.lower < self.upper
        fewest, left = np.inf, 12
        for _ in range(1000):
            x = np.where(hold == LOWER, self.lower, np.where(hold == UPPER, self.upper, x))
            held = hold != FREE
            at = gradient + dsbmv(self.width, 1.0, band, x - origin, lower=1)
            chosen = band.copy(order="F")
            chosen[:, held] = 0.0
            chosen[held[self.band_rows]] = 0.0
            chosen[0, held] = 1.0
            try:
                factor = cholesky_banded(chosen, overwrite_ab=True, lower=True, check_finite=False)
            except LinAlgError:
                return None
            for _ in range(2):  # the solution, refined once
                x = x - cho_solve_banded((factor, True), np.where(held, 0.0, at), check_finite=False)
                at = gradient + dsbmv(self.width, 1.0, band, x - origin, lower=1)
            gap = 1e-9 * np.abs(x[np.isfinite(self.lower) & bounded]).max(initial=0.0)
            pulls = bounded & (((hold == LOWER) & (at < -tolerance)) | ((hold == UPPER) & (at > tolerance)))
            below = bounded & (hold == FREE) & (x < self.lower - gap)
            above = bounded & (hold == FREE) & (x > self.upper + gap)
            wrong = np.flatnonzero(pulls | below | above)
            if len(wrong) == 0:
                return x, hold
            left = 12 if len(wrong) < fewest else left - 1
            fewest = min(fewest, len(wrong))
            if left <= 0:  # it cycles: one contact at a time, the last in order
                wrong = wrong[-1:]
            for change, to in ((pulls, FREE), (below, LOWER), (above, UPPER)):
                hold[wrong[change[wrong]]] = to
        return None

    def start(self):
        x = np.zeros(self.size)
        x[self.land] = self.spec["seat_height"]
        hold = np.where((self.lower >= self.upper) | (x <= self.lower), LOWER, FREE)
        return x, hold

    def solve(self, pressure, x, hold):
        scale = pressure * self.load_area + (self.floating["preload"] if self.floating else 0.0)
        for _ in range(40):
            for convex in (False, True):
                gradient, band = self.assemble(x, pressure, convex)
                tolerance = 1e-9 * scale + 2e-16 * band[0] * np.abs(x[self.openings]).max()
                found = self.active_set(x, gradient, band, hold, tolerance)
                if found is not None:
                    break
            if found is None:
                return None
            step = found[0] - x
            if not self.large:
                return found
            energy, slope = self.energy(x, pressure), gradient @ step
            if np.abs(step[self.openings]).max() <= 1e-9 * self.thinnest or abs(slope) <= 1e-11 * abs(energy):
                return found
            length = 1.0
            while self.energy(x + length * step, pressure) > energy + 1e-4 * length * slope + 1e-13 * abs(energy):
                length *= 0.5
                if length < 1e-4:
                    return None
            x = x + length * step
            if length == 1.0:
                hold = found[1]
        return None


class LiftCurve:
    """Lift over pressure: steps of three tenths, then halved where interpolation misses the lift."""

    def __init__(self, stack, highest):
        self.stack = stack
        start = stack.start()
        self.states = {0.0: self.step(0.0, 0.0, *start)}
        pressure = 0.0
        while pressure < highest:
            pressure = min(max(100.0, 1.3 * pressure), highest)
            self.lift(pressure)
        lifts = {p: self.lift(p) for p in self.states}
        edges = sorted(lifts)
        intervals = list(zip(edges[:-1], edges[1:]))
        while intervals and len(lifts) < 600:
            law = self.interpolant(lifts)
            halves = []
            for low, high in intervals:
                middle = 0.5 * (low + high)
                lifts[middle] = self.lift(middle)
                close = abs(law(middle) - lifts[middle]) <= 1e-3 * lifts[middle] + 2e-8
                if not close and high - low >= 1e-4 * high:
                    halves += [(low, middle), (middle, high)]
            intervals = halves
        self.law = self.interpolant(lifts)
        self.highest = highest
        closed = [p for p in lifts if lifts[p] <= 0.0]
        self.opening = max(closed, default=0.0)

    @staticmethod
    def interpolant(lifts):
        pressures = np.array(sorted(lifts))
        return PchipInterpolator(pressures, np.maximum.accumulate([max(lifts[p], 0.0) for p in pressures]))

    def step(self, low, high, x, hold, depth=0):
        found = self.stack.solve(high, x, hold)
        if found is not None:
            return found
        if depth == 12:
            raise RuntimeError(f"no equilibrium at {high:.6g} Pa")
        middle = 0.5 * (low + high)
        return self.step(middle, high, *self.step(low, middle, x, hold, depth + 1), depth + 1)

    def lift(self, pressure):
        if pressure not in self.states:
            below = max(p for p in self.states if p < pressure)
            self.states[pressure] = self.step(below, pressure, *self.states[below])
        x, hold = self.states[pressure]
        closed = (hold[self.stack.land] == LOWER).any()
        return 0.0 if closed else x[self.stack.seat_index] - self.stack.spec["seat_height"]


def bisect(excess, low, high):
    """Where a rising function of arrays vanishes."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        above = excess(middle) > 0.0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return 0.5 * (low + high)


class Restriction:
    def __init__(self, area, diameter, discharge, transition, oil):
        self.capacity = discharge * area
        self.kappa = 2 * diameter / (oil["nu"] * transition)
        self.rho = oil["rho"]

    def flow(self, dp):
        x = np.sqrt(2 * dp / self.rho)
        return self.capacity * x * np.tanh(self.kappa * x)

    def pressure(self, flow):
        s = self.kappa * flow / self.capacity
        most = np.maximum(s, np.sqrt(s))
        y = bisect(lambda y: y * np.tanh(y) - s, most, 1.2 * most)
        return self.rho * (y / self.kappa) ** 2 / 2


class Passage:
    def __init__(self, valve, curve, bleeds, leak, oil):
        self.valve, self.curve, self.bleeds, self.leak, self.oil = valve, curve, bleeds, leak, oil
        self.ports = Restriction(valve["ports_area"], valve["port_diameter"], valve["port_discharge"],
                                 valve["port_transition"], oil)
        self.jet = valve["jet_force"] * oil["rho"] / (valve["ports_area"] * curve.stack.load_area)

    def bleed_flow(self, dp):
        return sum((b.flow(dp) for b in self.bleeds), self.leak * dp)

    def state(self, p_eff):
        """Flow through ports and stack, and the pressure drop, at the pressure on the face shim."""
        lift = np.maximum(self.curve.law(p_eff), 1e-15)
        curtain = Restriction(self.valve["curtain_length"] * lift, 2 * lift, self.valve["curtain_discharge"],
                              self.valve["curtain_transition"], self.oil)
        p_f = bisect(lambda p: p + self.jet * curtain.flow(p) ** 2 - p_eff, np.zeros_like(p_eff), p_eff)
        flow = curtain.flow(p_f)
        return flow, p_f + self.ports.pressure(flow)

    def at_flow(self, flow):
        """Pressure drop that passes `flow`."""
        def excess(p_eff):
            through, dp = self.state(p_eff)
            return through + self.bleed_flow(dp) - flow
        opening = np.full_like(flow, self.curve.opening)
        open_dp = self.state(bisect(excess, opening, np.full_like(flow, self.curve.highest)))[1]
        closed_dp = bisect(lambda dp: self.bleed_flow(dp) - flow, np.zeros_like(flow), opening)
        return np.where(self.bleed_flow(opening) >= flow, closed_dp, open_dp)

    def at_pressure(self, dp):
        """Flow at the pressure drop `dp`."""
        opening = np.full_like(dp, self.curve.opening)
        p_eff = bisect(lambda p: self.state(p)[1] - dp, opening, np.full_like(dp, self.curve.highest))
        return np.where(dp > opening, self.state(p_eff)[0], 0.0) + self.bleed_flow(dp)


def forces(given, curves):
    oil, damper = given["oil"], given["damper"]
    valves = given["valves"]
    bleeds = {side: [Restriction(b["area"], b["diameter"], b["discharge"], b["transition"], oil)
                     for b in given["bleeds"][side]] for side in ("base", "piston")}
    leak = {"base": 0.0, "piston": damper["leak"]}
    passage = {name: Passage(valves[name], curves[name], bleeds[name.split(".")[0]],
                             leak[name.split(".")[0]], oil) for name in valves}
    A_p, A_r, p_cav = damper["A_p"], damper["A_r"], damper["p_cav"]
    A_a = A_p - A_r
    speed = np.array(given["speeds"])
    result = np.zeros_like(speed)

    def force(p_C, p_R):
        return A_p * p_C - A_a * p_R - A_r * damper["p_ext"]

    into, out = speed[speed > 0], -speed[speed < 0]
    p_S = damper["p_S0"] + damper["friction"]
    base, piston = passage["base.compression"], passage["piston.compression"]
    dp_base = base.at_flow(A_r * into)
    dp_piston = piston.at_flow(A_a * into)
    empty = dp_piston >= p_S + dp_base - p_cav

    def excess(dp):
        return base.at_pressure(dp) + piston.at_pressure(p_S + dp - p_cav) - A_p * into
    if empty.any():
        dp_base = np.where(empty, bisect(excess, dp_base, np.maximum(dp_base, dp_piston + p_cav - p_S)), dp_base)
    p_C = p_S + dp_base
    result[speed > 0] = force(p_C, np.where(empty, p_cav, p_C - dp_piston))

    p_S = damper["p_S0"] - damper["friction"]
    p_C = np.maximum(p_S - passage["base.refill"].at_flow(A_r * out), p_cav)
    result[speed < 0] = force(p_C, p_C + passage["piston.rebound"].at_flow(A_a * out))
    return result


def main():
    with open(sys.argv[1]) as file:
        given = json.load(file)
    begin = time.process_time()
    curves = {name: LiftCurve(Stack(valve["stack"]), given["highest"]) for name, valve in given["valves"].items()}
    solved = forces(given, curves)
    taken = time.process_time() - begin
    points = {name: len(curve.states) for name, curve in curves.items()}
    with open(sys.argv[2], "w") as file:
        json.dump({"time": taken, "forces": list(solved), "points": points}, file)


main()
