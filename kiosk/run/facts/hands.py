"""Time that hands still need; the last closing while its making or opening can be reported."""

from math import inf

from kiosk.catalog.model import Peel
from kiosk.plan.model import HOT_PHASES, Phase, Step
from kiosk.plan.time import NOTHING, hands
from kiosk.run.facts.moves import confirm_of, hot_ahead, move_of, racked_at, wait_at
from kiosk.run.facts.peels import NEVER_SECONDS, DuePeel, PeelTime, hand_wait, peel_time, time_of
from kiosk.run.facts.represses import closed_before
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.state import (
    JobRun,
    Now,
    State,
    Ticket,
    TicketStage,
    TimeSource,
    Undo,
    elapsed,
    replace,
)

NOTHING_SECONDS = 0.01  # below this it is clock rounding


def seconds_missing(state: State, now: Now) -> float:
    """Return the seconds by which the current move is too quick to be done, 0 if it is not.

    A move already asked about, or one that restarts with its pieces laid (not closed, taken back),
    is not judged.
    """
    job = state.job
    ticket = slot_ticket(job)
    since = None if job is None else job.hands_from
    if job is None or ticket is None or since is None or since.boot != now.boot or job.quick:
        return 0.0
    passage = pass_of(job, ticket)
    move = move_of(passage, ticket, confirm_of(state, job.plan, passage))
    if move is None or ticket.stage is not TicketStage.AT_PRESS:
        return 0.0
    if move.ends:
        missing = in_hand_seconds(job, ticket, now)
        return missing if missing > NOTHING_SECONDS else 0.0
    all_steps, range_ = passage.steps, range(move.first, move.last + 1)
    steps = tuple(all_steps[n] for n in range_ if n not in ticket.without)
    least_needed = sum(least_seconds(step) for step in steps if step.phase not in HOT_PHASES)
    missing = max(least_needed - (now.clock - since.clock), seconds_before_rack(job, now))
    if move.hot is None:
        missing = max(missing, _soonest(_last_of(job, ticket, range_, now)))
    if any(step.wait is not None for step in steps):
        missing = max(missing, _carriers_seconds(job, ticket, steps, now))
    return missing if missing > NOTHING_SECONDS else 0.0


def _carriers_seconds(job: JobRun, ticket: Ticket, steps: tuple[Step, ...], now: Now) -> float:
    """Seconds until a tack's carriers can be off at the earliest, and the steps after them done.

    Zero for a carrier that is never due where it lies: nobody saw when it was lifted.
    """
    last = max(n for n, step in enumerate(steps) if step.wait is not None)
    time = time_of(pass_of(job, ticket), ticket, now, steps[last].wait)
    if time is None or time.from_seconds == inf:
        return 0.0
    after = sum(least_seconds(step) for step in steps[last:] if step.phase not in HOT_PHASES)
    return min(time.low, time.from_seconds) + after


def in_hand_seconds(job: JobRun, ticket: Ticket, now: Now) -> float:
    """Return the seconds until a peel waited for in the hands can be due at the earliest."""
    passage = pass_of(job, ticket)
    wait = hand_wait(passage, ticket, now)
    if wait is None or wait.peel is Peel.HOT:
        return 0.0
    return _soonest(time_of(passage, ticket, now, wait))


def _soonest(time: PeelTime | None) -> float:
    return 0.0 if time is None else min(time.low, time.from_seconds, NEVER_SECONDS)


def seconds_before_rack(job: JobRun, now: Now) -> float:
    """Return the seconds until the last peel on the way to the rack is due, 0 if there is none."""
    ticket = job.tickets.get(job.leaving)
    if ticket is None:
        return 0.0
    racked = racked_at(pass_of(job, ticket), ticket.step) or 0
    time = _last_of(job, ticket, range(ticket.step, racked), now)
    return 0.0 if time is None else min(time.from_seconds, NEVER_SECONDS)


def _last_of(job: JobRun, ticket: Ticket, steps: range, now: Now) -> PeelTime | None:
    """Return when the last warm or cold peel among these steps is due, or None if none waits."""
    passage = pass_of(job, ticket)
    peels = [i for i in passage.peels if i in steps and passage.steps[i].peel is not Peel.HOT]
    return time_of(passage, ticket, now, wait_at(passage, peels[-1])) if peels else None


RACK_AFTER_SECONDS = 5.0
LEAST_AFTER_SECONDS = 1.0
LEFT_SECONDS = 4.0


def rack_after(dwell_seconds: float | None) -> float:
    """Return how many seconds after closing the forward bar switches to the rack.

    By then an accidental second tap is over. A short closing leaves the rack four seconds.
    """
    if dwell_seconds is None:
        return RACK_AFTER_SECONDS
    return min(RACK_AFTER_SECONDS, max(LEAST_AFTER_SECONDS, dwell_seconds - LEFT_SECONDS))


