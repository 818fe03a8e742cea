"""`python -m kiosk.heat FILE`, and `python -m kiosk.heat shops [N]`; both print JSON.

FILE has the form of the reference cases: {"cases": [{"id", "layers", "stages", ...}]}; each
case's expected keys are printed under its id. `shops` lets N made-up shops (150) learn when it
can be peeled, 205 garments each, and prints errors, cover of the range and drift in percent.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Sequence
from pathlib import Path

from kiosk.heat.cases import results
from kiosk.heat.shops import FIRST_LESSONS, TRIALS, figures, run_shops

SHOPS = 150
SEED = 20260
PROMPTED_PEELS = 200
USAGE = "usage: python -m kiosk.heat FILE | shops [N]"


def main(arguments: Sequence[str]) -> int:
    """Print the results; 0 done, 1 the file has faults, 2 wrong usage."""
    match arguments:
        case ["shops"]:
            return shops(SHOPS)
        case ["shops", count] if count.isascii() and count.isdigit() and int(count):
            return shops(int(count))
        case [file] if not file.startswith("-"):
            return cases(file)
    print(USAGE, file=sys.stderr)
    return 2


def cases(file: str) -> int:
    """Print the expected keys of the file's cases."""
    try:
        listed = json.loads(Path(file).read_text("utf-8"))["cases"]
        found = {case["id"]: results(case) for case in listed}
    except OSError as problem:
        print(f"{file}: {problem.strerror}", file=sys.stderr)
        return 1
    except (ValueError, LookupError, TypeError, AttributeError, ArithmeticError) as problem:
        print(f"{file}: not in the form of heat cases: {problem!r}", file=sys.stderr)
        return 1
    print(json.dumps(found, indent=1))
    return 0


def shops(count: int) -> int:
    """Print what so many shops learn in each trial."""
    found: dict[str, object] = {"shops": count, "prompted_peels": PROMPTED_PEELS, "seed": SEED}
    for name, trial in TRIALS.items():
        chance = random.Random(SEED)  # the same shops in every trial
        run = run_shops(trial, count, FIRST_LESSONS + PROMPTED_PEELS, chance)
        found[name] = figures(run)
    print(json.dumps(found, indent=1))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
