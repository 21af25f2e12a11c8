"""The monotube of two_discs.py, its gas behind a piston with mass and friction, in time, from its equations alone.

Beside the unknowns there: V_S, the oil that the piston has made room for, and q = V_S', both of oil at 1 atm.
  the piston    m/A_S^2 q' = p_S - p_0(V_S) - F/A_S sgn q; stuck while |p_S - p_0| < F/A_S
  without base  p_S = p_C, m v(p_C) = V_C + V_S
  with a base   a hole alone between C and S: q = C A x tanh(k x) of p_C - p_S; the oil in S is incompressible
  no mass       p_S = p_0(V_S) + F/A_S sgn q, behind a base alone; stuck while |p_C - p_0| < F/A_S
Each valve that moves, and each time at which the piston sticks or comes loose, is where the integrator starts anew.
"""
import math

import record

np, scipy_integrate = record.need("numpy", "scipy.integrate")

import two_discs  # which needs them too
from two_discs import OPEN, SHUT

DIGITS = 7
STUCK, OUT, IN = 0, -1, 1
AREA = math.pi / 4 * 46e-3**2  # of the piston


class Damper(two_discs.Damper):
    def __init__(self, length, mass, friction, hole):
        super().__init__(length)
        self.inertance = mass / AREA**2
        self.friction = friction / AREA
        self.base = two_discs.passage(math.pi / 4 * hole**2, hole, 0.70, 500) if hole else None
        self.grip = STUCK

    def piston(self, s):
        """q and p_S as they hold, and p_0."""
        room = two_discs.GAS_VOLUME
        p_0 = two_discs.GAS_PRESSURE * (room / (room - s[8]))**two_discs.GAS_EXPONENT
        if not self.grip:
            return 0.0, s[0], p_0
        if not self.inertance:
            p_s = p_0 + self.grip * self.friction
            return two_discs.flow(s[0] - p_s, *self.base), p_s, p_0
        over_base = two_discs.drop(s[9], *self.base) if self.base and s[9] else 0.0
        return s[9], s[0] - over_base, p_0

    def rates(self, t, s):
        x, speed = self.rod(t)
        p_c, p_r = s[0], s[1]
        out = two_discs.flow(p_c - p_r, *self.bleed)  # of C, into R
        result = [0.0] * 10
        for i, disc in enumerate(self.discs):
            own = slice(2 + 3 * i, 5 + 3 * i)
            *result[own], passed, _ = disc.rates(disc.sign * (p_c - p_r), *s[own], self.modes[i])
            out += disc.sign * passed
        q, p_s, p_0 = self.piston(s)
        result[8] = q
        if self.grip and self.inertance:
            result[9] = (p_s - p_0 - self.grip * self.friction) / self.inertance
        behind = two_discs.PISTON * (two_discs.TRAVEL - x + two_discs.DEAD), -two_discs.PISTON * speed, -out
        if self.base:
            behind = *behind[:2], -out - q
        else:
            behind = behind[0] + s[8], behind[1] + q, -out
        before = two_discs.ANNULUS * (x + two_discs.DEAD), two_discs.ANNULUS * speed, out
        for i, (p, (volume, widens, into)) in enumerate(((p_c, behind), (p_r, before))):
            air = two_discs.AIR * (two_discs.P_ATM / p)**(1 / 1.4)
            liquid = (1 - two_discs.AIR) * math.exp((two_discs.P_ATM - p) / two_discs.K)
            v, slope = liquid + air, -liquid / two_discs.K - air / (1.4 * p)
            result[i] = (widens - into * v) / (volume / v * slope)
        return result

    def events(self):
        found = super().events()
        def presses(t, s, way):
            _, p_s, p_0 = self.piston(s)
            return way * (p_s - p_0) - self.friction
        ways = [(lambda t, s, way=way: presses(t, s, way), 1, way) for way in (IN, OUT)] if self.grip == STUCK else \
            [(lambda t, s: self.grip * self.piston(s)[0] + 1e-12, -1, STUCK)]
        if not self.inertance and not self.friction:
            ways = []  # its flow turns as it likes
        for function, direction, to in ways:
            function.terminal, function.direction = True, direction
            found.append((function, 2, to))
        return found

    def switch(self, s, i, to):
        if i < 2:
            super().switch(s, i, to)
            disc = self.discs[i]
            if to == SHUT and disc.sign * (s[0] - s[1]) > disc.preload / disc.area:
                super().switch(s, i, OPEN)
            return
        self.grip, s[9] = to, 0.0
        if to == STUCK:  # pressed on at once?
            _, p_s, p_0 = self.piston(s)
            if abs(p_s - p_0) > self.friction:
                self.grip = IN if p_s > p_0 else OUT

    def run(self, tolerance, cycles, samples):
        """States and pressures p_S at `samples` even times of the last cycle."""
        scale = np.array([1e5, 1e5] + [1e-3, 1.0, 1e-3] * 2 + [1e-5, 1e-3])
        taken_in = two_discs.ROD * self.rod(0.0)[0]
        s = np.append(self.at_rest(), [taken_in, 0.0])
        t, end = 0.0, cycles * two_discs.PERIOD
        wanted = (cycles - 1) * two_discs.PERIOD + two_discs.PERIOD * np.arange(samples) / samples
        states, loosened = [], 0
        self.modes, self.grip = [SHUT, SHUT], STUCK if self.inertance or self.friction else IN
        while t < end:
            events = self.events()
            now = wanted[(wanted >= t) & (wanted < end)] if t > wanted[0] - 1 else []
            with np.errstate(over="ignore", invalid="ignore"):  # of tries that are not taken
                solved = scipy_integrate.solve_ivp(self.rates, (t, end), s, "Radau", rtol=tolerance,
                                                   atol=tolerance * scale, dense_output=True,
                                                   events=[event for event, *_ in events],
                                                   max_step=two_discs.PERIOD / 200)
            if solved.status < 0:
                raise RuntimeError(solved.message)
            s_end, t_end = None, end
            for (event, i, to), at, state in zip(events, solved.t_events, solved.y_events):
                if len(at):
                    t_end, s_end, switch = float(at[0]), np.array(state[0]), (i, to)
            for at in now:
                if t <= at < t_end:
                    state = solved.sol(at)
                    states.append((state, *self.piston(state)[:2]))
            if s_end is None:
                break
            loosened += switch[0] == 2 and switch[1] != STUCK
            self.switch(s_end, *switch)
            t, s = t_end, s_end
        return states, loosened


