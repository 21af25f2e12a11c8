"""A monotube whose two valves are rigid discs on coils, in time, from its equations alone: for motion.py, and for
validation/speed, which measures how long SciPy takes. The same numbers are in validation/motion/two_discs.yaml.

Unknowns: the pressures before and behind the piston; of each disc its lift y, its rate and the flow Q of its ports.
  chambers   m v(p) = V, m' the flow in (of oil at 1 atm); v = (1 - x0) exp(-(p - p_atm)/K) + x0 (p_atm/p)^(1/1.4)
  gas        behind the oil before the piston, p (V0 - V_S)^n constant, no friction
  passages   Q = C A x tanh(k x), x = sqrt(2 dp/rho), k = 2 D_h/(nu lambda_c)
  a disc     m y'' = A (p_f + c_j rho Q^2/(A_ports A) - (F0 + k y)/A) - c y', c the squeeze film of its land, at most
             that of 5 um; restitution 0 on seat and stop
  its ports  dp = dp_ports(Q) + p_f + rho l/A_ports Q', p_f what Q - A y' takes under the disc, the gap at least 1 um;
             without length the last term is none, and Q follows
A disc leaves its seat with what a gap of 1 um passes. Each seat and stop is an event at which the integrator starts anew.
"""
import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

P_ATM = 101325.0
RHO, NU = 850.0 * (1 - 7.5e-4 * 25), 16e-6  # at 40 C
K, AIR = 1.4e9, 0.005
PISTON, ROD = (math.pi / 4 * d**2 for d in (46e-3, 14e-3))
ANNULUS = PISTON - ROD
TRAVEL, DEAD = 60e-3, 30e-3
GAS_VOLUME, GAS_PRESSURE, GAS_EXPONENT = 80e-6, 20e5 + P_ATM, 1.3
MIDDLE, STROKE, OMEGA = 30e-3, 50e-3, 2 * math.pi * 5
PERIOD = 2 * math.pi / OMEGA
LEAST_FILM, LEAST_GAP = 5e-6, 1e-6
TOUCH = 1e-10  # beyond seat and stop, so that rounding is no touch [m]
SHUT, OPEN, STOPPED = range(3)


def passage(area, hydraulic_diameter, discharge, transition):
    """C A and k of a passage."""
    return discharge * area, 2 * hydraulic_diameter / (NU * transition)


def flow(dp, capacity, k):
    x = math.sqrt(2 * abs(dp) / RHO)
    return math.copysign(capacity * x * math.tanh(k * x), dp)


def drop(q, capacity, k):
    """The inverse of flow(): z tanh z = s by Newton's steps from max(s, sqrt s), a fifth too small at most."""
    s = k * abs(q) / capacity
    z = s
    if s < 20:
        z = max(s, math.sqrt(s))
        for _ in range(50):
            tanh = math.tanh(z)
            step = (z * tanh - s) / (tanh + z * (1 - tanh * tanh)) if z else 0.0
            z -= step
            if abs(step) <= 1e-9 * z:
                break
    return math.copysign(RHO / 2 * (z / k)**2, q)


