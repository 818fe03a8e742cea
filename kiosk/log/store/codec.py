"""Events and states as JSON and back, and the digest that chains each event to the previous one."""

import json
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum, EnumType
from functools import cache
from hashlib import sha256
from json import JSONEncoder
from operator import attrgetter
from types import NoneType, UnionType
from typing import Any, NamedTuple, TypeVar, get_args, get_origin, get_type_hints
from zlib import crc32

from kiosk.catalog.base import Celsius, Inches, Message, Value
from kiosk.log.store import lift
from kiosk.run.state import Event, Now, events, events_shift, events_station

T = TypeVar("T")
Read = Callable[[Any], Any]
"""Builds a value from its JSON; raises one of `_NO_VALUE`."""


class EventRow(NamedTuple):
    """An event as the log stores it; `payload` is JSON of all its fields except `at`."""

    kind: str
    version: int
    boot: str
    clock: float
    wall: float
    payload: str

    def text(self, seq: int) -> bytes:
        """Return the bytes that checksum and digest cover: the number and every column."""
        kind, version, boot, clock, wall, payload = self
        text = f"{seq}|{kind}|{version}|{boot}|{clock}|{wall}|{payload}"
        return text.encode("utf-8", "surrogateescape")

    def sum(self, seq: int) -> int:
        """Return the CRC-32 of this row under number `seq`: finds damage, not tampering."""
        return crc32(self.text(seq))


class Unreadable(ValueError):
    """JSON that no version of this program writes."""


class FromNewer(Unreadable):
    """A row with a kind, version or word that only a newer program knows."""


def kind_of(event: type[Event]) -> str:
    """Return the kind of an event: its class name in kebab-case, `ticket-called`."""
    return "-".join(_words_of(event))


def _words_of(cls: type) -> list[str]:
    return re.sub(r"(?<!^)(?=[A-Z])", " ", cls.__name__).lower().split()


KINDS: dict[str, type[Event]] = {
    kind_of(value): value
    for module in (events, events_shift, events_station)
    for value in vars(module).values()
    if isinstance(value, type) and issubclass(value, Event) and value is not Event
}
KIND_OF: dict[type[Event], str] = {event: kind for kind, event in KINDS.items()}
_WRITTEN_AS = {event: (kind, lift.version_of(kind)) for kind, event in KINDS.items()}


def encode(event: Event) -> EventRow:
    """Return the row of `event`."""
    kind: Any = type(event)
    at, payload = event.at, _writer(kind)(event)
    del payload["at"]  # stored in columns of its own
    return EventRow(*_WRITTEN_AS[kind], at.boot, at.clock, at.wall, to_json(payload))


_json = json.JSONDecoder().raw_decode  # written without surrounding spaces, so none are looked for


def decode(row: EventRow) -> Event:
    """Return the event of `row`, lifting older versions.

    Raises FromNewer for what only a newer program writes, Unreadable for anything else that is not
    an event.
    """
    return decode_some(row)


def decode_some(row: EventRow, field: str = "", wanted: Callable[[Any], bool] = bool) -> Event:
    """Return the event of `row`, keeping only the `wanted` items of its list `field` ("": all)."""
    kind, version, boot, clock, wall, text = row
    today = lift.version_of(kind)
    if kind not in KINDS or version > today:
        raise FromNewer(f"{kind} version {version}")
    try:
        payload, end = _json(text)
        if end != len(text):
            raise ValueError(f"more than an object: {text[end:]}")
        if field:
            payload[field] = [each for each in payload[field] if wanted(each)]
        if version != today:
            payload = lift.lift(kind, version, payload)
        payload["at"] = Now(boot, clock, wall)
    except (LookupError, TypeError, ValueError, RecursionError) as error:
        raise Unreadable(f"{kind}: {error!r}") from error
    return from_plain(payload, KINDS[kind])


def link(before: bytes, seq: int, row: EventRow) -> bytes:
    """Return the digest of event `seq`; `before` is the digest of the previous event."""
    return sha256(before + row.text(seq)).digest()


def summed(before: bytes, seq: int, row: EventRow) -> tuple[int, bytes]:
    """Return the checksum of a row and its digest, as `EventRow.sum` and `link` do."""
    text = row.text(seq)
    return crc32(text), sha256(before + text).digest()


def from_json(text: str, cls: type[T]) -> T:
    """Return the `cls` that `to_json` wrote. Raises Unreadable."""
    try:
        content = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise Unreadable(str(error)) from error
    return from_plain(content, cls)


class _Words(dict[Any, Any]):
    """The members of an enum by their values; an unknown value comes from a newer program."""

    def __init__(self, enum_type: type[Enum]) -> None:
        super().__init__((each.value, each) for each in enum_type)
        self._of = " ".join(_words_of(enum_type))

    def __missing__(self, word: object) -> Any:
        raise FromNewer(f"{self._of} {word}")


_NO_VALUE = (
    LookupError, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError,
)  # fmt: skip


