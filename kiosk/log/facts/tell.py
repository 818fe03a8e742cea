"""Tells the facts of one event: what it made true, as rows. The one interpreter of the events."""

from collections.abc import Callable, Iterator
from typing import NamedTuple, Self

from kiosk.log.facts.garments import RESULTS
from kiosk.log.facts.garments import told as garments_told
from kiosk.log.facts.tables import VERSION, Mark, Op, insert
from kiosk.log.store import codec
from kiosk.plan.model import Step
from kiosk.run.state import Event, HandedOver, JobRun, Now, ReadBack, Ruled, Stage, State, Ticket
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as s
from kiosk.run.state import events_station as station

BREAK_SECONDS = 600.0
"""A longer time without any event is a break, not work."""
JUMP_SECONDS = 60.0
"""A smaller difference is a clock that is kept right in steps."""
_IDLE = frozenset({"held", "job-done"})
_CUTS = station.SignedOn | e.JobStarted | e.JobTaken | e.JobLeft
NOTED = frozenset({
    "read-back", "finished", "setting-read", "was-closed", "unasked-closing", "outcome-unknown",
    "skipped", "set-aside", "stopped", "taken-back", "held", "restarted", "repress-allowed",
    "ruled", "press-verified", "verification-lapsed", "overridden", "first-article-judged",
    "trial-judged", "handed-over", "recipes-read",
})  # fmt: skip
FILES = "recipes-read"
"""The files are read when the program starts, before anybody has signed on."""


NOTHING = Mark()


TALLY = """INSERT INTO tally VALUES (?, ?, 1, ?, ?) ON CONFLICT (stint, kind) DO UPDATE
SET many = many + 1, seconds = seconds + excluded.seconds, idle = idle + excluded.idle"""
MARK = "UPDATE mark SET version = ?, seq = ?, shift = ?, stint = ?, gone = ?"


class Before(NamedTuple):
    """The event before: its kind and moment."""

    kind: str
    at: Now

    @classmethod
    def of(cls, row: codec.Row) -> Self:
        """Return it from its row."""
        return cls(row.kind, Now(row.boot, row.clock, row.wall))


class Teller:
    """Tells facts event by event, from `mark` on; `before` is the last event told."""

    def __init__(self, mark: Mark = NOTHING, before: Before | None = None) -> None:
        self.mark = mark
        self._before = before
        self._was = 0.0  # the shift's seconds at the event before

    def tell(self, seq: int, event: Event, before: State, after: State) -> list[Op]:
        """Return what the event `seq` put down, which led from the state `before` to `after`."""
        kind, at, last, ops = codec.KIND_OF[type(event)], event.at, self._before, list[Op]()
        gap = at.clock - last.at.clock if last is not None and last.at.boot == at.boot else None
        if self.mark.stint:
            self._goes_on(seq, at, gap, ops)
        if isinstance(event, _CUTS) and self._cut(seq, event, before, after, ops):
            gap = None  # what was before belongs to somebody else
        if self.mark.stint:
            idle = gap is not None and (gap > BREAK_SECONDS or (last and last.kind in _IDLE))
            seconds = gap or 0.0
            ops.append(Op(TALLY, (self.mark.stint, kind, seconds, seconds if idle else 0.0)))
        if kind in NOTED and bool(self.mark.stint) != (kind == FILES) and _told_of(event):
            ops.append(insert("noted", self.mark.stint, seq, kind))
        if (teller := _TELLERS.get(type(event))) is not None:
            hands = None if last is None or last.kind == "never-closed" else gap
            ops += teller(event, Here(seq, self.mark.stint, at, hands, after))
        ops += garments_told(event, seq, before, after)
        if isinstance(event, HandedOver) and self.mark.stint:
            ops += self._closed(seq, at)
        self.mark, self._before = self.mark._replace(seq=seq), Before(kind, at)
        ops.append(Op(MARK, (VERSION, *self.mark)))
        return ops

    def _goes_on(self, seq: int, at: Now, gap: float | None, ops: list[Op]) -> None:
        """Let the shift's time go on, and name a wall clock that was set.

        Within a boot the machine's own clock counts. Between two only the wall clock tells how
        long the machine was off, and where that went back nothing does.
        """
        by_wall = at.wall - self._before.at.wall if self._before else 0.0
        gone, jump = (max(by_wall, 0.0), min(by_wall, 0.0)) if gap is None else (gap, by_wall - gap)
        self._was = self.mark.gone
        self.mark = self.mark._replace(gone=self._was + gone)
        if abs(jump) >= JUMP_SECONDS:
            ops.append(insert("jump", seq, self.mark.shift, jump))

    def _cut(self, seq: int, event: Event, before: State, after: State, ops: list[Op]) -> bool:
        """Whether a shift or a stint begins with this event."""
        mark = self.mark
        if not mark.stint:
            if not isinstance(event, station.SignedOn):
                return False
            moment = _moment(event.at)
            ops.append(insert("shift", after.shift, seq, None, *moment, None, None, None))
            self.mark = mark._replace(shift=after.shift, gone=0.0)
        elif (after.operator, after.current) == (before.operator, before.current):
            return False
        else:  # the stint before ended with the event before
            ops.append(_ended(mark.stint, mark.seq, self._was))
        ops.append(self._stint(seq, after))
        return True

    def _stint(self, seq: int, after: State) -> Op:
        self.mark = self.mark._replace(stint=seq)
        press = "" if after.job is None else after.job.plan.press
        return insert("stint", seq, self.mark.shift, after.operator, after.current, press, seq,
                      None, self.mark.gone, None)  # fmt: skip

    def _closed(self, seq: int, at: Now) -> Iterator[Op]:
        """The hand-over ends the shift."""
        yield _ended(self.mark.stint, seq, self.mark.gone)
        yield Op("UPDATE shift SET last = ?, end_boot = ?, end_clock = ?, end_wall = ? "
                 "WHERE shift = ?", (seq, *_moment(at), self.mark.shift))  # fmt: skip
        self.mark = self.mark._replace(stint=0, gone=0.0)


