"""Cuts a pass into moves and its peel into stages; which setting the press needs."""

from itertools import takewhile
from typing import NamedTuple

from kiosk.catalog.base import Pressure, dataclass
from kiosk.catalog.model import Peel
from kiosk.plan.group import families
from kiosk.plan.model import HOT_PHASES, Pass, PeelPlace, PeelWait, Phase, Plan, Step
from kiosk.run.facts.tickets import pass_of, run_of, slot_ticket
from kiosk.run.state.model import ConfirmMode, JobRun, Ticket, TicketStage
from kiosk.run.state.state import State


@dataclass(frozen=True, slots=True)
class Move:
    """Hand steps `first`..`last` of a pass (none if `last` is below `first`).

    `hot` is the step that the same tap starts by closing the press, None if it starts none. `ends`
    is True for the move that ends the ticket: (peeled,) good.
    """

    first: int
    last: int
    hot: int | None = None
    ends: bool = False


def moves(passage: Pass, confirm: ConfirmMode) -> tuple[Move, ...]:
    """Return all moves of a pass in order, one per forward tap of a ticket."""
    found: list[Move] = []
    move = move_from(passage, 0, confirm)
    while move is not None:
        found.append(move)
        after = move.last if move.hot is None else move.hot
        move = move_from(passage, after + 1, confirm)
    return tuple(found)


def move_from(
    passage: Pass,
    step: int,
    confirm: ConfirmMode,
    skip_pre_press: bool = False,
    without: tuple[int, ...] = (),
) -> Move | None:
    """Return the move that begins at index `step`, or None at the pass's end."""
    first = _past_skipped(passage, step, skip_pre_press)
    step, end = first_kept(first, without) if without else first, len(passage.steps) - 1
    if not 0 <= step <= end:
        return None
    hot = next_hot(passage, step, skip_pre_press, without)
    if hot is None and (confirm is ConfirmMode.GROUPED or _on_the_rack(passage, step)):
        return Move(first, end, ends=True)
    if confirm is ConfirmMode.GROUPED and hot is not None:
        return Move(first, hot - 1, hot)
    if hot == step:
        return Move(first, step - 1, hot)
    following = _past_skipped(passage, step + 1, skip_pre_press)
    closes = (first_kept(following, without) if without else following) == hot
    return Move(first, step, hot if closes else None, ends=step == end)


def confirm_of(state: State, plan: Plan, passage: Pass) -> ConfirmMode:
    """Return how the operator confirms in `passage`: grouped if signed off for all its families."""
    if state.confirm is ConfirmMode.GROUPED or not state.grouped:
        return state.confirm
    signed_off = set(families(plan, passage)) <= set(state.grouped)
    return ConfirmMode.GROUPED if signed_off else ConfirmMode.EACH


def move_of(passage: Pass, ticket: Ticket, confirm: ConfirmMode) -> Move | None:
    """Return the current move of a ticket in this pass, or None at the pass's end."""
    return move_from(passage, ticket.step, confirm, ticket.skipped, ticket.without)


def next_hot(
    passage: Pass, step: int, skip_pre_press: bool = False, without: tuple[int, ...] = ()
) -> int | None:
    """Return the index of the first hot step at or after `step` that is not left out, or None."""
    for index in range(max(step, 0), len(passage.steps)):
        phase = passage.steps[index].phase
        is_left_out = index in without or (skip_pre_press and phase is Phase.PRE_PRESS)
        if phase in HOT_PHASES and not is_left_out:
            return index
    return None


def hot_ahead(passage: Pass, ticket: Ticket) -> int | None:
    """Return the index of a ticket's next closing in this pass, None if it has none left."""
    return next_hot(passage, ticket.step, ticket.skipped, ticket.without)


def first_hand(passage: Pass, step: int, without: tuple[int, ...] = ()) -> int:
    """Return the index of the first hand step leading to `step`: after the hot step before it."""
    step = min(step, len(passage.steps))
    while step > 0 and (step - 1 in without or passage.steps[step - 1].phase not in HOT_PHASES):
        step -= 1
    return step


def last_peel(passage: Pass) -> int | None:
    """Return the index of the pass's last peel, which its place and wait refer to; None if none."""
    return passage.peels[-1] if passage.peels else None


def cools_on_rack(passage: Pass) -> bool:
    """Return whether a ticket of this pass cools on the rack."""
    return passage.place is PeelPlace.RACK and last_peel(passage) is not None


def _on_the_rack(passage: Pass, step: int) -> bool:
    """Whether a ticket on the rack needs only its final tap, "peeled, good"."""
    return cools_on_rack(passage) and step >= (last_peel(passage) or 0)


def _past_skipped(passage: Pass, step: int, skip_pre_press: bool) -> int:
    """Return `step`, or the step after it if `step` is a skipped pre-press."""
    if skip_pre_press and 0 <= step < len(passage.steps):
        return step + (passage.steps[step].phase is Phase.PRE_PRESS)
    return step


def first_kept(step: int, without: tuple[int, ...]) -> int:
    """Return the first step from `step` on that is not left out."""
    while step in without:
        step += 1
    return step


def racked_at(passage: Pass, step: int) -> int | None:
    """Return the first peel at or after index `step` that waits on the rack, else the last peel.

    Earlier peels are done on the way from the press to the rack. None for a pass without a peel, or
    if `step` is past all of them.
    """
    ahead = [(n, i) for n, i in enumerate(passage.peels) if i >= step]
    racked = (i for n, i in ahead if passage.place_of(n) is PeelPlace.RACK)
    return next(racked, ahead[-1][1] if ahead else None)


