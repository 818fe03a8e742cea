"""Checks a whole log: the file, the numbers, a replay, and what was stored beside the events."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kiosk.catalog.message import Message, say
from kiosk.log import checkpoints
from kiosk.log.errors import Damaged
from kiosk.log.examine import in_one_line
from kiosk.log.finals import Finals
from kiosk.log.recovery import fold
from kiosk.log.store import Recorded, Store
from kiosk.log.tickets import Key
from kiosk.run.model import State


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a check found: `events` readable ones, the number of the last, what is wrong.

    `pressed_twice` counts the tickets with a second final that no supervisor asked for.
    """

    events: int
    last: int
    pressed_twice: int
    faults: tuple[Message, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether the log is whole."""
        return not self.faults

    def as_json(self) -> dict[str, bool | int]:
        """Return the four facts that programs read."""
        return {
            "ok": self.ok,
            "events": self.events,
            "last": self.last,
            "pressed_twice": self.pressed_twice,
        }


def verify(path: Path) -> Verdict:
    """Check the log at `path`, also while a station works on it.

    Raises NotALog, Newer, or CannotRecord where it cannot be opened at all; damage is part
    of the verdict.
    """
    try:
        with Store.read_only(path) as store, store.reading():
            return _verdict(store)
    except Damaged as damage:
        return Verdict(0, 0, 0, (damage.message,))


def _verdict(store: Store) -> Verdict:
    count = _Count()
    faults: list[Message] = []
    try:
        faults += _file_faults(store)
        faults += _replay_faults(store, count)
    except Damaged as damage:
        faults.append(damage.message)
    if count.events != count.last:
        faults.append(say("log.fault.gap", events=count.events, last=count.last))
    return Verdict(count.events, count.last, len(count.finals.unasked), tuple(faults))


class _Count:
    """Counts what goes by."""

    def __init__(self) -> None:
        self.events = 0
        self.last = 0
        self.finals = Finals()

    def watching(self, events: Iterator[Recorded]) -> Iterator[Recorded]:
        for recorded in events:
            self.events += 1
            self.last = recorded.seq
            self.finals.note(recorded.event)
            yield recorded


def _file_faults(store: Store) -> Iterator[Message]:
    for (found,) in store.rows("PRAGMA integrity_check"):
        if found != "ok":
            yield say("log.fault.file", found=in_one_line(found))


def _replay_faults(store: Store, count: _Count) -> list[Message]:
    """Replay all events; at the checkpoint's number compare with what is stored."""
    stored, kept = store.checkpoint(), checkpoints.load(store)
    at = 0 if kept is None else kept[0]
    state, tail = fold(State(), count.watching(store.events(last=at)))
    faults = []
    if kept is None and stored is not None and stored.code == checkpoints.code_version():
        faults.append(say("log.fault.checkpoint", seq=stored.seq))
    if kept is not None and state != kept[1]:
        faults.append(say("log.fault.checkpoint", seq=at))
    if kept is not None and set(tail.rows(state, _none)) != set(checkpoints.stored_rows(store)):
        faults.append(say("log.fault.tickets", seq=at))
    fold(state, count.watching(store.events(at + 1)))
    return faults


def _none(_: Key) -> None:
    return None