class Disc:
    """One valve; `sign` 1 opens towards the rod's side. Lengths and masses in SI."""

    def __init__(self, sign, ports, port_area, length, zone, seat, rate, preload, stop, mass, jet=0.3):
        self.sign, self.rate, self.preload, self.stop, self.mass = sign, rate, preload, stop, mass
        a, b, c = zone, *seat  # radii
        land = c - b  # where the pressure falls to nothing
        self.area = math.pi * (b * b - a * a) + 2 * math.pi / land * (c * (c * c - b * b) / 2 - (c**3 - b**3) / 3)
        total = ports * port_area
        self.ports = passage(total, math.sqrt(4 * port_area / math.pi), 0.75, 1000)
        self.round = 2 * math.pi * b
        self.jet = jet * RHO / (total * self.area)
        self.film = math.pi * (b + c) * RHO * NU * land**3
        self.inertance = RHO * length / total

    def curtain(self, gap):
        return passage(self.round * gap, 2 * gap, 0.70, 100)

    def opening_flow(self, dp):
        return flow(dp, *self.curtain(LEAST_GAP))

    def shared(self, dp, y, v):
        """Q and p_f where the oil in the ports has no inertia. At p_f = 0 the curtain passes nothing; at the other end
        the ports pass what the disc sweeps alone."""
        curtain, swept = self.curtain(max(y, 1e-10)), self.area * v
        ends = 0.0, dp - drop(swept, *self.ports)

        def left(p_f):
            return flow(p_f, *curtain) + swept - flow(dp - p_f, *self.ports)
        if left(ends[0]) * left(ends[1]) < 0:
            p_f = brentq(left, *ends, xtol=1e-9, rtol=1e-14)
        else:  # but for rounding one of them is the root
            p_f = min(ends, key=lambda end: abs(left(end)))
        return flow(dp - p_f, *self.ports), p_f

    def rates(self, dp, y, v, q, mode):
        """y', y'', Q', Q and the force on the disc."""
        if mode == SHUT:
            return 0.0, 0.0, 0.0, 0.0, 0.0
        if self.inertance:
            p_f = drop(q - self.area * v, *self.curtain(max(y, LEAST_GAP)))
            faster = (dp - drop(q, *self.ports) - p_f) / self.inertance
        else:
            q, p_f = self.shared(dp, y, v)
            faster = 0.0
        jet = self.jet * q * q if q > 0 else 0.0
        force = self.area * (p_f + jet) - self.preload - self.rate * y - self.film / max(y, LEAST_FILM)**3 * v
        if mode == STOPPED:
            return 0.0, 0.0, faster, q, force
        return v, force / self.mass, faster, q, force