class Here(NamedTuple):
    """Where an event was: its number and stint, seconds of hands before it, the state after it."""

    seq: int
    stint: int
    at: Now
    hands: float | None
    after: State

    @property
    def job(self) -> str:
        """The job at hand, "" for none."""
        return "" if self.after.job is None else self.after.job.job

    def ticket(self, name: str) -> tuple[JobRun, Ticket] | None:
        """Return a ticket of the job at hand; None for heat on nothing, or on a piece of cloth."""
        job = self.after.job
        found = None if job is None else job.tickets.get(name)
        return None if job is None or found is None else (job, found)


def _moment(at: Now) -> tuple[str, float, float]:
    return at.boot, at.clock, at.wall


def _ended(stint: int, last: int, gone: float) -> Op:
    return Op("UPDATE stint SET last = ?, ended = ? WHERE stint = ?", (last, gone, stint))


def _told_of(event: Event) -> bool:
    if isinstance(event, e.Finished):
        return event.stage is not Stage.GOOD or event.early_seconds is not None
    return not (isinstance(event, ReadBack) and event.right)


def _closed(event: e.Closed | e.ToldPressed, here: Here) -> Iterator[Op]:
    found = here.ticket(event.ticket)
    if found is None or not here.stint:
        return
    job, ticket = found
    steps = job.plan.passes[ticket.passage].steps
    step: Step | None = steps[event.step] if event.step < len(steps) else None
    told = isinstance(event, e.ToldPressed)
    seen = "told" if isinstance(event, e.ToldPressed) else event.seen.value
    set_seconds = None if isinstance(event, e.ToldPressed) else event.dwell_seconds
    yield insert(
        "closing", here.stint, here.seq, *_of(job, ticket), job.plan.press, event.step,
        step.phase.value if step else "", seen, "told" if told else "not seen", set_seconds, None,
        step.temperature if step else None, job.setting, here.at.wall, here.at.boot, None,
        here.at.clock if told else None,
    )  # fmt: skip
    if not told:
        yield from _hands(event.first, event.step, job, ticket, here)


def _confirmed(event: e.Confirmed, here: Here) -> Iterator[Op]:
    found = here.ticket(event.ticket)
    if found is not None:
        yield from _hands(event.first, event.last + 1, *found, here)


def _hands(first: int, step: int, job: JobRun, ticket: Ticket, here: Here) -> Iterator[Op]:
    if here.stint and first < step and here.hands is not None and 0 <= here.hands <= BREAK_SECONDS:
        yield insert("hands", here.stint, here.seq, *_of(job, ticket), first, step,
                      round(here.hands, 1))  # fmt: skip


def _of(job: JobRun, ticket: Ticket) -> tuple[str, str, str, int, int]:
    return job.job, ticket.id, ticket.garment.line, ticket.passage, ticket.copy


_LAST = "seq = (SELECT max(seq) FROM closing WHERE job = ? AND ticket = ?) AND job = ?"


def _change(what: str, *values: object) -> Callable[[str, Here], Iterator[Op]]:
    """A change of the last closing of a ticket."""

    def change(ticket: str, here: Here) -> Iterator[Op]:
        job = here.job
        yield Op(f"UPDATE closing SET {what} WHERE {_LAST}", (*values, job, ticket, job))

    return change


def _cools(at: float, boot: str, ticket: str, here: Here) -> Iterator[Op]:
    """It cools from the tone or the opening, whichever came last."""
    return _change("cooling = CASE WHEN boot = ? THEN max(coalesce(cooling, ?), ?) ELSE ? END, "
                   "boot = ?", boot, at, at, at, boot)(ticket, here)  # fmt: skip