def from_plain(content: object, cls: type[T]) -> T:
    """Return the `cls` described by parsed JSON. Raises Unreadable, FromNewer."""
    kind: Any = cls
    try:
        value: T = _reader(kind)(content)
    except FromNewer:
        raise
    except _NO_VALUE as error:
        raise Unreadable(f"{cls.__name__}: {error!r}") from error
    return value


@cache
def _reader(cls: Any) -> Read:
    """Return a reader for `cls`: optional, tuple, mapping with text keys, enum or dataclass."""
    if cls in _READ:
        return _READ[cls]
    kind, parts = get_origin(cls), get_args(cls)
    if kind is UnionType:
        (read,) = (_reader(part) for part in parts if part is not NoneType)
        return lambda value: None if value is None else read(value)
    if kind is tuple and parts[1:] == (...,):
        read = _reader(parts[0])
        return lambda value: tuple([read(each) for each in value])
    if kind is tuple:
        return _reader_of_cells(tuple, parts)
    if kind is Mapping:
        read = _reader(parts[1])
        return lambda value: {key: read(each) for key, each in value.items()}
    if is_dataclass(cls):
        return _reader_of_fields(cls)
    if issubclass(cls, tuple):  # with names
        return _reader_of_cells(cls._make, get_type_hints(cls).values())
    return _Words(cls).__getitem__


def _reader_of_cells(make: Callable[[list[Any]], Any], types: Iterable[Any]) -> Read:
    cells = [_reader(each) for each in types]
    return lambda value: make([r(each) for r, each in zip(cells, value, strict=True)])


FEW = 4  # values of a class: for so few, generating a function is not worthwhile


def _reader_of_fields(cls: Any) -> Read:
    """Return a reader for a dataclass; its fields' types are looked up at the first value."""
    readers: list[tuple[str, Read]] | None = None
    written: Read | None = None
    calls = 0

    def read(value: Any) -> Any:
        nonlocal readers, written, calls
        if readers is None:  # assigned in one step: another thread may be reading too
            hints = get_type_hints(cls)
            readers = [(each.name, _reader(hints[each.name])) for each in fields(cls) if each.init]
        calls += 1
        if calls == FEW:
            written = _written(cls, readers)
        try:
            if written is not None:
                return written(value)
            return cls(*[r(value[name]) for name, r in readers])
        except KeyError:  # missing fields get their defaults
            return cls(**{name: r(value[name]) for name, r in readers if name in value})

    return read


def _written(cls: Any, readers: list[tuple[str, Read]]) -> Any:
    """Return a generated reader for a dataclass, as fast as one written by hand."""
    cells = ", ".join(f"r{nth}(value[{name!r}])" for nth, (name, _) in enumerate(readers))
    names = {f"r{nth}": r for nth, (_, r) in enumerate(readers)}
    return eval(f"lambda value: cls({cells})", {"cls": cls, **names})


def _now(value: Any) -> Now:
    return value if isinstance(value, Now) else Now(value[0], float(value[1]), float(value[2]))


def _message(value: Any) -> Message:
    """Return a message; one known only to a newer program is shown by its id."""
    id_ = value["id"]
    return Message(id_, {key: _value(part) for key, part in value["values"].items()}, id_)


def _value(value: Any) -> Value:
    if isinstance(value, dict):
        if "celsius" in value:
            return Celsius(value["celsius"])
        return Inches(value["inches"]) if "inches" in value else _message(value)
    return tuple(_value(part) for part in value) if isinstance(value, list) else value


def _curve(value: Any) -> tuple[tuple[float, float], ...]:
    return tuple([(float(x), float(y)) for x, y in value])


_READ: dict[Any, Read] = {
    **{each: each for each in (str, int, float, bool)},
    Now: _now, Message: _message, tuple[tuple[float, float], ...]: _curve,
}  # fmt: skip
"""Types without parts or with a special reader, and curves, for speed: they have many points."""


@cache
def _writer(cls: Any) -> Callable[[Any], Any]:
    """Return a function that turns a `cls` into JSON values, leaving a dataclass's fields as is."""
    if cls in _WRITE:
        return _WRITE[cls]
    if issubclass(cls, Enum):
        return attrgetter("value")
    if issubclass(cls, Mapping):
        return dict
    hints = get_type_hints(cls)
    ends = {name: "._value_" if isinstance(hints[name], EnumType) else "" for name in hints}
    cells = ", ".join(f"{f.name!r}: value.{f.name}{ends[f.name]}" for f in fields(cls))
    written: Callable[[Any], Any] = eval(f"lambda value: {{{cells}}}")
    return written


def _to_plain(value: object) -> Any:
    kind: Any = type(value)
    return _writer(kind)(value)


_WRITE: dict[type, Callable[[Any], Any]] = {
    Now: lambda at: [at.boot, at.clock, at.wall],
    Celsius: lambda temperature: {"celsius": temperature.degrees},
    Message: lambda message: {"id": message.id, "values": message.values},
}
"""Types that are not written field by field."""

to_json = JSONEncoder(
    separators=(",", ":"), ensure_ascii=False, allow_nan=False, check_circular=False,
    default=_to_plain,
).encode  # fmt: skip
"""Returns a dataclass (a state, a plan) as JSON; equal values give equal text."""