def piston(hole, mass, friction):
    damper = Damper(12e-3, mass, friction, hole)
    states, loosened = damper.run(1e-10, 2, 16)
    values = {"comes loose": loosened}
    for k, (state, q, p_s) in enumerate(states):
        values[f"force at {k}/16"] = damper.force(state)
        values[f"p_C at {k}/16"], values[f"p_R at {k}/16"] = state[:2]
        values[f"p_S at {k}/16"] = p_s
        if q:
            values[f"flow into S at {k}/16"] = q
        for place, y in (("compression", 2), ("rebound", 5)):
            if state[y] > 0:
                values[f"lift of {place} at {k}/16"] = state[y]
    return values


GROUPS = {
    "next to C": lambda: piston(None, 0.4, 60.0),
    "behind a base": lambda: piston(4e-3, 0.4, 60.0),
    "behind a base, without friction": lambda: piston(4e-3, 0.1, 0.0),
    "behind a base, of 1 g": lambda: piston(4e-3, 1e-3, 0.0),
    "behind a base, without mass": lambda: piston(4e-3, 0.0, 0.0),
    "behind a base, friction without mass": lambda: piston(4e-3, 0.0, 60.0),
}

if __name__ == "__main__":
    record.run(__file__, GROUPS, DIGITS, ["behind a base"])
