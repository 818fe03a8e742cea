"""Asks, writes, then shows: the one way from a command to the log and the state."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import Message, Value, dataclass, say, surely
from kiosk.log.facts import Op, Progress, quiet
from kiosk.log.record import recovery
from kiosk.log.record.recovery import recover
from kiosk.log.store import Damaged, Displaced, LogFault, Store, Told, codec
from kiosk.log.store.connection import place_for
from kiosk.run.apply import Course
from kiosk.run.decide import carry_out
from kiosk.run.state import Command, Event, Now, Refusal, State
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.run.state import events_station as st

if TYPE_CHECKING:
    from kiosk.log.rescue.mend import Mended

CHECKPOINT_EVERY = 500  # events; the tail to replay at a start is never longer by much
RETRY_SECONDS = 1.0  # a clock that ticks thirty times a second does not ask a full disk each time


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a command came to: its events, or the reason why not.

    `recorded` is False as long as any event, of this command or an earlier one, waits to be
    written.
    """

    events: tuple[Event, ...]
    refusal: Message | None
    recorded: bool


class Recorder:
    """The station's state with its log under it. One for each open store."""

    def __init__(self, store: Store, progress: Progress = quiet, at_once: float = inf) -> None:
        self.store = store
        self._pending: list[codec.Row] = []
        self._facts: list[Op] = []  # what the pending events made true
        self._tried = float("-inf")
        self.fault: LogFault | None = None
        self.kept: Store | None = None
        self._kept_of = 0
        self.taken_up: Message | None = None  # what a start did with a file kept by an earlier run
        found = recover(store, progress, at_once)
        self.anew = found.anew
        self.state: State = found.state
        self._teller = found.teller
        self._checkpoint_at = found.since + CHECKPOINT_EVERY
        if found.replayed >= CHECKPOINT_EVERY:
            self._checkpoint()

    @property
    def unrecorded(self) -> int:
        """How many events wait to be written; the screen says NOT RECORDED while there are any."""
        return len(self._pending)

    @property
    def waiting(self) -> tuple[Event, ...]:
        """The events that wait to be written, in order."""
        return tuple(codec.decode(row) for row in self._pending)

    @property
    def last(self) -> int:
        """The number of the last event on disk."""
        return self.store.last

    @property
    def why(self) -> Value:
        """Why nothing can be written, as the system says it (the disk is full); None if unknown."""
        return None if self.fault is None else self.fault.message.values.get("why")

    @property
    def displaced(self) -> Displaced | None:
        """The fault where the log no longer stands at its path; its message names the new file."""
        return self.fault if isinstance(self.fault, Displaced) else None

    def do(self, command: Command, now: Now) -> Outcome:
        """Carry out `command` at `now`: decide, put on disk, then change the state.

        Where the events cannot be written the state goes on all the same, they wait in order,
        and each later call tries again; until then no tap begins a new garment. A switch that
        saw the press close is still heard: that heat is real.
        """
        just_tried = 0 <= now.clock - self._tried < RETRY_SECONDS
        if self._pending and not (isinstance(command, c.Tick) and just_tried):
            self._tried = now.clock
            self.retry()
        done = carry_out(self.state, command, now)
        if isinstance(done, Refusal):
            return Outcome((), done.reason, not self._pending)
        begins = isinstance(command, c.Forward) and begins_garment(done.events)
        if begins and (self._pending or not self.retry()):
            return Outcome((), say("refuse.not_recorded"), recorded=False)
        if done.events:
            self._take(done)
        return Outcome(tuple(done.events), None, not self._pending)

    def note(self, *happened: Event) -> None:
        """Put on disk what another room saw: events that no command of this one makes."""
        if self._pending:
            self.retry()
        self._take(Course(self.state).take(happened))

    def retry(self) -> bool:
        """Try to write what waits; return whether all is on disk, where it belongs."""
        try:
            if self._pending:
                self.store.add(self._pending, self._facts)
            else:
                self.store.must_stand()
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
            self._teller = None
        self.fault = None
        if self.kept is not None:
            self._drop_kept(self.kept)
        return True

    def read_on(self) -> None:
        """Read some more of a record that is read anew beside the work; call it between taps.

        Once all is read, what that came to is the state: as after a start. Raises LogFault where an
        event cannot be read; then it is left at that.
        """
        anew = self.anew
        if anew is None or self._pending or self.state.heat is not None:
            return
        try:
            if not anew.go_on():
                return
        except LogFault:
            self.anew = None
            raise
        self.anew, self.state = None, anew.state
        if anew.telling is not None:
            self._teller = anew.telling.teller
        self._checkpoint()

    def checkpoint(self) -> None:
        """Store where the station is, so that the next start reads less."""
        if not self._pending:
            self._checkpoint()

    def keep_elsewhere(self) -> Path | None:
        """Keep what cannot be written in another place, with all that the log has; return the file.

        The next start takes it up there. None where there is no such place.
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
        """Whether all that waits is in the kept file; one that was pulled out with its stick goes.

        It is written to as long as it is open here, whether or not anybody will find it.
        """
        if self.kept is not None and not (surely(self.kept.path.exists) and self._keep_on()):
            self.kept.close()
            self.kept = None
        return self.kept is not None

    def close(self) -> None:
        """Write what waits, elsewhere if need be, store where the station is and close the log."""
        if self.retry():
            self._checkpoint()
        else:
            self.keep_elsewhere()
        if self.kept is not None:
            self.kept.close()
        self.store.close()

    def _keep(self) -> None:
        """Put all that the log had and what waits into a new file, once and then as it comes."""
        from kiosk.log.rescue import copies

        try:
            if self.kept is None:
                self.kept, self._kept_of = copies.keep(self.store), 0
        except LogFault:
            return
        if not self._keep_on():
            return
        at, to = str(self.store.path), str(self.kept.path)
        self.fault = Displaced(say("log.kept", path=at, kept=to))

    def _keep_on(self) -> bool:
        """Write what came since into the kept file; return whether that has all of it."""
        if self.kept is None:
            return False
        try:
            self.kept.add(self._pending[self._kept_of :])
        except LogFault:
            return False
        self._kept_of = len(self._pending)
        return True

    def _drop_kept(self, kept: Store) -> None:
        """The log is back at its path, with all that was kept beside it meanwhile."""
        from kiosk.log.rescue import copies

        kept.close()
        copies.drop(self.store.path, kept.path)
        self.kept = None

    def _take(self, done: Course) -> None:
        """Write what happened to the state and what it made true, then show what it came to."""
        before, seq = self.state, self.store.head.seq + len(self._pending)
        for event, after in zip(done.events, done.states, strict=True):
            row, seq = codec.encode(event), seq + 1
            self._pending.append(row)
            if self._teller is not None:
                told = Told(seq, event, row, row.sum(seq))
                self._facts += self._teller.tell(told, before, after)
                before = after
        self.retry()
        self.state = done.state
        due = self.store.last >= self._checkpoint_at
        if not self._pending and (
            due or any(isinstance(each, st.HandedOver) for each in done.events)
        ):
            self._checkpoint()

    def _checkpoint(self) -> None:
        """A checkpoint that cannot be written is no loss: the events are there."""
        self._checkpoint_at = self.store.last + CHECKPOINT_EVERY
        try:
            recovery.save_checkpoint(self.store, self.state, lifted=self.anew is not None)
        except LogFault as fault:
            self.fault = fault


def begins_garment(events: Sequence[Event]) -> bool:
    """Whether `events` begin a garment: its first step is declared done, or heat put on it."""
    begins = e.Closed | e.Confirmed | e.ToldPressed
    return any(isinstance(event, begins) and event.first == 0 for event in events)


def start(
    path: Path, now: Now, simulated: bool = False, progress: Progress = quiet, at_once: float = inf
) -> tuple[Recorder, Mended | None]:
    """Open the log at `path`, mended first where it is damaged, and recover the state.

    What an earlier run kept beside it is taken up first; `progress` is told where facts of many
    events are told anew, more than `at_once` beside the work (`Recorder.read_on`).
    Raises Busy, WrongLog, NotALog, Newer, CannotRecord.
    """
    path = place_for(path)
    from kiosk.log.rescue.copies import take_up

    taken_up = take_up(path)
    try:
        recorder, mended = _recorder(path, simulated, progress, at_once), None
    except Damaged:
        from kiosk.log.rescue.mend import mend  # the rare start

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
