"""What the programs of this folder share: each computes numbers in groups and keeps them in a file of its own name.

    PROGRAM.py           computes all groups and writes PROGRAM.json
    PROGRAM.py --check   computes a sample again and compares it with the file
    PROGRAM.py --all     does so with all groups

A check exits with 0 where all agree, with 1 where one does not, and with 77 where a package is missing.
"""
import json
import math
import os
import pathlib
import sys

MISSING = 77
os.environ.setdefault("OMP_NUM_THREADS", "1")  # the matrices are small


def need(*modules):
    """Imports the modules, or ends the program as one that cannot run here."""
    try:
        return [__import__(module, fromlist=["x"]) for module in modules]
    except ImportError as error:
        print(f"left out: {error}")
        sys.exit(MISSING)


def rounded(value, digits):
    return float(f"{value:.{digits - 1}e}")


def close(a, b, digits):
    """Whether two numbers are one in this many digits, less one unit of the last."""
    return math.isclose(a, b, rel_tol=10.0 ** (1 - digits))


def run(file, groups, digits, sample):
    """groups: name -> function that returns {quantity: value}; digits: significant, kept and compared."""
    path = pathlib.Path(file).with_suffix(".json")
    if len(sys.argv) == 1:
        lines = []
        for name, compute in groups.items():
            values = {key: rounded(float(value), digits) for key, value in compute().items()}
            lines.append(f"  {json.dumps(name)}: {json.dumps(values)}")
        path.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
        return
    kept = json.loads(path.read_text(encoding="utf-8"))
    wrong = [f"{name}: kept, but not computed" for name in kept if name not in groups]
    wrong += [f"{name}: computed, but not kept" for name in groups if name not in kept]
    names = list(groups) if "--all" in sys.argv else sample
    for name in names:
        again = groups[name]()
        if set(again) != set(kept[name]):
            wrong.append(f"{name}: {sorted(again)} in place of {sorted(kept[name])}")
            continue
        for key, value in again.items():
            if not close(value, kept[name][key], digits):
                wrong.append(f"{name}, {key}: {float(value):.12g} in place of {kept[name][key]:.12g}")
    print(f"{len(names)} of {len(groups)} groups computed again")
    for line in wrong:
        print(line)
    sys.exit(1 if wrong else 0)
