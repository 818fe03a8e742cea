"""Decides, writes, then updates: the only path from a command to the log and the state."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import Message, Value, dataclass, say, surely
from kiosk.log.facts import Progress, Statement, quiet
from kiosk.log.record import recovery
from kiosk.log.record.recovery import recover
from kiosk.log.store import Damaged, Displaced, LogFault, LoggedEvent, Store, codec
from kiosk.log.store.connection import place_for
from kiosk.run.apply import Course
from kiosk.run.decide import carry_out
from kiosk.run.state import Command, Event, Now, Refusal, State
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.run.state import events_station as st

if TYPE_CHECKING:
    from kiosk.log.rescue.mend import Salvage

CHECKPOINT_EVERY = 500  # events; keeps the tail to replay at a start short
RETRY_SECONDS = 1.0  # a clock ticking 30 times a second must not retry a full disk each time


@dataclass(frozen=True, slots=True)
class Outcome:
    """Result of a command: its events, or the reason for refusing it.

    `recorded` is False while any event, of this command or an earlier one, is still unwritten.
    """

    events: tuple[Event, ...]
    refusal: Message | None
    recorded: bool


class Recorder:
    """The station's state and the log behind it. One for each open store."""

    def __init__(self, store: Store, progress: Progress = quiet, at_once: float = inf) -> None:
        self.store = store
        self._pending: list[codec.EventRow] = []
        self._facts: list[Statement] = []  # facts of the pending events
        self._tried = float("-inf")
        self.fault: LogFault | None = None
        self.kept: Store | None = None
        self._kept_of = 0
        self.taken_up: Message | None = None  # what a start did with a file kept by an earlier run
        found = recover(store, progress, at_once)
        self.rereading = found.rereading
        self.state: State = found.state
        self._deriver = found.deriver
        self._checkpoint_at = found.since + CHECKPOINT_EVERY
        if found.replayed >= CHECKPOINT_EVERY:
            self._checkpoint()

    @property
    def unrecorded(self) -> int:
        """Number of events not yet written; the screen shows NOT RECORDED while there are any."""
        return len(self._pending)

    @property
    def waiting(self) -> tuple[Event, ...]:
        """The events waiting to be written, in order."""
        return tuple(codec.decode(row) for row in self._pending)

    @property
    def last(self) -> int:
        """The number of the last event on disk."""
        return self.store.last

    @property
    def why(self) -> Value:
        """Reason nothing can be written, such as a full disk; None if unknown."""
        return None if self.fault is None else self.fault.message.values.get("why")

    @property
    def displaced(self) -> Displaced | None:
        """The fault if the log is no longer at its path; its message names the new file."""
        return self.fault if isinstance(self.fault, Displaced) else None

    def do(self, command: Command, now: Now) -> Outcome:
        """Carry out `command` at `now`: decide, write to disk, then change the state.

        If the events cannot be written the state changes anyway, they wait in order, and each later
        call retries; until then no tap begins a new garment. A switch that saw the press close
        still counts, because that heat is real.
        """
        just_tried = 0 <= now.clock - self._tried < RETRY_SECONDS
        if self._pending and not (isinstance(command, c.Tick) and just_tried):
            self._tried = now.clock
            self.retry()
        course = carry_out(self.state, command, now)
        if isinstance(course, Refusal):
            return Outcome((), course.reason, not self._pending)
        begins = isinstance(command, c.Forward) and begins_garment(course.events)
        if begins and (self._pending or not self.retry()):
            return Outcome((), say("refuse.not_recorded"), recorded=False)
        if course.events:
            self._take(course)
        return Outcome(tuple(course.events), None, not self._pending)

    def note(self, *happened: Event) -> None:
        """Write events that another room observed and no command produces."""
        if self._pending:
            self.retry()
        self._take(Course(self.state).take(happened))

    def retry(self) -> bool:
        """Try to write the waiting events; return whether all are on disk in the log itself."""
        try:
            if self._pending:
                self.store.add(self._pending, self._facts)
            else:
                self.store.must_be_in_place()
        except Displaced as fault:
            self.fault = fault
            self._keep()
            return False
        except LogFault as fault:
            self.fault = fault
            self._keep_on()
            return False
        self._pending.clear()
        self._facts.clear()
        if self.store.behind:
            self._deriver = None
        self.fault = None
        if self.kept is not None:
            self._drop_kept(self.kept)
        return True

    def read_on(self) -> None:
        """Read more of a record that is re-read in the background; call it between taps.

        Once all is read, the result becomes the state, as after a start. Raises LogFault if an
        event cannot be read; the re-reading then ends.
        """
        rereading = self.rereading
        if rereading is None or self._pending or self.state.heat is not None:
            return
        try:
            if not rereading.go_on():
                return
        except LogFault:
            self.rereading = None
            raise
        self.rereading, self.state = None, rereading.state
        if rereading.writer is not None:
            self._deriver = rereading.writer.deriver
        self._checkpoint()

    def checkpoint(self) -> None:
        """Store the current state, so that the next start has less to read."""
        if not self._pending:
            self._checkpoint()

    def keep_elsewhere(self) -> Path | None:
        """Copy the log and the waiting events to another place; return the new file.

        The next start takes them from there. None if nothing waits or there is no such place.
        """
        from kiosk.log.rescue import copies

        if self._is_kept() or not self._pending:
            return None if self.kept is None else self.kept.path
        for folder in copies.places():
            try:
                self.kept, self._kept_of = copies.keep_in(folder, self.store), 0
            except LogFault:
                continue
            if self._is_kept():
                return self.kept.path
        return None

    def _is_kept(self) -> bool:
        """Return whether a kept file has all waiting events; drop one whose stick was removed.

        Without that check an open file would be written to even if nobody could find it.
        """
        if self.kept is not None and not (surely(self.kept.path.exists) and self._keep_on()):
            self.kept.close()
            self.kept = None
        return self.kept is not None

    def close(self) -> None:
        """Write the waiting events, elsewhere if need be, store the state and close the log."""
        if self.retry():
            self._checkpoint()
        else:
            self.keep_elsewhere()
        if self.kept is not None:
            self.kept.close()
        self.store.close()

    def _keep(self) -> None:
        """Copy the log and the waiting events into a new file, then add later events to it."""
        from kiosk.log.rescue import copies

        try:
            if self.kept is None:
                self.kept, self._kept_of = copies.keep(self.store), 0
        except LogFault:
            return
        if not self._keep_on():
            return
        source, target = str(self.store.path), str(self.kept.path)
        self.fault = Displaced(say("log.kept", path=source, kept=target))

    def _keep_on(self) -> bool:
        """Write new events into the kept file; return whether it has all of them."""
        if self.kept is None:
            return False
        try:
            self.kept.add(self._pending[self._kept_of :])
        except LogFault:
            return False
        self._kept_of = len(self._pending)
        return True

    def _drop_kept(self, kept: Store) -> None:
        """Delete the kept file: the log is back at its path and has everything."""
        from kiosk.log.rescue import copies

        kept.close()
        copies.drop(self.store.path, kept.path)
        self.kept = None

    def _take(self, course: Course) -> None:
        """Write events and their facts, then update the state."""
        before, seq = self.state, self.store.head.seq + len(self._pending)
        for event, after in zip(course.events, course.states, strict=True):
            row, seq = codec.encode(event), seq + 1
            self._pending.append(row)
            if self._deriver is not None:
                entry = LoggedEvent(seq, event, row, row.sum(seq))
                self._facts += self._deriver.derive(entry, before, after)
                before = after
        self.retry()
        self.state = course.state
        checkpoint_due = self.store.last >= self._checkpoint_at
        if not self._pending and (
            checkpoint_due or any(isinstance(each, st.HandedOver) for each in course.events)
        ):
            self._checkpoint()

    def _checkpoint(self) -> None:
        """Store a checkpoint; a failure loses nothing, since the events are there."""
        self._checkpoint_at = self.store.last + CHECKPOINT_EVERY
        try:
            recovery.save_checkpoint(self.store, self.state, lifted=self.rereading is not None)
        except LogFault as fault:
            self.fault = fault