def rack_first(job: JobRun, now: Now) -> DuePeel | None:
    """Return the garment on the rack to peel before the next one is loaded, or None.

    It was due when loading began, and would be late before the press is closed again.
    """
    began = job.hands_from
    slot = slot_ticket(job) if job.rack else None
    if slot is None or slot.stage is not TicketStage.AT_PRESS or slot.step:
        return None
    start = began if began is not None and began.boot == now.boot else now
    chance = start.clock + _until_next_chance(job, slot)
    found = []
    for name in job.rack:
        time = None if name == job.leaving else peel_time(job, job.tickets[name], now)
        if time is None or now.clock + time.from_seconds > start.clock:
            continue
        late = now.clock + time.to_seconds
        if late < chance:
            found.append((late, name, time.from_seconds))
    if not found:
        return None
    _, name, from_seconds = min(found)
    return DuePeel(job.tickets[name], from_seconds)


def _until_next_chance(job: JobRun, loading: Ticket) -> float:
    """Seconds until the bar serves the rack again, with slow hands."""
    steps = pass_of(job, loading).steps
    hot = hot_ahead(pass_of(job, loading), loading)
    if hot is None:
        return 0.0
    work = [steps[n] for n in range(loading.step, hot) if n not in loading.without]
    hand_seconds = sum((hands(step) for step in work), NOTHING).high
    return hand_seconds + job.plan.closes_in_seconds + rack_after(steps[hot].seconds)


CLOSED = "closed"
BY_A_PERSON = frozenset({TimeSource.DECLARED, TimeSource.TOLD})
"""A closing that a switch saw cannot be a slip of the finger."""


def closing_undo(job: JobRun, ticket: Ticket) -> Undo:
    """Return the undo of a closing on `ticket`; `job` and `ticket` are as before it."""
    racked = job.tickets.get(job.leaving)
    tickets = (ticket,) if racked is None else (ticket, racked)
    return Undo(CLOSED, tickets, ticket.id, loaded=job.last_loaded)


def last_closing(job: JobRun | None) -> Undo | None:
    """Return the closing that can still be reported as never made, or None.

    Peels of other garments tapped since stay; taps on its own garment are taken back first.
    """
    since: set[str] = set()
    for undo in () if job is None else reversed(job.undo):
        if undo.what == CLOSED:
            return None if undo.tickets[0].id in since else undo
        if undo.slot:
            return None
        since |= {ticket.id for ticket in undo.tickets}
    return None


def last_tap(job: JobRun) -> Undo | None:
    """Return the last tap other than a closing that can be taken back, or None."""
    return next((undo for undo in reversed(job.undo) if undo.what != CLOSED), None)


def without_closing(job: JobRun) -> JobRun:
    """Return the job without any closing that could be reported as never made."""
    return replace(job, undo=tuple(u for u in job.undo if u.what != CLOSED))


def without_closing_undo(state: State) -> State:
    """Return the state at a change of operator: only the one who closed can take it back."""
    job = state.job
    if job is None or all(undo.what != CLOSED for undo in job.undo):
        return state
    return replace(state, job=without_closing(job))


LEAST_PER_STEP = {Phase.LOAD: 2.0, Phase.COVER: 0.5}
LEAST_PER_PIECE = {Phase.LAY: 2.0, Phase.LAY_TOP: 2.0, Phase.REMOVE_CARRIER: 0.5}


def least_seconds(step: Step) -> float:
    """Return the least seconds of a step, 0 if not judged: a hot peel is quick."""
    each = LEAST_PER_PIECE.get(step.phase, 0.0)
    return LEAST_PER_STEP.get(step.phase, 0.0) + each * len(step.pieces)


BREAK_SECONDS = 600
"""A pause of the hands after which the operator reads the garment again."""


AWAY_SECONDS = 3600
"""In this time the press may have been switched off, or done so itself; our choice, no source."""


def was_away(state: State, now: Now) -> bool:
    """Return whether the hands rested for more than an hour."""
    return state.moved is not None and elapsed(state.moved, now)[0] > AWAY_SECONDS


def had_break(state: State, now: Now) -> bool:
    """Return whether the hands rested for more than ten minutes."""
    return state.moved is not None and elapsed(state.moved, now)[0] > BREAK_SECONDS


def unseen_opening(job: JobRun) -> Ticket | None:
    """Return the ticket whose last closing rang and whose opening is still unreported, or None."""
    ticket = job.tickets.get(job.leaving) or slot_ticket(job)
    if ticket is None or ticket.opened is None or ticket.opened_seen is not TimeSource.NOT_SEEN:
        return None
    closing_at = closed_before(pass_of(job, ticket), ticket, ticket.step)
    return None if closing_at is None else ticket
