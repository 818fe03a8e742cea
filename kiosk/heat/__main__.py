"""`python -m kiosk.heat FILE` solves reference cases with this model and prints JSON.

FILE has the form of the reference cases: {"cases": [{"id", "layers", "stages", ...}]}; each case's
expected keys are printed under its id.
"""

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from kiosk.catalog.base import Notes, Unsound, read_text
from kiosk.catalog.model import PROPOSED
from kiosk.heat.case_part import CaseFault, CasePart
from kiosk.heat.curve import Curve, SolvedCurves, bond, cloth, solve
from kiosk.heat.stack import Air, Face, HeatLayer, HeatStage, HeatStory, Plate
from kiosk.words import Words
from kiosk.words.speak import fault_text


def story_of(case: CasePart) -> HeatStory:
    """Return the story of one case. Raises CaseFault if the case breaks the format."""
    layers = {name: _layer(name, part) for name, part in case["layers"].entries()}
    if not layers:
        raise case["layers"].wrong("write at least one")
    pairs = case["contacts"]
    contacts = {pair: _pair(part) for pair, part in pairs.entries()}
    contacts["default"] = _pair(pairs["default"])
    below, above = (part.text(layers) for part in case["bond"].items(2))
    return HeatStory(
        room=case["room_C"].number(*KELVIN),
        layers=layers,
        contacts=contacts,
        stages=tuple(_stage(part, layers) for part in case["stages"].items()),
        bond=(below, above),
    )


LONGEST = 86_400.0  # seconds in a stage: a day
LEAST, MOST = 1e-9, 1e9  # limits of a capacity; a resistance may be zero
KELVIN = (-273.15, 2000.0)  # °C


def _pair(part: CasePart) -> tuple[float, float]:
    pressed, opened = (each.number(0.0) for each in part.items(2))
    return pressed, opened


def _layer(name: str, data: CasePart) -> HeatLayer:
    body = (data["C"].number(LEAST), data["R_pressed"].number(0.0), data["R_open"].number(0.0))
    top, bottom = (_optional_temperature(data, key) for key in ("T_top", "T_bot"))
    if (lump := data.get("lump")) and lump.flag():
        return HeatLayer(*body, 1, 1.0, top, bottom)
    if ratio := data.get("ratio"):
        return HeatLayer(*body, 10, ratio.number(0.01, 100.0), top, bottom)
    return HeatLayer(*body, 3 if name.startswith("fab") else 2, 1.0, top, bottom)


def _optional_temperature(data: CasePart, key: str) -> float | None:
    part = data.get(key)
    return None if part is None else part.number(*KELVIN)


def _stage(data: CasePart, layers: Mapping[str, HeatLayer]) -> HeatStage:
    return HeatStage(
        data["name"].text(),
        data["duration_s"].number(0.0, LONGEST),
        tuple(part.text(layers) for part in data["stack"].items()),
        data["pressed"].flag(),
        _face(data["top"]),
        _face(data["bottom"]),
    )


def _face(data: CasePart) -> Face:
    if data["kind"].text(("contact", "air")) == "contact":
        return Plate(data["T"].number(*KELVIN), data["h"].number(0.0))
    options = {key: part.number() for key in ("v", "L", "F", "Tp") if (part := data.get(key))}
    return Air(
        temperature=data["T"].number(*KELVIN),
        free=data["c"].number(0.0),
        emissivity=data["eps"].number(0.0, 1.0),
        speed=options.get("v", 0.0),
        length=options.get("L", 0.3),
        overhead=options.get("F", 0.0),
        platen=options.get("Tp", 0.0),
    )


def results(data: Mapping[str, Any], path: str = "") -> dict[str, float | None]:
    """Return this model's values of the case's expected keys, or of all keys if none are given.

    Seconds and °C; `t_*` count from the last opening, None if never reached.
    """
    case = CasePart(data, path)
    story, expected = story_of(case), case.get("expected")
    keys = None if expected is None else [key for key, _ in expected.entries()]
    found = _maxima(solved := solve(story)) | _times(solved, story.room)
    return found if keys is None else {key: found.get(key) for key in keys}


def _maxima(solved: SolvedCurves) -> dict[str, float | None]:
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


def _times(solved: SolvedCurves, room: float) -> dict[str, float | None]:
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
    """Print the results; return 0 if done, 1 if the file has faults, 2 for wrong usage."""
    match arguments:
        case [file] if not file.startswith("-"):
            return cases(file)
    print(USAGE, file=sys.stderr)
    return 2


def cases(file: str) -> int:
    """Print the expected keys of the file's cases; return 0, or 1 if the file has faults."""
    notes, found = Notes(file), dict[str, dict[str, float | None]]()
    try:
        for part in CasePart(_read(Path(file), notes))["cases"].items():
            name = part["id"].text()
            if name in found:
                raise part.wrong(f"there is a case {name} already")
            found[name] = results(part.value, f"case {name}")
    except Unsound:
        print(fault_text(notes.faults[0], Words()), file=sys.stderr)
        return 1
    except (CaseFault, ArithmeticError) as problem:
        print(f"{file}: {problem}", file=sys.stderr)
        return 1
    print(json.dumps(found, indent=1))
    return 0


def _read(path: Path, notes: Notes) -> Any:
    text = read_text(path, notes)
    try:
        return json.loads(text, object_pairs_hook=_unique_keys, parse_int=float)
    except json.JSONDecodeError as problem:
        raise CaseFault(
            f"line {problem.lineno}: this cannot be read as JSON: {problem.msg}"
        ) from problem
    except RecursionError as problem:
        raise CaseFault("nested too deeply") from problem


def _unique_keys(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    result = dict(pairs)
    if len(result) < len(pairs):
        twice = next(key for key, _ in pairs if sum(key == other for other, _ in pairs) > 1)
        raise CaseFault(f"{twice}: is there twice")
    return result


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
