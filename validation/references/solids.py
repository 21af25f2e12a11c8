"""Stacks that are not round, as solids in CalculiX (dhondt_calculix): lift over the seat in waves beyond buckling and over
windows.

Half a wave, or half a pitch of windows, between planes of symmetry; every shim of its true thickness, one C3D20R through it;
large displacements; contact between shims surface to surface. The seat is a knife edge that bears and does not hold, the
stop of a float likewise, each a spring to the ground at every node of its circle. Waves are begun by a tenth more pressure
on the first half of the sector, which is then taken away, so that none of it is left in what is kept.

    solids.py            runs every model, for hours, and writes solids.json
    solids.py --check    runs one again; --all runs all; --only GROUP runs one and prints it

Lengths in mm, forces in N, pressures in MPa, as in the decks; E 206 GPa, nu 0.3, clamp or bore 6 mm, pressure from 8 mm to
the seat at 14.5 mm (radii). Lifts are kept in m, by the pressure in bar.
"""
import math
import pathlib
import shutil
import subprocess
import sys
import tempfile

import record

E, NU = 206e3, 0.3
BORE, ZONE, SEAT = 6.0, 8.0, 14.5
CONTACT = 1e7  # pressure per overlap between shims [MPa/mm]; 1e6 takes fewer iterations
HARD = 1e6  # of seat and stop, of the whole half pitch [N/mm]
DEEP = 1e3  # of the ground under their nodes
DIGITS = 4


