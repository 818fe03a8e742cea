"""A plan in brief, as sent to the other stations of an order, and how two briefs differ."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from kiosk.catalog.base import Degrees, Message, Pressure, Value, say
from kiosk.catalog.model import (
    ALL_GUESSED,
    Catalog,
    Fabric,
    Job,
    Material,
    Peel,
    Policy,
    materials_of,
)
from kiosk.plan.fingerprint import digest_of, plain, pressing_fingerprint
from kiosk.plan.model import HOT_PHASES, Phase, Plan, Step
from kiosk.plan.phrases import element_words, panel_word
from kiosk.plan.sizes import rooms_of

FORM = "1"
"""Raised when the same files give other digests or another plan, or the brief's layout changes."""

Brief = Mapping[str, Any]
"""A plan as sent to another station, as JSON; it contains no names of people."""


def file_digests(job: Job, catalog: Catalog) -> dict[str, str]:
    """Return, by file, the digest of what a plan takes from it, leaving out press and titles."""
    recipe = catalog.recipes[job.recipe]
    panels = [panel.name for panel in recipe.panels]
    parts = {
        "job.yaml": [job.recipe, job.fabric, job.sport, dict(job.colours)],
        f"{job.recipe}.yaml": recipe.panels,
        "materials.yaml": [_sheet(catalog.materials[key]) for key in sorted(materials_of(recipe))],
        "fabrics.yaml": _cloth(catalog.fabrics[job.fabric]),
        "shop.yaml": _policy(catalog.policy),
        "placement.yaml": rooms_of(catalog.sports, job.sport, panels),
    }
    return {file: f"{FORM}:{digest_of(plain(part))}" for file, part in parts.items()}


def _sheet(material: Material) -> Material:
    """The material without fields that change no plan: a trial may note a number's source."""
    return replace(material, title="", source=ALL_GUESSED, colour=None, letters=None)


def _cloth(fabric: Fabric) -> Fabric:
    return replace(fabric, title="", source=ALL_GUESSED)


def _policy(policy: Policy) -> list[bool | int]:
    """The policies that affect settings and steps; the others only prompt people."""
    return [
        policy.keep_setting,
        policy.staged_peel,
        policy.max_closings,
        policy.guard_fabric,
        policy.bare_tack,
    ]


def brief_of(plan: Plan, files: Iterable[tuple[str, str]]) -> dict[str, Any]:
    """Return the brief of a plan for other stations; `files` are file names with their digests."""
    title_of = plan.sources.title_of
    steps = [(each.panel, step) for each in plan.passes for step in each.steps]
    return {
        "pressed": pressing_fingerprint(plan),
        "files": dict(files),
        "closings": [
            [panel, step.phase.value, _setting(plan, step)]
            for panel, step in steps
            if step.phase in HOT_PHASES
        ],
        "steps": [[panel, step.phase.value] for panel, step in steps],
        "peels": [
            [panel, step.phase.value, [step.peel.word]]
            for panel, step in steps
            if step.phase is Phase.PEEL and step.peel is not None
        ],
        "pieces": [[p.panel, p.name, f"{title_of(p.material)}, {p.colour}"] for p in plan.pieces],
    }


def _setting(plan: Plan, step: Step) -> list[Any]:
    ends = (step.pressure_low, step.pressure_high)
    pressures = dict.fromkeys(each.word for each in ends if each is not None)
    return [step.temperature, plan.unit.value, step.seconds, *pressures]


def forms(brief: Brief) -> set[str]:
    """Return the forms that a brief is written in, as its file digests state; usually one."""
    return {digest.partition(":")[0] for digest in brief["files"].values()}


def is_brief(value: Any) -> bool:
    """Return whether `value` is a readable brief: a server may hold anything.

    A brief in another form passes if it can be compared: its other fields are unknown here.
    """
    match value:
        case {"pressed": str(), "files": dict() as files} if _are_texts(files.values()):
            return forms({"files": files}) != {FORM} or all(
                isinstance(value.get(key), list) and all(map(fits, value[key]))
                for key, fits in FITS.items()
            )
    return False


def _are_texts(values: Iterable[object]) -> bool:
    return all(isinstance(value, str) for value in values)


def _is_step(row: object) -> bool:
    match row:
        case [str(), str(phase)]:
            return phase in PHASES
    return False


def _is_closing(row: object) -> bool:
    match row:
        case [panel, phase, [int(), str(unit), int(), *pressures]] if _are_texts(pressures):
            valid = unit in UNITS and len(pressures) <= 2 and PRESSURES.issuperset(pressures)
            return valid and _is_step([panel, phase])
    return False


def _is_peel(row: object) -> bool:
    match row:
        case [panel, phase, [str(peel)]]:
            return peel in PEELS and _is_step([panel, phase])
    return False