def _seen_closing(event: e.ClosingSeen, here: Here) -> Iterator[Op]:
    return _change("closed_seen = 'measured'")(event.ticket, here)


def _time_up(event: e.TimeUp, here: Here) -> Iterator[Op]:
    yield from _cools(event.due, here.at.boot, event.ticket, here)
    yield from _change("rang = ?", here.at.clock)(event.ticket, here)


def _opened(event: e.Opened, here: Here) -> Iterator[Op]:
    over = event.after_deadline
    yield from _cools(here.at.clock, here.at.boot, event.ticket, here)
    over = None if over is None else round(over, 2)
    change = _change("opened_seen = ?, over = ?, wall = ?", event.seen.value, over, here.at.wall)
    yield from change(event.ticket, here)


def _was_closed(event: e.WasClosed, here: Here) -> Iterator[Op]:
    yield from _cools(here.at.clock, here.at.boot, event.ticket, here)
    yield from _change("opened_seen = 'declared', over = round(? - set_seconds, 2), wall = ?",
                       event.heat_seconds, here.at.wall)(event.ticket, here)  # fmt: skip


def _unclosed(event: e.NotClosed | e.NeverClosed, here: Here) -> Iterator[Op]:
    job = here.job
    yield Op(f"DELETE FROM closing WHERE {_LAST}", (job, event.ticket, job))


def _finished(event: e.Finished, here: Here) -> Iterator[Op]:
    if event.peeled and here.stint:
        job = here.job
        yield Op(
            "INSERT INTO peel SELECT ?, ?, job, ticket, line, passage, copy, "
            "round(? - cooling, 1), ?, ? FROM closing AS c WHERE job = ? AND ticket = ? "
            "AND boot = ? AND cooling IS NOT NULL AND NOT EXISTS "
            "(SELECT 1 FROM peel AS p WHERE p.job = c.job AND p.ticket = c.ticket) "
            "ORDER BY seq DESC LIMIT 1",
            (here.stint, here.seq, here.at.clock, event.before, event.early_seconds, job,
             event.ticket, here.at.boot),
        )  # fmt: skip


def _taken_back(event: e.TakenBack, here: Here) -> Iterator[Op]:
    if event.what in RESULTS:
        yield Op("DELETE FROM peel WHERE job = ? AND ticket = ?", (here.job, event.ticket))


def _verified(event: s.PressVerified, here: Here) -> Iterator[Op]:
    yield insert('"check"', here.seq, here.stint, event.press, event.temperature,
                  event.unit.value, event.offset, event.spread, event.offset_most,
                  event.spread_most, event.passed)  # fmt: skip


def _ruled(event: Event, here: Here) -> Iterator[Op]:
    """Whatever a supervisor let pass or decided."""
    what = codec.KIND_OF[type(event)]
    if isinstance(event, Ruled):
        what = f"{what} {event.stage.value}"
    elif isinstance(event, s.Overridden):
        what = f"{what} {event.what.value}"
    yield insert("ruling", here.stint, here.seq, here.job,
                  getattr(event, "ticket", ""), what, getattr(event, "supervisor", ""),
                  getattr(event, "reason", ""))  # fmt: skip


def _setting(event: e.SettingRead, here: Here) -> Iterator[Op]:
    job = here.after.job
    if job is not None:
        yield insert("setting", here.stint, here.seq, job.job, job.plan.press,
                      event.temperature, event.required, event.fits)  # fmt: skip


def _job_started(event: e.JobStarted, here: Here) -> Iterator[Op]:
    plan = event.plan
    yield Op("INSERT OR IGNORE INTO job VALUES (?, ?, ?, ?, ?, ?, ?, NULL)",
             (event.job, here.seq, plan.title, plan.recipe, plan.fabric, plan.press,
              len(event.garments)))  # fmt: skip


def _job_done(event: e.JobDone, here: Here) -> Iterator[Op]:
    yield Op("UPDATE job SET done = ? WHERE job = ?", (here.seq, event.job))


_TELLERS: dict[type[Event], Callable[..., Iterator[Op]]] = {
    e.Closed: _closed, e.ToldPressed: _closed, e.Confirmed: _confirmed,
    e.ClosingSeen: _seen_closing, e.TimeUp: _time_up, e.Opened: _opened, e.WasClosed: _was_closed,
    e.NotClosed: _unclosed, e.NeverClosed: _unclosed, e.Finished: _finished,
    e.TakenBack: _taken_back, s.PressVerified: _verified, e.SettingRead: _setting,
    e.JobStarted: _job_started, e.JobDone: _job_done, s.Overridden: _ruled, Ruled: _ruled,
    s.RepressAllowed: _ruled,
}  # fmt: skip
