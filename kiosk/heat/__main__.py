"""`python -m kiosk.heat FILE`: solves the cases of a file, prints their expected keys as JSON.

The file's form is that of reference cases: {"cases": [{"id", "layers", "stages", ...}]}. Printed
is one object: each case's id with its keys.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from kiosk.heat.cases import results


def main(arguments: Sequence[str]) -> int:
    """Print the results; 0 done, 1 the file has faults, 2 wrong usage."""
    if len(arguments) != 1 or arguments[0].startswith("-"):
        print("usage: python -m kiosk.heat FILE", file=sys.stderr)
        return 2
    try:
        cases = json.loads(Path(arguments[0]).read_text("utf-8"))["cases"]
        found = {case["id"]: results(case) for case in cases}
    except OSError as problem:
        print(f"{arguments[0]}: {problem.strerror}", file=sys.stderr)
        return 1
    except (ValueError, KeyError, TypeError, IndexError) as problem:
        print(f"{arguments[0]}: not in the form of heat cases: {problem!r}", file=sys.stderr)
        return 1
    print(json.dumps(found, indent=1))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
