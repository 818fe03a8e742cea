"""Tables of fields: the key, reader and default of each are written once."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Any, Generic, NamedTuple, TypeVar

import yaml

from kiosk.catalog.base.frozen import dataclass
from kiosk.catalog.base.notes import Fault, Message, Notes, Unsound, listed, nearest_word, say
from kiosk.catalog.base.spots import NULL, Spot, ValueRead, attempt
from kiosk.catalog.base.values import in_order

T = TypeVar("T")
REQUIRED, LEFT_OUT, ITS_KEY = object(), object(), object()
"""Instead of a default: key required; use the class's own default; use the entry's key."""


class Prompt(NamedTuple):
    """How a new entry gets this key: by a question that may be left unanswered.

    If unanswered, the value is that of the first answered key in `like` (with `middle`: the
    middle of those), else `fallback` ("value for °F / value for °C"); without these the key is
    left out. Asked only if the answer at the path `only[0]` is one of `only[1:]`.
    """

    fallback: str = ""
    like: tuple[str, ...] = ()
    middle: bool = False
    only: tuple[str, ...] = ()


class Field(NamedTuple):
    """One key of a map: how its value is read, and its default if the key is missing.

    `into` names the value if its name differs from the key; several names split a tuple. A field
    with a `prompt` is one of the questions for a new entry.
    """

    key: str
    read: Callable[[Spot], object]
    default: object = REQUIRED
    into: str = ""
    prompt: Prompt | None = None


@dataclass(frozen=True, slots=True)
class Values:
    """The values read from one map, by key. An unsound value does not stop the others."""

    spot: Spot
    entries: Mapping[str, Spot]
    results: Mapping[str, ValueRead[Any]]

    def __getitem__(self, key: str) -> Any:
        """Return a value; raises Unsound if reading it failed (the fault is already noted)."""
        return self.results[key].value


@dataclass(frozen=True, slots=True)
class FieldTable(Generic[T]):
    """A reader of a map with known keys: `make` is called with the values by name.

    A check notes a fault and raises Unsound; all checks are run. With `some`, a map of
    optional keys must have at least one of them.
    """

    make: Callable[..., T]
    fields: tuple[Field, ...]
    checks: tuple[Callable[[Values], None], ...] = ()
    some: bool = False

    def __call__(self, spot: Spot) -> T:
        """Return the value at `spot`; raises Unsound, with every fault noted, if any is wrong."""
        return self._build(spot, "", {})

    def under(self, key: str, spot: Spot) -> T:
        """Return the entry at `spot`; its `key` is passed to `make` as well."""
        return self._build(spot, key, {"key": key})

    def _build(self, spot: Spot, key: str, arguments: dict[str, Any]) -> T:
        values = read_fields(spot, self.fields, key)
        if self.some and not values.entries:
            raise spot.wrong(say("catalog.asked.something"))
        sound = [_passes(check, values) for check in self.checks]
        for field in self.fields:
            if field.key in values.results:
                value, names = values[field.key], (field.into or field.key).split()
                arguments |= dict(zip(names, value if len(names) > 1 else (value,), strict=True))
        if not all(sound):
            raise Unsound
        return self.make(**arguments)


def _passes(check: Callable[[Values], None], values: Values) -> bool:
    with suppress(Unsound):  # already noted; run the other checks too
        check(values)
        return True
    return False


def read_fields(spot: Spot, fields: tuple[Field, ...], key: str = "") -> Values:
    """Return the values of the map at `spot`; unknown and missing keys are noted first.

    `key` is the map's own key, for fields that default to it. Raises Unsound if `spot` is not
    a map.
    """
    entries = spot.entries()
    note_keys(spot, entries, fields)
    results: dict[str, ValueRead[Any]] = {}
    for field in fields:
        if field.key in entries:
            results[field.key] = attempt(field.read, entries[field.key])
        elif field.default is REQUIRED:
            results[field.key] = ValueRead(None)
        elif field.default is not LEFT_OUT:
            results[field.key] = ValueRead((key if field.default is ITS_KEY else field.default,))
    return Values(spot, entries, results)


def note_keys(spot: Spot, entries: Mapping[str, Spot], fields: tuple[Field, ...]) -> None:
    """Note unknown keys, and missing keys with the values allowed for them."""
    required = {field.key: field.read for field in fields if field.default is REQUIRED}
    known = (*required, *(field.key for field in fields if field.default is not REQUIRED))
    typos = set()
    for name, entry in entries.items():
        if name not in known:
            nearest = nearest_word(name, known)
            typos.add(nearest)
            half = name[:1].isdigit() and getattr(entry.node, "value", None) == ""  # from 16,5 s
            entry.notes.add(
                say("catalog.key.half" if half else "catalog.key.unknown"), line=entry.line,
                key=entry.key, allowed="" if half else listed(known), nearest=nearest,
            )  # fmt: skip
    for name, read in required.items():  # a misspelled key is one fault, not two
        if name not in entries and name not in typos:
            allowed = "" if spot.notes.trial else allowed_by(read)
            key = f"{spot.key}.{name}".lstrip(".")
            spot.notes.add(say("catalog.key.missing"), line=spot.line, key=key, allowed=allowed)


def rising(*keys: str) -> Callable[[Values], None]:
    """Return a check that the values of those `keys` that are present do not decrease."""

    def check(values: Values) -> None:
        in_order(values.spot, *((key, values[key]) for key in keys if key in values.results))

    return check


def checked(read_one: Callable[[Spot], T], check: Callable[[Spot, T], None]) -> Callable[[Spot], T]:
    """Return a reader that reads with `read_one` and then passes the value to `check`."""

    def read(spot: Spot) -> T:
        found = read_one(spot)
        check(spot, found)
        return found

    return read


def in_turn(**values: Any) -> tuple[Any, ...]:
    """Return the values of a table as a tuple, in the table's order."""
    return tuple(values.values())


