"""`python -m kiosk.heat FILE` prints JSON.

FILE has the form of the reference cases: {"cases": [{"id", "layers", "stages", ...}]}; each
case's expected keys are printed under its id.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from kiosk.heat.cases import results

USAGE = "usage: python -m kiosk.heat FILE"


def main(arguments: Sequence[str]) -> int:
    """Print the results; 0 done, 1 the file has faults, 2 wrong usage."""
    match arguments:
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


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
