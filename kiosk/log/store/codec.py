"""Events and states as JSON and back, and the digest that chains each event to the one before."""

import json
import re
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import fields, is_dataclass
from enum import IntEnum
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple, TypeVar, get_args, get_origin
from zlib import crc32

import cattrs
from cattrs.gen import make_dict_unstructure_fn, override

from kiosk.catalog.base import Celsius, Inches, Message, Value, say
from kiosk.log.store import lift
from kiosk.log.store.errors import Damaged, Newer
from kiosk.run.state import Event, Now, events, events_shift, events_station

T = TypeVar("T")
_CURVE = tuple[tuple[float, float], ...]


class Row(NamedTuple):
    """An event as the log keeps it; `payload` is JSON of all its fields but `at`."""

    kind: str
    version: int
    boot: str
    clock: float
    wall: float
    payload: str

    def text(self, seq: int) -> bytes:
        """Return what checksum and digest cover: the number and every column."""
        return f"{seq}|{'|'.join(map(str, self))}".encode("utf-8", "surrogateescape")

    def sum(self, seq: int) -> int:
        """Return the checksum of this row under number `seq` (CRC-32): finds rot, not malice."""
        return crc32(self.text(seq))


def first_bad(rows: Iterable[tuple[Any, ...]]) -> int | None:
    """Return the number of the first row that is not what its sum says; None where all are.

    Texts are bytes, the sum is the last cell. In one loop: a report asks it of every event.
    """
    seq = 0
    try:
        for seq, kind, version, boot, clock, wall, payload, total in rows:
            row = b"%d|%b|%d|%b|%a|%a|%b" % (seq, kind, version, boot, clock, wall, payload)
            if crc32(row) != total:
                return int(seq)
    except TypeError:  # a cell of another kind
        return seq
    return None


class Unreadable(ValueError):
    """A row that is not what any version of this program writes."""


class FromNewer(ValueError):
    """A row of a kind or version that only a newer program knows."""