def _is_piece(row: object) -> bool:
    return isinstance(row, list) and len(row) == 3 and _are_texts(row)


PHASES = frozenset(phase.value for phase in Phase)
UNITS = frozenset(unit.value for unit in Degrees)
PEELS = frozenset(peel.word for peel in Peel)
PRESSURES = frozenset(pressure.word for pressure in Pressure)
FITS = {"closings": _is_closing, "peels": _is_peel, "pieces": _is_piece, "steps": _is_step}


def differences(theirs: Brief, ours: Brief, station: Value) -> tuple[Message, ...]:
    """Return how two unequal plans differ; `theirs` is the plan at `station` (or several).

    Press settings come first; the files come last and show where to look.
    """
    found = (
        *_changed_entries(theirs, ours, "closings", "plan.apart.closing", station),
        *_changed_entries(theirs, ours, "peels", "plan.apart.peel", station),
        *_changed_entries(theirs, ours, "pieces", "plan.apart.piece", station),
        *_steps(theirs, ours, station),
    )
    their_files, our_files = theirs["files"], ours["files"]
    names = tuple(
        sorted(f for f in {**their_files, **our_files} if their_files.get(f) != our_files.get(f))
    )
    return (*dict.fromkeys(found), say("plan.apart.files", files=names))


def _changed_entries(
    theirs: Brief, ours: Brief, key: str, sentence: str, station: Value
) -> Iterator[Message]:
    """Yield the entries that both have with different values, one message for panels alike."""
    their_values, our_values = _numbered(theirs[key]), _numbered(ours[key])
    alike: dict[tuple[str, int, tuple[Value, Value]], list[str]] = {}
    for (panel, name, nth), value in our_values.items():
        other = their_values.get((panel, name, nth), value)
        if other != value:
            alike.setdefault((name, nth, _pair_in_words(other, value)), []).append(panel)
    for (name, _, pair), panels in reversed(alike.items()):  # the final before the tacks
        words = {VALUE_NAMES[key]: _entry_word(key, name), "station": station}
        panel_words = tuple(map(panel_word, panels))
        yield say(sentence, panel=panel_words, theirs=pair[0], ours=pair[1], **words)


def _numbered(rows: list[list[Any]]) -> dict[tuple[str, str, int], Any]:
    """Return each value by panel, name and a count that tells repeats in one panel apart."""
    found: dict[tuple[str, str, int], Any] = {}
    repeats: Counter[tuple[str, str]] = Counter()
    for panel, name, value in rows:
        found[panel, name, repeats[panel, name]] = value
        repeats[panel, name] += 1
    return found


VALUE_NAMES = {"closings": "closes", "peels": "closes", "pieces": "element"}


def _entry_word(key: str, name: str) -> Value:
    return element_words((name,))[0] if key == "pieces" else say(f"phase.{name}")


def _pair_in_words(theirs: Any, ours: Any) -> tuple[Value, Value]:
    """Return two settings, peels or films in people's words, leaving out what is equal."""
    if isinstance(ours, str):
        return theirs, ours
    if len(ours) == 1:
        return say(f"peel.{theirs[0]}"), say(f"peel.{ours[0]}")
    pressures_differ = theirs[3:] != ours[3:]
    return _setting_words(*theirs, pressure_shown=pressures_differ), _setting_words(
        *ours, pressure_shown=pressures_differ
    )


def _setting_words(
    temperature: int, unit: str, seconds: int, *pressures: str, pressure_shown: bool
) -> Message:
    """Return a setting, with its pressure if `pressure_shown`."""
    setting: dict[str, Value] = {"temperature": temperature, "unit": unit, "seconds": seconds}
    ends = [say(f"pressure.{each}") for each in pressures]
    if not pressure_shown or not ends:
        return say("plan.setting", **setting)
    pressure = ends[0] if len(ends) < 2 else say("pressure.range", low=ends[0], high=ends[1])
    return say("plan.setting_whole", **setting, pressure=pressure)


def _steps(theirs: Brief, ours: Brief, station: Value) -> Iterator[Message]:
    """Yield which steps only one plan has, or that their order differs."""
    their_steps, our_steps = (Counter(map(tuple, each["steps"])) for each in (theirs, ours))
    for extra, sentence in ((their_steps - our_steps, "there"), (our_steps - their_steps, "here")):
        phases = tuple(dict.fromkeys(say(f"phase.{phase}") for _, phase in extra))
        if phases:
            yield say(f"plan.apart.steps_{sentence}", phases=phases, station=station)
    if their_steps == our_steps and theirs["steps"] != ours["steps"]:
        yield say("plan.apart.order", station=station)