class Model:
    """shims: (outer radius, thickness) from the face shim; waves: repeats round the ring; port: elements of `round` under
    pressure; stop: (travel, rate [N/mm], preload [N]) of a float whose spring and stop are at its bore, none: clamped;
    contact: pressure per overlap between shims."""

    def __init__(self, shims, waves, bars, round_=8, port=None, stop=None, edge=0.35, largest=1.0, contact=CONTACT):
        self.contact = contact
        self.shims, self.waves, self.bars, self.stop = shims, waves, bars, stop
        self.round, self.port = round_, round_ if port is None else port
        self.edge, self.largest = edge, largest
        self.lines, self.count = [], 0

    def stations(self):
        marks = sorted({BORE, ZONE, SEAT} | {outer for outer, _ in self.shims})
        radii = [marks[0]]
        for low, high in zip(marks, marks[1:]):
            steps, size = [], self.edge
            while sum(steps) < 0.5 * (high - low):
                steps.append(size)
                size = min(2.0 * size, self.largest)
            scale = 0.5 * (high - low) / sum(steps)
            if len(steps) == 1:  # a narrow ring is one element
                radii.append(high)
                continue
            for step in steps + steps[::-1]:
                radii.append(radii[-1] + scale * step)
            radii[-1] = high
        return radii

    def write(self, text):
        self.lines.append(text)

    def write_set(self, kind, name, members):
        self.write(f"*{kind}, {kind}={name}")
        self.lines += [f"{member}," for member in members]

    def add_shim(self, number, radii, z, thickness):
        """Nodes by [radius][angle][height], every second index the end of an element; axis y, angle towards -z."""
        grid = {}
        for i in range(2 * len(radii) - 1):
            r = 0.5 * (radii[i // 2] + radii[(i + 1) // 2])
            for j in range(2 * self.round + 1):
                angle = math.pi / self.waves * j / (2 * self.round)
                for k in range(3):
                    if i % 2 + j % 2 + k % 2 > 1:
                        continue
                    self.count += 1
                    grid[i, j, k] = self.count
                    self.nodes.append((self.count, r * math.cos(angle), z + 0.5 * k * thickness, -r * math.sin(angle)))
        first = len(self.elements) + 1
        corners = [(0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0), (0, 0, 2), (2, 0, 2), (2, 2, 2), (0, 2, 2), (1, 0, 0),
                   (2, 1, 0), (1, 2, 0), (0, 1, 0), (1, 0, 2), (2, 1, 2), (1, 2, 2), (0, 1, 2), (0, 0, 1), (2, 0, 1),
                   (2, 2, 1), (0, 2, 1)]
        for e in range(len(radii) - 1):
            for a in range(self.round):
                self.elements.append([grid[2 * e + i, 2 * a + j, k] for i, j, k in corners])
        return {"number": number, "radii": radii, "grid": grid, "first": first}

    def contacts(self):
        """Every two shims with nothing but smaller ones between them: upper, lower, the smaller one first."""
        for i, (low, _) in enumerate(self.shims):
            between = 0.0
            for j in range(i + 1, len(self.shims)):
                high = self.shims[j][0]
                if between < min(low, high):
                    bottom, top = f"BOTTOM{j + 1}", f"TOP{i + 1}"
                    yield (top, bottom) if low < high else (bottom, top)
                between = max(between, high)

    def springs(self, name, nodes, table):
        """Springs along y to a node of the ground far below each of the nodes of one circle, each for its part of the half
        pitch; at the end of the deck's nodes and elements."""
        for part, members in (("A", nodes[1:-1]), ("B", [nodes[0], nodes[-1]])):
            share = (1.0 if part == "A" else 0.5) / (len(nodes) - 1)
            self.write("*NODE")
            for node in members:
                x, y, z = self.nodes[node - 1][1:]
                self.write(f"{self.count + 1 + members.index(node)},{x:.12g},{y - DEEP:.12g},{z:.12g}")
            self.write(f"*ELEMENT, TYPE=SPRINGA, ELSET={name}{part}")
            for node in members:
                self.count += 1
                self.ground.append(self.count)
                self.write(f"{len(self.elements) + len(self.ground)},{self.count},{node}")
            self.write(f"*SPRING, ELSET={name}{part}, NONLINEAR")
            self.lines += [f"{share * force:.9e},{lift:.9e}" for force, lift in table]

    def deck(self):
        self.nodes, self.elements, self.ground = [], [], []
        stations = self.stations()
        slabs, z = [], 0.0
        for number, (outer, thickness) in enumerate(self.shims, 1):
            slabs.append(self.add_shim(number, [r for r in stations if r <= outer], z, thickness))
            z += thickness
        self.write("*HEADING\nHalf a wave of a shim stack; mm, N, MPa\n*NODE")
        self.lines += [f"{n},{x:.12g},{y:.12g},{w:.12g}" for n, x, y, w in self.nodes]
        self.write("*ELEMENT, TYPE=C3D20R, ELSET=ALL")
        for number, nodes in enumerate(self.elements, 1):
            self.write(f"{number}," + ",".join(map(str, nodes[:10])) + ",")
            self.write(",".join(map(str, nodes[10:])))
        for slab in slabs:
            last = slab["first"] + (len(slab["radii"]) - 1) * self.round
            for face, name in ((1, "BOTTOM"), (2, "TOP")):
                self.write(f"*SURFACE, NAME={name}{slab['number']}, TYPE=ELEMENT")
                self.lines += [f"{e},S{face}" for e in range(slab["first"], last)]
        end = 2 * self.round
        inner, cuts = [], []
        for slab in slabs:
            inner += [n for (i, j, k), n in slab["grid"].items() if i == 0]
            cuts += [n for (i, j, k), n in slab["grid"].items() if j in (0, end) and (self.stop or i > 0)]
        self.write_set("NSET", "INNER", inner)
        self.write_set("NSET", "CUTS", cuts)
        face, last = slabs[0], slabs[-1]
        over_seat = 2 * stations.index(SEAT)
        ring = range(0, end + 1, 2)
        watched = [face["grid"][over_seat, j, 1] for j in ring]
        self.write_set("NSET", "WATCHED", watched)
        zone = range(stations.index(ZONE), stations.index(SEAT))
        halves = [range(0, (self.port + 1) // 2), range((self.port + 1) // 2, self.port)]
        for name, half in zip(("FIRST", "SECOND"), halves):
            self.write_set("ELSET", name, [face["first"] + e * self.round + a for e in zone for a in half])
        self.write(f"*MATERIAL, NAME=STRIP\n*ELASTIC\n{E},{NU}\n*SOLID SECTION, ELSET=ALL, MATERIAL=STRIP")
        self.springs("LAND", watched, [(-HARD, -1.0), (0.0, 0.0), (0.0, 10.0)])
        bore = [last["grid"][0, j, 1] for j in ring]
        if self.stop:
            travel, rate, _ = self.stop
            rate /= 2 * self.waves
            self.springs("STOP", bore,
                         [(-rate, -1.0), (0.0, 0.0), (rate * travel, travel), (rate * travel + HARD, travel + 1.0)])
        self.write_set("NSET", "GROUND", self.ground)
        pairs = list(self.contacts())
        if pairs:
            self.write("*SURFACE INTERACTION, NAME=TOUCH\n*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR\n"
                       f"{self.contact:.6e}")
        for slave, master in pairs:
            self.write(f"*CONTACT PAIR, INTERACTION=TOUCH, TYPE=SURFACE TO SURFACE\n{slave},{master}")
        self.write("*TRANSFORM, NSET=CUTS, TYPE=C\n0.,0.,0.,0.,1.,0.")
        self.write("*BOUNDARY\n" + ("" if self.stop else "INNER,1,3\n") + "CUTS,2,2\nGROUND,1,3")
        if self.stop:
            force = self.stop[2] / (2 * self.waves * (len(bore) - 1))
            self.step([f"*CLOAD\n{n},2,{-force * (0.5 if n in (bore[0], bore[-1]) else 1.0):.9g}" for n in bore])
        if self.port == self.round:
            self.pressure(self.bars[0], 0.1, increment=0.25)
        for bar in self.bars:
            self.pressure(bar, 0.0, increment=0.5)
            self.step([])  # springs of contact are laid as an increment begins: held once more
        return "\n".join(self.lines) + "\n"

    def pressure(self, bar, more, increment):
        loads = [f"FIRST,P1,{0.1 * bar * (1.0 + more):.9g}"]
        if self.port > 1:
            loads.append(f"SECOND,P1,{0.1 * bar:.9g}")
        self.step(["*DLOAD\n" + "\n".join(loads)], increment)

    def step(self, loads, increment=1.0):
        self.write(f"*STEP, NLGEOM, INC=1000\n*STATIC\n{increment},1.,1e-6,{increment}")
        self.write("*CONTROLS, PARAMETERS=CONTACT\n0.03,0.1,100,60")
        self.lines += loads
        self.write("*NODE PRINT, NSET=WATCHED, FREQUENCY=1000, GLOBAL=YES\nU\n*END STEP")

    def solve(self, folder, name):
        deck = pathlib.Path(folder) / f"{name}.inp"
        deck.write_text(self.deck(), encoding="utf-8")
        ran = subprocess.run(["ccx", "-i", name], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False)
        deck.with_suffix(".log").write_bytes(ran.stdout)
        if ran.returncode != 0:
            raise RuntimeError(f"{name}: ccx ends with {ran.returncode}")
        steps, rows = [], None
        for line in deck.with_suffix(".dat").read_text(encoding="utf-8").splitlines():
            if "displacements" in line:
                rows = []
                steps.append(rows)
            elif rows is not None and line.strip():
                rows.append(float(line.split()[2]) * 1e-3)
        before = (1 if self.stop else 0) + (1 if self.port == self.round else 0)
        if len(steps) != before + 2 * len(self.bars) or any(len(rows) != self.round + 1 for rows in steps):
            raise RuntimeError(f"{name}: {len(steps)} steps in place of {before + 2 * len(self.bars)}")
        values = {}
        for k, bar in enumerate(self.bars):
            lifts = steps[before + 2 * k + 1]
            mean = (0.5 * (lifts[0] + lifts[-1]) + sum(lifts[1:-1])) / self.round  # even: exact for what is smooth
            values.update({f"{bar:g} bar, mean": mean, f"{bar:g} bar, first": lifts[0], f"{bar:g} bar, last": lifts[-1]})
        return values


TWO = [(15.0, 0.2), (13.0, 0.2)]
STOP = (0.2, 10.0, 2.0)
SINGLE = [(15.0, 0.2)]
STAGES = [(15.0, 0.2), (10.0, 0.1), (14.5, 0.2), (12.0, 0.2)]
THIN_STAGES = [(outer, 0.5 * thickness) for outer, thickness in STAGES]
FIVE = [(15.0, 0.15), (14.5, 0.15), (13.0, 0.15), (11.5, 0.15), (10.0, 0.15)]

MODELS = {
    # One shim at 2.5 times what the round shape buckles at, on three meshes.
    "one shim": Model(SINGLE, 3, [3.866]),
    "one shim, finer": Model(SINGLE, 3, [3.866], round_=12, edge=0.2, largest=0.6),
    "one shim, finest": Model(SINGLE, 3, [3.866], round_=18, edge=0.13, largest=0.4),
    # At 1.2, 1.6 and 2.5 times; contact of solids takes a quarter of an hour each.
    "two shims": Model(TWO, 3, [4.02, 5.36, 8.37]),
    "two shims, finer": Model(TWO, 3, [8.37], round_=12, edge=0.25, largest=0.7, contact=1e6),
    "two stages": Model(STAGES, 3, [5.96, 7.947, 12.42], contact=1e6),
    "two stages, finer": Model(STAGES, 3, [5.96, 7.947, 12.42], round_=10, edge=0.2, largest=0.7, contact=1e6),
    # Half the thickness under a sixteenth of the pressure lifts half as high and slopes half as much: of thin plates the
    # same, so that what solids of the two differ in is what thin plates leave out.
    "two stages, thin": Model(THIN_STAGES, 3, [5.96 / 16, 7.947 / 16, 12.42 / 16], contact=1e6 / 8),
    "five shims": Model(FIVE, 4, [3.205, 4.273, 6.677], contact=1e6),
    "one shim, floated": Model(SINGLE, 2, [0.6489, 0.8652, 1.352], stop=STOP, round_=12),
    "one shim, floated, finer": Model(SINGLE, 2, [0.6489, 0.8652, 1.352], stop=STOP, round_=18, edge=0.2, largest=0.6),
    "one shim, floated, thin": Model([(15.0, 0.1)], 2, [0.6489 / 16, 0.8652 / 16, 1.352 / 16], stop=(0.1, 10.0 / 8, 2.0 / 16),
                                     round_=12),
    "two shims, floated": Model(TWO, 2, [1.451, 1.935, 3.024], stop=STOP, round_=12),
    "two stages, floated": Model(STAGES, 2, [2.212, 2.949, 4.609], stop=STOP, round_=12, contact=1e6),
    "one shim, 4 windows of 0.3": Model(SINGLE, 4, [1.0, 3.0], round_=10, port=3),
    "one shim, 4 windows of 0.8": Model(SINGLE, 4, [0.5, 1.0, 2.0], round_=10, port=8),
    "two shims, 4 windows of 0.8": Model(TWO, 4, [2.0, 4.0], round_=10, port=8),
}
SAMPLE = ["one shim", "one shim, 4 windows of 0.8"]


def compute(name):
    if shutil.which("ccx") is None:
        print("left out: no ccx (Debian: calculix-ccx)")
        sys.exit(record.MISSING)
    with tempfile.TemporaryDirectory() as folder:
        return MODELS[name].solve(folder, name.replace(" ", "-").replace(",", ""))


if __name__ == "__main__":
    if "--only" in sys.argv:
        print(compute(sys.argv[sys.argv.index("--only") + 1]))
    else:
        record.run(__file__, {name: (lambda name=name: compute(name)) for name in MODELS}, DIGITS, SAMPLE)