def kind_of(event: type[Event]) -> str:
    """Return the kind of an event: its class name in kebab-case, `ticket-called`."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", event.__name__).lower()


KINDS: dict[str, type[Event]] = {
    kind_of(value): value
    for module in (events, events_shift, events_station)
    for value in vars(module).values()
    if isinstance(value, type) and issubclass(value, Event) and value is not Event
}
KIND_OF: dict[type[Event], str] = {event: kind for kind, event in KINDS.items()}
_WRITTEN_AS = {event: (kind, lift.version_of(kind)) for kind, event in KINDS.items()}


def encode(event: Event) -> Row:
    """Return the row of `event`."""
    at, payload = event.at, _json(_converter().unstructure(event))
    return Row(*_WRITTEN_AS[type(event)], at.boot, at.clock, at.wall, payload)


def decode(row: Row) -> Event:
    """Return the event of `row`, older versions lifted.

    Raises FromNewer for what only a newer program writes, Unreadable for anything else
    that is not an event.
    """
    return decode_without(row)


def decode_without(row: Row, field: str = "") -> Event:
    """Return the event of `row` with an empty list in the place of one that may be long."""
    if row.kind not in KINDS or row.version > lift.version_of(row.kind):
        raise FromNewer(f"{row.kind} version {row.version}")
    try:
        payload = json.loads(row.payload)
        if field:
            payload[field] = []
        payload = lift.lift(row.kind, row.version, payload)
        payload["at"] = Now(row.boot, row.clock, row.wall)
    except (LookupError, TypeError, ValueError, RecursionError) as error:
        raise Unreadable(f"{row.kind}: {error!r}") from error
    return from_plain(payload, KINDS[row.kind])


def to_json(value: object) -> str:
    """Return a dataclass (a state, a plan) as JSON; two equal values give one text."""
    return _json(_converter().unstructure(value))


def from_json(text: str, cls: type[T]) -> T:
    """Return the `cls` that `to_json` wrote. Raises Unreadable."""
    try:
        content = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise Unreadable(str(error)) from error
    return from_plain(content, cls)


def from_plain(content: object, cls: type[T]) -> T:
    """Return the `cls` that JSON was read to. Raises Unreadable."""
    try:
        return _converter().structure(content, cls)
    except _NO_VALUE as error:
        raise Unreadable(f"{cls.__name__}: {error!r}") from error


def _json(content: object) -> str:
    return json.dumps(content, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


_NO_VALUE = (
    LookupError, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError,
    cattrs.BaseValidationError,
)  # fmt: skip


@lru_cache(maxsize=1)
def _converter() -> cattrs.Converter:
    converter = cattrs.Converter(detailed_validation=False)
    converter.register_unstructure_hook(Now, lambda at: [at.boot, at.clock, at.wall])
    converter.register_structure_hook(Now, _now)
    converter.register_structure_hook(Message, _message)
    converter.register_unstructure_hook(Message, _plain)
    converter.register_structure_hook_func(  # as the key of a JSON object it is text
        lambda cls: isinstance(cls, type) and issubclass(cls, IntEnum),
        lambda value, cls: cls(int(value)),
    )
    converter.register_unstructure_hook_factory(  # `at` has columns of its own
        KIND_OF.__contains__,
        lambda event: make_dict_unstructure_fn(event, converter, at=override(omit=True)),
    )
    converter.register_structure_hook_factory(_is_row, lambda cls: _in_a_row(converter, cls))
    converter.register_structure_hook_func(
        lambda cls: cls == _CURVE, lambda value, _: tuple([(float(x), float(y)) for x, y in value])
    )
    converter.register_structure_hook_factory(is_dataclass, lambda cls: _read_as(converter, cls))
    return converter


FEW = 4  # values of a class: to read so few is quicker than to have a function written for it


def _read_as(converter: cattrs.Converter, cls: Any) -> Callable[[Any, Any], Any]:
    """One by one at first, then by the function that cattrs writes: a start reads few of most.

    What has types as text, or fields that are not given, is written at once.
    """
    if any(isinstance(each.type, str) or not each.init for each in fields(cls)):
        return converter.gen_structure_attrs_fromdict(cls)
    calls, written = 0, None

    def structure(value: Any, _: Any) -> Any:
        nonlocal calls, written
        if written is None:
            calls += 1
            if calls < FEW:
                return converter.structure_attrs_fromdict(value, cls)
            written = converter.gen_structure_attrs_fromdict(cls)
        return written(value, cls)

    return structure


def _is_row(cls: Any) -> bool:
    return get_origin(cls) is tuple and get_args(cls)[1:] == (...,)


def _in_a_row(converter: cattrs.Converter, cls: Any) -> Callable[[Any, Any], tuple[Any, ...]]:
    """The hook of what is in the row is looked up once; a curve has a hundred points."""
    part, _ = get_args(cls)
    hook = converter.get_structure_hook(part)
    return lambda value, _: tuple([hook(each, part) for each in value])


def _now(value: Any, _: type[Now]) -> Now:
    return value if isinstance(value, Now) else Now(value[0], float(value[1]), float(value[2]))


def _message(value: Any, _: type[Message]) -> Message:
    return Message(value["id"], {key: _value(part) for key, part in value["values"].items()})


def _value(value: Any) -> Value:
    if isinstance(value, dict):
        if "celsius" in value:
            return Celsius(value["celsius"])
        return Inches(value["inches"]) if "inches" in value else _message(value, Message)
    return tuple(_value(part) for part in value) if isinstance(value, list) else value


def _plain(value: Value) -> Any:
    if isinstance(value, Message):
        return {"id": value.id, "values": {k: _plain(part) for k, part in value.values.items()}}
    if isinstance(value, Inches):
        return {"inches": value.inches}
    if isinstance(value, Celsius):
        return {"celsius": value.degrees}
    return [_plain(part) for part in value] if isinstance(value, tuple) else value


def link(before: bytes, seq: int, row: Row) -> bytes:
    """Return the digest of the event `seq`, where `before` is that of the event before it."""
    return sha256(before + row.text(seq)).digest()


def summed(before: bytes, seq: int, row: Row) -> tuple[int, bytes]:
    """Return the checksum of a row and its digest, as `Row.sum` and `link` do."""
    text = row.text(seq)
    return crc32(text), sha256(before + text).digest()


class Recorded(NamedTuple):
    """An event with its number in the log."""

    seq: int
    event: Event


class Stored(NamedTuple):
    """An event as its row stands in the file, unchecked."""

    seq: int
    row: Row
    sum: int
    digest: bytes

    @property
    def whole(self) -> bool:
        """Whether the row is what was written under its number."""
        return self.row.sum(self.seq) == self.sum

    def follows(self, before: bytes) -> bool:
        """Whether the digest covers this row and that digest of the event before it."""
        return link(before, self.seq, self.row) == self.digest


class Told(NamedTuple):
    """An event with its number, its row and the checksum of that."""

    seq: int
    event: Event
    row: Row
    sum: int


def readable(path: Path, stored: Stored) -> Told | None:
    """Return the event of a row, None where it cannot be read. Raises Newer."""
    seq, row, total, _ = stored
    with suppress(Damaged):
        return Told(seq, event_of(path, seq, row, total), row, total)
    return None


def event_of(path: Path, seq: int, row: Row, total: int) -> Event:
    """Return the event of a row whose checksum is `total`. Raises Damaged, Newer."""
    if row.sum(seq) != total:
        raise Damaged(say("log.rotten", path=str(path), seq=seq))
    return decoded(path, seq, row)


def decoded(path: Path, seq: int, row: Row) -> Event:
    """Return the event of a row whose checksum was found right. Raises Damaged, Newer."""
    try:
        return decode(row)
    except FromNewer as error:
        raise Newer(say("log.newer", path=str(path), found=str(error))) from error
    except Unreadable as error:
        raise Damaged(say("log.rotten", path=str(path), seq=seq)) from error