def begins_garment(events: Sequence[Event]) -> bool:
    """Whether `events` begin a garment: its first step is confirmed, or it gets heat."""
    begins = e.Closed | e.Confirmed | e.ToldPressed
    return any(isinstance(event, begins) and event.first == 0 for event in events)


def start(
    path: Path, now: Now, simulated: bool = False, progress: Progress = quiet, at_once: float = inf
) -> tuple[Recorder, Salvage | None]:
    """Open the log at `path`, mending it first if it is damaged, and recover the state.

    Events that an earlier run kept elsewhere are taken up first. `progress` is called if the facts
    of many events are derived again; beyond `at_once` events that happens in the background
    (`Recorder.read_on`). Raises Busy, WrongLog, NotALog, Newer, CannotRecord.
    """
    path = place_for(path)
    from kiosk.log.rescue.copies import take_up

    taken_up = take_up(path)
    try:
        recorder, mended = _recorder(path, simulated, progress, at_once), None
    except Damaged:
        from kiosk.log.rescue.mend import mend  # seldom needed

        mended = mend(path, now)
        recorder = _recorder(path, simulated, progress, at_once)
    recorder.taken_up = taken_up
    return recorder, mended


def _recorder(path: Path, simulated: bool, progress: Progress, at_once: float) -> Recorder:
    store = Store.open(path, simulated)
    try:
        return Recorder(store, progress, at_once)
    except BaseException:
        store.close()
        raise
