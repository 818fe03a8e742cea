"""Checks a whole log: the file, the chain, a replay, and what is stored beside the events."""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from pathlib import Path

from kiosk.catalog.base import Message, dataclass, say
from kiosk.log.facts import FactDeriver, Statement, differing, facts_mark, fold, statements
from kiosk.log.record import recovery
from kiosk.log.rescue.walk import LogWalk
from kiosk.log.store import Damaged, LogHead, Store, in_one_line
from kiosk.run.state import State


@dataclass(frozen=True, slots=True)
class Verdict:
    """Result of a check: number of readable events, number of the last one, and the faults.

    `pressed_twice` counts the tickets with a second final that no supervisor approved; `head` is
    the last event's digest, `station` the id of the log (None and "" if the file is too damaged to
    read them). `bad` are the numbers of unreadable events.
    """

    events: int
    last: int
    pressed_twice: int
    faults: tuple[Message, ...] = ()
    bad: tuple[int, ...] = ()
    station: str = ""
    head: LogHead | None = None

    @property
    def ok(self) -> bool:
        """Whether the log is undamaged."""
        return not self.faults

    def as_json(self) -> dict[str, bool | int | str | list[int]]:
        """Return the verdict as JSON values for programs."""
        return {
            "ok": self.ok,
            "events": self.events,
            "last": self.last,
            "pressed_twice": self.pressed_twice,
            "bad": list(self.bad),
            "station": self.station,
            "head": "" if self.head is None else self.head.full,
        }


def verify(
    path: Path, expected: Sequence[LogHead] = (), older: Callable[[Message], None] | None = None
) -> Verdict:
    """Check the log at `path`, even while a station uses it, against the `expected` heads.

    These are heads printed by a report, a hand-over or a copy. `older` as for `Store.read_only`.
    Raises NotALog, Newer, or CannotRecord if it cannot be opened at all; damage is part of the
    verdict.
    """
    try:
        with Store.read_only(path, older) as store, store.reading():
            return _verdict(store, expected)
    except Damaged as damage:
        walk = LogWalk(path)
        for _ in walk.by_page():
            pass
        return _verdict_of(walk, [damage.message, *walk.faults()])


def _verdict(store: Store, expected: Sequence[LogHead]) -> Verdict:
    walk, faults = LogWalk(store.path), list(_file_faults(store))
    try:
        stored = _replay_faults(store, walk)
    except Damaged as damage:
        faults.append(damage.message)
        for _ in walk.by_page():
            pass
        stored = []
    faults += [*walk.faults(), *stored, *_printed_faults(store, expected)]
    return _verdict_of(walk, faults, store)


def _verdict_of(walk: LogWalk, faults: Sequence[Message], store: Store | None = None) -> Verdict:
    return Verdict(
        walk.events,
        walk.last,
        len(walk.finals.unasked),
        tuple(faults),
        tuple(walk.bad),
        "" if store is None else store.station,
        store.head if store is not None and store.station else None,
    )


def _file_faults(store: Store) -> Iterator[Message]:
    for (found,) in store.rows("PRAGMA integrity_check"):
        if found != "ok":
            yield say("log.fault.file", found=in_one_line(found))


def _replay_faults(store: Store, walk: LogWalk) -> list[Message]:
    """Replay all readable events; compare with the checkpoint and with the facts.

    If some are unreadable nothing is compared, as the stored state and facts include them.
    """
    checkpoint, faults = _valid_checkpoint(store)
    seq = 0 if checkpoint is None else checkpoint[0]
    with closing(sqlite3.connect("")) as scratch:  # "" is a temporary file, deleted when closed
        scratch.executescript(";".join(op.sql for op in statements("main")))
        deriver = FactDeriver()

        def put_down(ops: list[Statement]) -> None:
            for op in ops:
                scratch.execute(*op)

        state = fold(State(), walk.good(store, last=seq), deriver, put_down)
        if checkpoint is not None and not walk.holes and state != checkpoint[1]:
            faults.append(say("log.fault.checkpoint", seq=seq))
        fold(state, walk.good(store, seq + 1), deriver, put_down)
        mark = facts_mark(store)
        if mark is not None and mark.seq >= store.last and not walk.holes:
            table = differing(store, scratch)
            if table is not None:
                faults.append(say("log.fault.facts", table=table))
    return faults


def _valid_checkpoint(store: Store) -> tuple[tuple[int, State] | None, list[Message]]:
    """Return the checkpoint if it is valid, and the faults found in it."""
    stored = store.checkpoint()
    try:
        checkpoint = recovery.load_checkpoint(store)
    except Damaged as damage:  # it refers to events that are gone
        return None, [damage.message]
    if checkpoint is None and stored is not None and stored.code == recovery.code_version():
        return None, [say("log.fault.checkpoint", seq=stored.seq)]
    return checkpoint, []


def _printed_faults(store: Store, expected: Sequence[LogHead]) -> Iterator[Message]:
    """Compare the log with the heads that a person wrote down."""
    for written in expected:
        found = store.head_at(written.seq)
        if found is None:
            yield say("log.fault.cut", seq=written.seq, last=store.last)
        elif not found.is_as(written):
            yield say("log.fault.other", seq=written.seq, found=found.short)
