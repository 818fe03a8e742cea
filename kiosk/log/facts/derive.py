"""The one interpreter: derives fact rows from each event while events are folded."""

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from itertools import zip_longest
from typing import NamedTuple, Self

from kiosk.log.facts.closings import BREAK_SECONDS, HEAT, EventContext
from kiosk.log.facts.garments import ticket_changes
from kiosk.log.facts.jobs import JOBS
from kiosk.log.facts.tables import TABLES, VERSION, FactMark, Seal, Statement, insert, statements
from kiosk.log.store import LoggedEvent, Store, codec
from kiosk.run.apply import apply
from kiosk.run.state import Event, HandedOver, Now, ReadBack, Ruled, State, TicketStage
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as s
from kiosk.run.state import events_station as station

JUMP_SECONDS = 60.0
"""A smaller difference is the regular correction of a clock."""
_HOLD_ENDS = "restarted"
"""The time of a hold is counted under this kind, whatever is recorded during it."""
_BEGINS_STINT = station.SignedOn | e.JobStarted | e.JobTaken | e.JobLeft
NOTED = frozenset({
    "read-back", "finished", "setting-read", "was-closed", "unasked-closing", "outcome-unknown",
    "skipped", "set-aside", "stopped", "taken-back", "held", "restarted", "repress-allowed",
    "ruled", "press-verified", "verification-lapsed", "overridden", "first-article-judged",
    "trial-judged", "handed-over", "recipes-read",
})  # fmt: skip
FILES = "recipes-read"
"""The files are read at the program's start, before anybody has signed on."""


NOTHING = FactMark()


TALLY = """INSERT INTO tally VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO UPDATE
SET many = many + excluded.many, seconds = seconds + excluded.seconds, idle = idle + excluded.idle,
    last = excluded.last, gone = excluded.gone, texts = excluded.texts, numbers = excluded.numbers
"""


class PrecedingEvent(NamedTuple):
    """Kind and time of the preceding event."""

    kind: str
    at: Now

    @classmethod
    def of(cls, row: codec.EventRow) -> Self:
        """Return it from its row."""
        return cls(row.kind, Now(row.boot, row.clock, row.wall))


