"""Events and states as JSON and back, by the types of their fields."""

from __future__ import annotations

import json
import re
from dataclasses import fields
from enum import IntEnum
from functools import lru_cache
from typing import Any, NamedTuple, TypeVar
from zlib import crc32

import cattrs
from cattrs.gen import make_dict_unstructure_fn, override

from kiosk.catalog.base import Celsius, Inches, Message, Value
from kiosk.log.store import lift
from kiosk.run.state import Event, Now, events, events_practice, events_shift, events_trial
from kiosk.run.state import events_shift as events_cues

T = TypeVar("T")


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


class Unreadable(ValueError):
    """A row that is not what any version of this program writes."""


class FromNewer(ValueError):
    """A row of a kind or version that only a newer program knows."""


def kind_of(event: type[Event]) -> str:
    """Return the kind of an event: its class name in kebab-case, `ticket-called`."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", event.__name__).lower()


KINDS: dict[str, type[Event]] = {
    kind_of(value): value
    for module in (events, events_cues, events_practice, events_shift, events_trial)
    for value in vars(module).values()
    if isinstance(value, type) and issubclass(value, Event) and value is not Event
}
_KIND = {event: kind for kind, event in KINDS.items()}


def encode(event: Event) -> Row:
    """Return the row of `event`."""
    kind, at = _KIND[type(event)], event.at
    payload = _json(_converter().unstructure(event))
    return Row(kind, lift.version_of(kind), at.boot, at.clock, at.wall, payload)


def decode(row: Row) -> Event:
    """Return the event of `row`, older versions lifted.

    Raises FromNewer for what only a newer program writes, Unreadable for anything else
    that is not an event.
    """
    if row.kind not in KINDS or row.version > lift.version_of(row.kind):
        raise FromNewer(f"{row.kind} version {row.version}")
    try:
        payload = lift.lift(row.kind, row.version, json.loads(row.payload))
        payload["at"] = Now(row.boot, row.clock, row.wall)
    except (LookupError, TypeError, ValueError, RecursionError) as error:
        raise Unreadable(f"{row.kind}: {error!r}") from error
    return _structure(payload, KINDS[row.kind])


def to_json(value: object) -> str:
    """Return a dataclass (a state, a plan) as JSON; two equal values give one text."""
    return _json(_converter().unstructure(value))


def from_json(text: str, cls: type[T]) -> T:
    """Return the `cls` that `to_json` wrote. Raises Unreadable."""
    try:
        content = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise Unreadable(str(error)) from error
    return _structure(content, cls)


def _json(content: object) -> str:
    return json.dumps(content, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


_NO_VALUE = (
    LookupError, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError,
    cattrs.BaseValidationError,
)  # fmt: skip


def _structure(content: Any, cls: type[T]) -> T:
    try:
        return _converter().structure(content, cls)
    except _NO_VALUE as error:
        raise Unreadable(f"{cls.__name__}: {error!r}") from error


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
    for event in KINDS.values():  # `at` has columns of its own
        hook = make_dict_unstructure_fn(event, converter, at=override(omit=True))
        converter.register_unstructure_hook(event, hook)
    return converter


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


def field_names(event: type[Event]) -> tuple[str, ...]:
    """Return the names of an event's own fields, `at` left out."""
    return tuple(field.name for field in fields(event) if field.name != "at")