def next_stage(passage: Pass, step: int) -> int | None:
    """Return the next peel to confirm for a garment on the rack, from index `step` on.

    A hot peel is over at once and is confirmed with the one after it. None past the last.
    """
    ahead = [i for i in passage.peels if i >= step]
    if not _is_staged(passage):
        return ahead[-1] if ahead else None
    waits = (i for i in ahead if passage.steps[i].peel is not Peel.HOT)
    return next(waits, ahead[-1] if ahead else None)


def has_all_closings(job: JobRun, ticket: Ticket) -> bool:
    """Return whether a garment had all its heat; without it, it can only end as scrap.

    Its final is done, or it has none, and no closing is left.
    """
    passage, step = pass_of(job, ticket), ticket.step + (ticket.stage is TicketStage.UNKNOWN)
    final_done = ticket.finals > 0 or without_final(passage, ticket)
    return final_done and next_hot(passage, step, ticket.skipped, ticket.without) is None


def without_final(passage: Pass, ticket: Ticket) -> bool:
    """Return whether a garment has nothing to press in this pass; only its cloth is handled."""
    return any(passage.steps[step].phase is Phase.FINAL for step in ticket.without)


def can_be_good(job: JobRun, ticket: Ticket) -> bool:
    """Return whether a supervisor can call a garment good: it had its heat, or nobody knows."""
    return ticket.finals > 0 or ticket.lost or has_all_closings(job, ticket)


def is_early(passage: Pass, step: int) -> bool:
    """Return whether another peel follows the next one on the rack."""
    stage, peels = next_stage(passage, step), passage.peels
    return stage is not None and stage < peels[-1]


def wait_at(passage: Pass, step: int) -> PeelWait | None:
    """Return the wait of the next peel on the rack, from index `step` on; None if none waits."""
    stage = next_stage(passage, step) if _is_staged(passage) else None
    return passage.wait if stage is None else passage.stages[passage.peels.index(stage)]


def wait_by_time(passage: Pass, step: int, waited: float) -> PeelWait | None:
    """Return the wait of the unconfirmed peel in hand, `waited` s after opening; None without one.

    A hot peel comes off at once, and a peel that would be late is assumed done: it is declared with
    the next move.
    """
    if not _is_staged(passage):
        return passage.wait
    ahead = zip(passage.peels, passage.stages, strict=True)
    waits = (w for i, w in ahead if i >= step and w.peel is not Peel.HOT)
    return next((wait for wait in waits if wait.to_seconds >= waited), passage.wait)


def waiting_carriers(passage: Pass, step: int) -> tuple[Step, ...]:
    """Return the carriers that wait after the tack before index `step`, hottest first.

    Empty if `step` is not a tack's carrier: they are off then, or nothing was tacked.
    """
    steps = passage.steps
    if step >= len(steps) or steps[step].phase is not Phase.REMOVE_CARRIER:
        return ()
    after = takewhile(lambda s: s.phase is Phase.REMOVE_CARRIER, steps[first_hand(passage, step) :])
    return tuple(each for each in after if each.wait is not None)


def _is_staged(passage: Pass) -> bool:
    """Whether the plan has a wait for each peel; older plans have only the last."""
    return len(passage.stages) > 1 and len(passage.stages) == len(passage.peels)


def required_setting(job: JobRun) -> int | None:
    """Return the whole degrees of the slot's next hot step, or None if it has none."""
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not TicketStage.AT_PRESS:
        return None
    passage = pass_of(job, ticket)
    hot = hot_ahead(passage, ticket)
    return None if hot is None else passage.steps[hot].temperature


class Dials(NamedTuple):
    """Any pressure from `low` to `high` suits; None if the plan has none.

    `timer` is the press's own, in seconds, None for one that does not open by itself.
    """

    low: Pressure | None
    high: Pressure | None
    timer: int | None


def dials_of(plan: Plan, passage: int) -> Dials:
    """Return the dials that suit all passes of the run: it is pressed garment by garment."""
    steps = [step for each in plan.runs[run_of(plan, passage)] for step in plan.passes[each].steps]
    lows = [step.pressure_low for step in steps if step.pressure_low is not None]
    highs = [step.pressure_high for step in steps if step.pressure_high is not None]
    finals = [step.seconds or 0 for step in steps if step.phase is Phase.FINAL]
    return Dials(
        max(lows, default=None),
        min(highs, default=None),
        max(finals, default=None) if plan.opens_itself else None,
    )


def pressure_serves(before: Dials, needed: Dials) -> bool:
    """Return whether every pressure that `before` allows suits `needed`; True if one is unknown."""
    if needed.low is None or needed.high is None or before.low is None or before.high is None:
        return True
    return needed.low <= before.low and before.high <= needed.high


def setting_due(job: JobRun) -> int | None:
    """Return the whole degrees to set the press to and read from it, or None if it is set.

    Due again when the next heat needs another temperature, pressure or timer than the press had at
    its last reading.
    """
    slot = job.tickets.get(job.slot)
    if slot is None or (job.set_for is not None and job.set_in == slot.passage):
        return None  # every closing of a pass has the same setting
    required = required_setting(job)
    if required is None or required != job.set_for or job.set_in is None:
        return None if required == job.set_for else required
    before, needed = dials_of(job.plan, job.set_in), dials_of(job.plan, slot.passage)
    return None if pressure_serves(before, needed) and before.timer == needed.timer else required