class FactDeriver:
    """Derives facts event by event, starting after `mark`; `before` is the last event processed."""

    def __init__(self, mark: FactMark = NOTHING, before: PrecedingEvent | None = None) -> None:
        self.mark = mark
        self._before = before
        self._was = 0.0  # seconds of the shift at the preceding event

    def derive(self, entry: LoggedEvent, before: State, after: State) -> list[Statement]:
        """Return the statements for an event that led from the state `before` to `after`."""
        seq, event, row, total = entry
        kind, at, last, ops = row.kind, event.at, self._before, list[Statement]()
        gap = at.clock - last.at.clock if last is not None and last.at.boot == at.boot else None
        if self.mark.stint:
            self._advance(seq, at, gap, ops)
        if isinstance(event, _BEGINS_STINT) and self._begin_stint(seq, event, before, after, ops):
            gap = None  # the time before belongs to somebody else
        held = before.held is not None
        idle = (
            held or (gap or 0.0) > BREAK_SECONDS or (last is not None and last.kind == "job-done")
        )
        seconds = (gap or 0.0) if self.mark.stint else 0.0
        seal = self.mark.seal.also(row, total) if self.mark.stint else Seal()
        mark = self.mark = self.mark._replace(seq=seq, seal=seal)
        took = seconds, seconds if idle else 0.0
        if held and kind != _HOLD_ENDS:  # its time counts towards the hold
            ops.append(
                Statement(TALLY, (mark.stint, _HOLD_ENDS, 0, *took, seq, mark.gone, *mark.seal))
            )
            took = 0.0, 0.0
        ops.append(Statement(TALLY, (mark.stint, kind, 1, *took, seq, mark.gone, *mark.seal)))
        if kind in NOTED and bool(self.mark.stint) != (kind == FILES) and _is_notable(event):
            ops.append(insert("noted", self.mark.stint, seq, kind))
        if (add_facts := _FACTS_BY_EVENT.get(type(event))) is not None:
            hands = None if last is None or last.kind == "never-closed" else gap
            ops += add_facts(event, EventContext(seq, self.mark.stint, at, hands, before, after))
        ops += ticket_changes(event, seq, before, after)
        if isinstance(event, HandedOver) and self.mark.stint:
            ops += self._end_shift(seq, at)
        self._before = PrecedingEvent(kind, at)
        return ops

    def _advance(self, seq: int, at: Now, gap: float | None, ops: list[Statement]) -> None:
        """Advance the shift's time, and record a jump if the wall clock was changed.

        Within a boot the machine's own clock counts. Between boots only the wall clock shows how
        long the machine was off; if it went back, no time is added.
        """
        by_wall = at.wall - self._before.at.wall if self._before else 0.0
        passed, jump = (
            (max(by_wall, 0.0), min(by_wall, 0.0)) if gap is None else (gap, by_wall - gap)
        )
        self._was = self.mark.gone
        self.mark = self.mark._replace(gone=self._was + passed)
        if abs(jump) >= JUMP_SECONDS:
            ops.append(insert("jump", seq, self.mark.shift, jump))

    def _begin_stint(
        self, seq: int, event: Event, before: State, after: State, ops: list[Statement]
    ) -> bool:
        """Begin a shift or a stint if this event starts one; return whether it does."""
        mark = self.mark
        if not mark.stint:
            if not isinstance(event, station.SignedOn):
                return False
            moment = _moment(event.at)
            ops.append(insert("shift", after.shift, seq, None, *moment, None, None, None))
            self.mark = mark._replace(shift=after.shift, gone=0.0)
        elif (after.operator, after.current) == (before.operator, before.current):
            return False
        else:  # the previous stint ended with the previous event
            ops.append(_end_stint(mark.stint, mark.seq, self._was))
        ops.append(self._new_stint(seq, after))
        return True

    def _new_stint(self, seq: int, after: State) -> Statement:
        self.mark = self.mark._replace(stint=seq, seal=Seal())
        press = "" if after.job is None else after.job.plan.press
        return insert("stint", seq, self.mark.shift, after.operator, after.current, press, seq,
                      None, self.mark.gone, None)  # fmt: skip

    def _end_shift(self, seq: int, at: Now) -> Iterator[Statement]:
        """End the shift at the hand-over."""
        yield _end_stint(self.mark.stint, seq, self.mark.gone)
        yield Statement("UPDATE shift SET last = ?, end_boot = ?, end_clock = ?, end_wall = ? "
                        "WHERE shift = ?", (seq, *_moment(at), self.mark.shift))  # fmt: skip
        self.mark = self.mark._replace(stint=0, gone=0.0, seal=Seal())


def _moment(at: Now) -> tuple[str, float, float]:
    return at.boot, at.clock, at.wall


def _end_stint(stint: int, last: int, gone: float) -> Statement:
    return Statement("UPDATE stint SET last = ?, ended = ? WHERE stint = ?", (last, gone, stint))


def _is_notable(event: Event) -> bool:
    if isinstance(event, e.Finished):
        return event.stage is not TicketStage.GOOD or event.early_seconds is not None
    return not (isinstance(event, ReadBack) and event.right)


def _verified(event: s.PressVerified, context: EventContext) -> Iterator[Statement]:
    yield insert('"check"', context.seq, context.stint, event.press, event.temperature,
                  event.unit.value, event.offset, event.spread, event.offset_most,
                  event.spread_most, event.passed)  # fmt: skip


def _ruled(event: Event, context: EventContext) -> Iterator[Statement]:
    """Record what a supervisor approved or decided."""
    ruling = codec.KIND_OF[type(event)]
    if isinstance(event, Ruled):
        ruling = f"{ruling} {event.stage.value}"
    elif isinstance(event, s.Overridden):
        ruling = f"{ruling} {event.what.value}"
    yield insert("ruling", context.stint, context.seq, context.job,
                  getattr(event, "ticket", ""), ruling, getattr(event, "supervisor", ""),
                  getattr(event, "reason", ""))  # fmt: skip


def _setting(event: e.SettingRead, context: EventContext) -> Iterator[Statement]:
    job = context.after.job
    if job is not None:
        yield insert("setting", context.stint, context.seq, job.job, job.plan.press,
                      event.temperature, event.required, event.fits)  # fmt: skip