TRIAL = "?"  # not a value of any field, but a valid text
_WORD = "tag:yaml.org,2002:str"
_MAP, _LIST = "tag:yaml.org,2002:map", "tag:yaml.org,2002:seq"
_NOWHERE = yaml.Mark("", 0, 0, 0, None, 0)


def allowed_by(read: Callable[[Spot], object]) -> str | Message:
    """Return what `read` accepts, found by trying it on sample nodes and reading its faults.

    A map is written `{low: …, high: …}`, a list `[…]`, a map with keys of the shop's choice
    `{NAME: …}`.
    """
    text = yaml.ScalarNode(_WORD, TRIAL, _NOWHERE)
    empty = yaml.MappingNode(_MAP, [], _NOWHERE)
    name = yaml.ScalarNode(_WORD, "NAME", _NOWHERE)
    shapes: tuple[tuple[str, yaml.Node], ...] = (
        ("{}", text),
        ("{}", empty),
        ("[{}]", yaml.SequenceNode(_LIST, [text], _NOWHERE)),
        ("[{}]", yaml.SequenceNode(_LIST, [empty], _NOWHERE)),
        ("{{NAME: {}}}", yaml.MappingNode(_MAP, [(name, empty)], _NOWHERE)),
    )
    found = next((each for shape, node in shapes if (each := _accepted(read, shape, node))), None)
    if found is None:
        faults = _trial(read, text)
        found = faults[0].problem if faults else say("catalog.like.text")
    takes_null = not _trial(read, yaml.ScalarNode(NULL, "null", _NOWHERE))
    return say("catalog.like.or_null", allowed=found) if takes_null else found


def _accepted(read: Callable[[Spot], object], shape: str, node: yaml.Node) -> str | Message | None:
    faults = _trial(read, node)
    stated = next((fault.allowed for fault in faults if fault.allowed), None)
    if stated is not None:
        return shape.format(stated) if isinstance(stated, str) else stated
    keys = [f.key.split(".")[-1] for f in faults if f.problem.id == "catalog.key.missing"]
    return shape.format("{" + ", ".join(f"{key}: …" for key in keys) + "}") if keys else None


def _trial(read: Callable[[Spot], object], node: yaml.Node) -> tuple[Fault, ...]:
    notes = Notes("", trial=True)
    attempt(read, Spot(notes, node, "", 0))
    return notes.faults
