"""`python -m kiosk.heat FILE` prints JSON: reference cases solved by this model.

FILE has the form of the reference cases: {"cases": [{"id", "layers", "stages", ...}]}; each
case's expected keys are printed under its id.
"""

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from kiosk.catalog.model import PROPOSED
from kiosk.heat.curve import Curve, Solved, bond, cloth, solve
from kiosk.heat.stack import Air, Face, Layer, Plate, Stage, Story


def story_of(case: Mapping[str, Any]) -> Story:
    """Return the story of one case; LookupError or ValueError where the format is not kept."""
    layers = {name: _layer(name, data) for name, data in case["layers"].items()}
    if unknown := set(case["bond"]) - layers.keys():
        raise LookupError(f"bond: no layer {', '.join(sorted(unknown))}")
    return Story(
        room=case["room_C"],
        layers=layers,
        contacts={pair: (value[0], value[1]) for pair, value in case["contacts"].items()},
        stages=tuple(_stage(data) for data in case["stages"]),
        bond=(case["bond"][0], case["bond"][1]),
    )


LONGEST = 86_400.0  # seconds of a stage: a day
LEAST, MOST = 1e-9, 1e9  # of a capacity; a resistance may be none


def _within(data: Mapping[str, Any], key: str, least: float, most: float) -> float:
    value: float = data[key]
    if not least <= value <= most:
        raise ValueError(f"{key} {value}: {least} to {most}")
    return value


def _layer(name: str, data: Mapping[str, Any]) -> Layer:
    body = (
        _within(data, "C", LEAST, MOST),
        _within(data, "R_pressed", 0.0, MOST),
        _within(data, "R_open", 0.0, MOST),
    )
    ends = (data.get("T_top"), data.get("T_bot"))
    if data.get("lump"):
        return Layer(*body, 1, 1.0, *ends)
    if "ratio" in data:
        return Layer(*body, 10, data["ratio"], *ends)
    return Layer(*body, 3 if name.startswith("fab") else 2, 1.0, *ends)


def _stage(data: Mapping[str, Any]) -> Stage:
    return Stage(
        data["name"],
        _within(data, "duration_s", 0.0, LONGEST),
        tuple(data["stack"]),
        data["pressed"],
        _face(data["top"]),
        _face(data["bottom"]),
    )


def _face(data: Mapping[str, Any]) -> Face:
    if data["kind"] == "contact":
        return Plate(data["T"], data["h"])
    return Air(
        temperature=data["T"],
        free=data["c"],
        emissivity=data["eps"],
        speed=data.get("v", 0.0),
        length=data.get("L", 0.3),
        overhead=data.get("F", 0.0),
        platen=data.get("Tp", 0.0),
    )


def results(case: Mapping[str, Any]) -> dict[str, float | None]:
    """Return the case's expected keys as this model has them (all it knows if none are named).

    Seconds and °C; `t_*` count from the last opening, None where it is never reached.
    """
    story = story_of(case)
    found = _maxima(solved := solve(story)) | _times(solved, story.room)
    wanted = case.get("expected", found)
    return {key: found.get(key) for key in wanted}


def _maxima(solved: Solved) -> dict[str, float | None]:
    found: dict[str, float | None] = {"t_open_s": solved.opened}
    for stage, curve in solved.stages:
        if stage.pressed:
            found[f"bond_max_{stage.name}"] = _rounded(curve.highest(bond))
            found[f"fabric_max_{stage.name}"] = _rounded(curve.highest(cloth))
    pressed = Curve(tuple(s for stage, c in solved.stages if stage.pressed for s in c.samples))
    found["bond_max"] = _rounded(pressed.highest(bond))
    for limit in (100, 120):
        found[f"bond_s_above_{limit}"] = _rounded(solved.whole.seconds_above(bond, limit))
        found[f"fabric_s_above_{limit}"] = _rounded(solved.whole.seconds_above(cloth, limit))
    return found


def _times(solved: Solved, room: float) -> dict[str, float | None]:
    cooling = solved.cooling
    cold = PROPOSED.cold(room)
    found: dict[str, float | None] = {"cold_threshold_C": cold}
    for limit in (90, 65, 50, 40):
        found[f"t_to_{limit}"] = _since(cooling, limit, solved.opened)
    found["t_cold"] = _since(cooling, cold, solved.opened)
    return found


def _since(curve: Curve, limit: float, start: float) -> float | None:
    moment = curve.falls_to(limit)
    return None if moment is None else _rounded(moment - start)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


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
    found: dict[str, dict[str, float | None]] = {}
    case: Any = None
    try:
        for case in json.loads(Path(file).read_text("utf-8"))["cases"]:
            found[case["id"]] = results(case)
    except OSError as problem:
        print(f"{file}: {problem.strerror}", file=sys.stderr)
        return 1
    except (ValueError, LookupError, TypeError, AttributeError, ArithmeticError) as problem:
        print(f"{file}: {_named(case)}{_why(problem)}", file=sys.stderr)
        return 1
    print(json.dumps(found, indent=1))
    return 0


def _named(case: Any) -> str:
    return f"case {case['id']}: " if isinstance(case, dict) and "id" in case else ""


def _why(problem: Exception) -> str:
    match problem:
        case KeyError():
            return f"there is no {problem.args[0]}"
        case json.JSONDecodeError():
            return f"this cannot be read as JSON: {problem}"
        case ValueError() | LookupError():
            return str(problem)
    return f"not in the form of heat cases: {problem}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