_FACTS_BY_EVENT: dict[type[Event], Callable[..., Iterator[Statement]]] = {
    **HEAT, **JOBS, s.PressVerified: _verified, e.SettingRead: _setting, s.Overridden: _ruled,
    Ruled: _ruled, s.RepressAllowed: _ruled,
}  # fmt: skip


Progress = Callable[[int, int], None]
"""Called now and then with the number of events folded and the total."""
_LAST = """SELECT last, gone, texts, numbers FROM main.tally
WHERE stint = 0 OR stint = (SELECT max(stint) FROM main.stint) ORDER BY last DESC LIMIT 1"""
_OPEN = """SELECT shift, stint FROM main.stint
WHERE stint = (SELECT max(stint) FROM main.stint) AND last IS NULL"""
_NAMES = ", ".join(f"'{name.strip(chr(34))}'" for name in TABLES)
_THERE = f"SELECT count(*) FROM main.sqlite_schema WHERE type = 'table' AND name IN ({_NAMES})"
LONG = 2_000  # events: fewer are derived at once, in a tenth of a second or two
RETOLD = 20_000  # events: in a longer record with bad ones, reports use the facts derived before
BATCH = 5_000  # events whose facts are written to disk together


def quiet(_: int, __: int) -> None:
    """Report no progress."""


def facts_mark(store: Store) -> FactMark | None:
    """Return how far the facts on disk go, or None if there are none of this version."""
    if next(store.rows(_THERE)) != (len(TABLES),):
        return None
    if next(store.rows("SELECT version FROM main.mark"), None) != (VERSION,):
        return None
    seq, gone, *seal = next(store.rows(_LAST), (0, 0.0, 0, 0))
    shift, stint = next(store.rows(_OPEN), (0, 0))
    return FactMark(seq, shift, stint, gone, Seal(*seal)) if stint else FactMark(seq)


def far_behind(store: Store) -> bool:
    """Whether so many events lack facts that a station derives them in the background."""
    mark = facts_mark(store)
    return store.last - (0 if mark is None else mark.seq) > LONG


def deriver_from(store: Store, mark: FactMark) -> FactDeriver:
    """Return a FactDeriver that continues after `mark`."""
    row = next(store.stored(mark.seq, mark.seq), None)
    return FactDeriver(mark, None if row is None else PrecedingEvent.of(row.row))


def fold(
    base: State,
    events: Iterable[LoggedEvent],
    deriver: FactDeriver | None = None,
    put_down: Callable[[list[Statement]], None] | None = None,
) -> State:
    """Return the state after `events` from `base`.

    The facts of each event go to `put_down` in batches, except those `deriver` has already derived.
    """
    state, pending, count = base, list[Statement](), 0
    for entry in events:
        after = apply(state, entry.event)
        if deriver is not None and put_down is not None and entry.seq > deriver.mark.seq:
            pending += deriver.derive(entry, state, after)
            count += 1
            if count % BATCH == 0:
                put_down(pending)
                pending = []
        state = after
    if pending and put_down is not None:
        put_down(pending)
    return state


def ready(store: Store, progress: Progress = quiet) -> None:
    """Make a log's facts readable as of its last event. Call it within `store.reading()`.

    A station keeps them ready. If they are of another version, or events were left out as damaged,
    they are derived again into temporary tables that last as long as the reading and hide those in
    the file. Raises Damaged, Newer or CannotRecord.
    """
    mark = facts_mark(store)
    if mark is not None and mark.seq == store.last and not (store.lost and mark.seq <= RETOLD):
        return
    if next(store.rows("SELECT 1 FROM sqlite_temp_schema WHERE name = 'mark'"), None):
        return  # done earlier in the same reading
    store.execute(statements("temp"))
    deriver = FactDeriver()

    def put_down(ops: list[Statement]) -> None:
        store.execute(ops)
        progress(deriver.mark.seq, store.last)

    fold(State(), store.entries(), deriver, put_down)


def differing(store: Store, rebuilt: sqlite3.Connection) -> str | None:
    """Return the first fact table that differs from the one in `rebuilt`, or None if all match."""
    for name in TABLES:
        ours = store.rows(f"SELECT * FROM main.{name} ORDER BY 1, 2")
        theirs = rebuilt.execute(f"SELECT * FROM {name} ORDER BY 1, 2")
        if any(one != other for one, other in zip_longest(ours, theirs)):
            return name.strip('"')
    return None