class Damper:
    def __init__(self, length):
        self.discs = [
            Disc(1, 4, 30e-6, length, 7e-3, (13e-3, 13.5e-3), 30e3, 60.0, 0.6e-3, 4e-3),
            Disc(-1, 4, 20e-6, length, 6e-3, (11e-3, 11.5e-3), 100e3, 80.0, 1.2e-3, 3e-3)]
        self.bleed = passage(math.pi / 4 * 2e-3**2, 2e-3, 0.70, 500)
        self.modes = [SHUT, SHUT]
        self.calls = 0

    @staticmethod
    def rod(t):
        return MIDDLE - STROKE / 2 * math.cos(OMEGA * t), STROKE / 2 * OMEGA * math.sin(OMEGA * t)

    def rates(self, t, s):
        self.calls += 1
        x, speed = self.rod(t)
        p_c, p_r = s[0], s[1]
        q = flow(p_c - p_r, *self.bleed)
        result = [0.0] * 8
        for i, disc in enumerate(self.discs):
            *result[2 + 3 * i:5 + 3 * i], passed, _ = disc.rates(disc.sign * (p_c - p_r), *s[2 + 3 * i:5 + 3 * i],
                                                                self.modes[i])
            q += disc.sign * passed
        gas = GAS_VOLUME * (GAS_PRESSURE / p_c)**(1 / GAS_EXPONENT)
        volumes = PISTON * (TRAVEL - x + DEAD) + GAS_VOLUME - gas, ANNULUS * (x + DEAD)
        gives = [gas / (GAS_EXPONENT * p_c), 0.0]
        for i, (p, volume, widens, into) in enumerate(((p_c, volumes[0], -PISTON * speed, -q),
                                                       (p_r, volumes[1], ANNULUS * speed, q))):
            liquid, air = (1 - AIR) * math.exp((P_ATM - p) / K), AIR * (P_ATM / p)**(1 / 1.4)
            v, slope = liquid + air, -liquid / K - air / (1.4 * p)
            result[i] = (into * v - widens) / (gives[i] - volume / v * slope)
        return result

    @staticmethod
    def at_rest():
        p = GAS_PRESSURE * (GAS_VOLUME / (GAS_VOLUME - ROD * (MIDDLE - STROKE / 2)))**GAS_EXPONENT
        return np.array([p, p] + [0.0] * 6)

    def events(self):
        """What ends the modes: functions of (t, s), which disc, to which mode."""
        found = []
        for i, disc in enumerate(self.discs):
            def opens(t, s, disc=disc):
                return disc.sign * (s[0] - s[1]) - disc.preload / disc.area
            def shuts(t, s, i=i):
                return s[2 + 3 * i] + TOUCH
            def stops(t, s, i=i, disc=disc):
                return s[2 + 3 * i] - disc.stop - TOUCH
            def leaves(t, s, i=i, disc=disc):
                return disc.rates(disc.sign * (s[0] - s[1]), *s[2 + 3 * i:5 + 3 * i], STOPPED)[4]
            for function, direction, to in {SHUT: [(opens, 1, OPEN)], OPEN: [(shuts, -1, SHUT), (stops, 1, STOPPED)],
                                            STOPPED: [(leaves, -1, OPEN)]}[self.modes[i]]:
                function.terminal, function.direction = True, direction
                found.append((function, i, to))
        return found

    def switch(self, s, i, to):
        disc = self.discs[i]
        y, v, q = range(2 + 3 * i, 5 + 3 * i)
        if to == OPEN and self.modes[i] == SHUT:
            s[y] = s[v] = 0.0
            s[q] = disc.opening_flow(disc.sign * (s[0] - s[1])) if disc.inertance else 0.0
        elif to != OPEN:
            s[y], s[v] = (0.0 if to == SHUT else disc.stop), 0.0
            if to == SHUT:
                s[q] = 0.0
        self.modes[i] = to

    @staticmethod
    def force(s):
        return PISTON * s[0] - ANNULUS * s[1] - ROD * P_ATM

    def run(self, method, tolerance, cycles, samples, dense=False):
        """States at `samples` even times of the last cycle and at its end; [(time, disc, mode before, mode after)];
        right-hand sides as SciPy counts them; with `dense`, [(begin, end, interpolant)]. No step is longer than a
        hundredth of a cycle, lest an event be stepped over."""
        scale = np.array([1e5, 1e5] + [1e-3, 1.0, 1e-3] * 2)
        t, end, s = 0.0, cycles * PERIOD, self.at_rest()
        wanted = (cycles - 1) * PERIOD + PERIOD * np.arange(samples + 1) / samples
        states, switched, pieces, count = [], [], [], 0
        self.modes, self.calls = [SHUT, SHUT], 0
        while t < end:
            events = self.events()
            now = wanted[(wanted > t) & (wanted <= end)]
            with np.errstate(over="ignore"):  # of differences by what a shut valve does not depend on
                solved = solve_ivp(self.rates, (t, end), s, method, rtol=tolerance, atol=tolerance * scale,
                                   t_eval=None if dense else now if len(now) else [end],
                                   events=[event for event, *_ in events], max_step=PERIOD / 100, dense_output=dense)
            if solved.status < 0:
                raise RuntimeError(solved.message)
            count += solved.nfev
            s_end, t_end = None, end
            for (event, i, to), at, state in zip(events, solved.t_events, solved.y_events):
                if len(at):
                    t_end, s_end, switch = float(at[0]), np.array(state[0]), (i, to)
            reached = now[now <= t_end]
            if dense:
                states += [solved.sol(at) for at in reached]
                pieces.append((t, t_end, solved.sol))
            else:
                states += list(np.transpose(solved.y)[:len(reached)]) if len(reached) else []
            if s_end is None:
                break
            switched.append((t_end, switch[0], self.modes[switch[0]], switch[1]))
            self.switch(s_end, *switch)
            i, to = switch
            disc = self.discs[i]
            if to == SHUT and disc.sign * (s_end[0] - s_end[1]) > disc.preload / disc.area:
                self.switch(s_end, i, OPEN)
                switched.append((t_end, i, SHUT, OPEN))
            t, s = t_end, s_end
        return np.array(states), switched, count, pieces
