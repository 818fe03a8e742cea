"""When a garment's peels are due: solved once as its last closing ends, kept as an event."""

from typing import NamedTuple

from kiosk.catalog.model import PROPOSED, Peel, Range, Thresholds
from kiosk.heat.curve import solve
from kiosk.heat.garment import (
    LIFTING_SECONDS,
    Cooling,
    GarmentPlace,
    cooling_acts,
    peel_zones,
    story,
)
from kiosk.heat.heat_taken import press_layers
from kiosk.heat.learn import LIFTED, PAD, Beta
from kiosk.heat.stack import Temperatures
from kiosk.peel.history import GarmentHistory, garment_history, stack_after
from kiosk.peel.kept_curve import curve_of, moved, thinned
from kiosk.plan.heat import COOLING_SECONDS, wait_of
from kiosk.plan.model import Pass, PeelWait
from kiosk.run.apply import is_final
from kiosk.run.facts import pass_of, waiting_carriers
from kiosk.run.state import (
    ENDED,
    CoolingPlace,
    Estimate,
    JobRun,
    LearnedCooling,
    Now,
    PadHeat,
    Points,
    Pressing,
    State,
    Ticket,
    commands_shift,
    elapsed,
)

MOVED_SECONDS = 3.0  # lifting later than this after the model's time needs a new estimate
CHANGED_SHARE = 0.01  # of a time: a smaller change gives no new estimate


def to_estimate(state: State) -> Ticket | None:
    """Return the garment cooling since the last closing if it has no estimate yet, else None.

    Applies after its final, or after a tack with a carrier that comes off warm or cold.
    """
    job = state.job
    last = state.pressings[-1] if state.pressings else None
    if job is None or last is None or state.heat is not None:
        return None
    ticket = job.tickets.get(last.ticket)
    if ticket is None or ticket.opened != last.ended or not _cools(job, ticket, last):
        return None
    estimated = ticket.estimate is not None and ticket.estimate.opened == ticket.opened
    needs_none = ticket.peeled or ticket.stage in ENDED  # except for the pad that it warmed
    pad_known = state.pad_next is not None or not is_final(job, last)
    return None if estimated or (pad_known and needs_none) else ticket


def _cools(job: JobRun, ticket: Ticket, last: Pressing) -> bool:
    """Whether something can be estimated after the ticket's last closing, with a model for it."""
    passage = pass_of(job, ticket)
    if not is_final(job, last) and not waiting_carriers(passage, ticket.step):
        return False
    return stack_after(passage, last.step) is not None


def estimate(state: State) -> commands_shift.GiveEstimate | None:
    """Return the estimate of the garment of `to_estimate`, solved in milliseconds; None if none."""
    job, ticket = state.job, to_estimate(state)
    if job is None or ticket is None or ticket.opened is None:
        return None
    history, final = garment_history(state), is_final(job, state.pressings[-1])
    if history is None:
        return None
    lifted, end = _cooled(history, GarmentPlace.LIFTED)
    on_pad, _ = _cooled(history, GarmentPlace.PAD)
    pad = _pad(ticket.opened.later(LIFTING_SECONDS), end) if final else None
    stages = stages_of(pass_of(job, ticket), ticket)
    found = _estimate(state, stages, ticket.opened, lifted, on_pad, history.stack.room)
    return commands_shift.GiveEstimate(ticket.id, found, pad)


class PeelStages(NamedTuple):
    """The peels that an estimate covers, hottest first, and the bond temperatures they need."""

    peels: tuple[Peel, ...]
    thresholds: Thresholds


def stages_of(passage: Pass, ticket: Ticket) -> PeelStages:
    """Return the peels that follow the last closing of a ticket: of its tack, or its final."""
    carriers = waiting_carriers(passage, ticket.step)
    if not carriers:
        return PeelStages(tuple(wait.peel for wait in passage.stages), thresholds_of(passage))
    peels = tuple(each.wait.peel for each in carriers if each.wait is not None)
    stack = carriers[-1].heat
    return PeelStages(peels, PROPOSED if stack is None else stack.peel_at)


def changed_estimates(state: State) -> tuple[commands_shift.GiveEstimate, ...]:
    """Return the estimates changed by the operator's entry or a lesson, without solving again."""
    job = state.job
    if job is None:
        return ()
    names = (*job.rack, *((job.slot,) if job.slot else ()))
    found = ((job.tickets[name], _changed(state, job, job.tickets[name])) for name in names)
    return tuple(
        commands_shift.GiveEstimate(t.id, new, None) for t, new in found if new is not None
    )


def _changed(state: State, job: JobRun, ticket: Ticket) -> Estimate | None:
    old = ticket.estimate
    if old is None or old.opened != ticket.opened or not old.lifted:
        return None
    after, curve = old.lifted_after, old.lifted_curve
    if ticket.lifted is not None:
        lifted_at = elapsed(old.opened, ticket.lifted)[0]
        if lifted_at > after + MOVED_SECONDS:
            after, curve = lifted_at, tuple(moved(old, lifted_at))
    stages = stages_of(pass_of(job, ticket), ticket)
    new = _estimate(state, stages, old.opened, curve, old.pad_curve, old.room, after)
    return None if _same_estimate(old, new) else new


def _same_estimate(old: Estimate, new: Estimate) -> bool:
    if old.lifted_after != new.lifted_after:
        return False
    pairs = zip((*old.lifted, *old.on_pad), (*new.lifted, *new.on_pad), strict=True)
    return all(_same(a, b) for a, b in pairs)


def _same(a: PeelWait | None, b: PeelWait | None) -> bool:
    if a is None or b is None:
        return a is b
    return _near(a.ready, b.ready) and _near(a.late, b.late)


def _near(a: Range | None, b: Range | None) -> bool:
    if a is None or b is None:
        return a is b
    pairs = ((a.low, b.low), (a.high, b.high))
    return all(abs(x - y) <= CHANGED_SHARE * max(x, y) for x, y in pairs)


def _cooled(history: GarmentHistory, where: GarmentPlace) -> tuple[Points, Temperatures]:
    """The bond's curve from opening on, thinned out, and the temperatures left in the press."""
    acts = cooling_acts(history.films, history.carrier, where, COOLING_SECONDS[where])
    curves = solve(story(history.setup, acts), history.solved.end)
    return tuple(thinned(curves.cooling.samples)), press_layers(curves.end)


def _pad(at: Now, end: Temperatures) -> PadHeat:
    pad, lower = (tuple(round(t, 2) for t in end[name]) for name in ("pad", "lower"))
    return PadHeat(at, pad, lower)


def _estimate(
    state: State,
    stages: PeelStages,
    opened: Now,
    lifted: Points,
    on_pad: Points,
    room: float,
    lifted_after: float = LIFTING_SECONDS,
) -> Estimate:
    peels, thresholds = stages
    points_by_place = {CoolingPlace.LIFTED: lifted, CoolingPlace.ON_PAD: on_pad}
    cooling = {
        lies: Cooling(curve_of(points), 0.0, room, beta_of(state, lies))
        for lies, points in points_by_place.items()
    }
    return Estimate(
        opened,
        _waits(peels, cooling[CoolingPlace.LIFTED], thresholds),
        _waits(peels, cooling[CoolingPlace.ON_PAD], thresholds),
        lifted,
        on_pad,
        room,
        lifted_after,
        _ready(peels, cooling[CoolingPlace.LIFTED], thresholds),
        _ready(peels, cooling[CoolingPlace.ON_PAD], thresholds),
    )


def _waits(
    peels: tuple[Peel, ...], cooling: Cooling, thresholds: Thresholds
) -> tuple[PeelWait | None, ...]:
    return tuple(wait_of(peel_zones(peel, cooling, thresholds=thresholds)) for peel in peels)


def _ready(peels: tuple[Peel, ...], cooling: Cooling, thresholds: Thresholds) -> float | None:
    """Seconds until the last peel is ready by the model alone; None if it need not wait."""
    if not peels or peels[-1] is Peel.HOT:
        return None
    celsius = ready_celsius(peels[-1], thresholds, cooling.room)
    return cooling.seconds_to(celsius) or None


def thresholds_of(passage: Pass) -> Thresholds:
    """Return the bond temperatures that a pass's peels depend on."""
    return PROPOSED if passage.heat is None else passage.heat.peel_at


def ready_celsius(peel: Peel, thresholds: Thresholds, room: float) -> float:
    """Return the bond temperature in °C at which a warm or cold peel may begin."""
    return thresholds.warm_from if peel is Peel.WARM else thresholds.cold(room)


PRIORS = {CoolingPlace.LIFTED: LIFTED, CoolingPlace.ON_PAD: PAD}


def beta_of(state: State, lies: CoolingPlace) -> Beta:
    """Return what is known of one way of cooling; the prior if nothing was learned."""
    learned = state.betas.get(lies.value)
    if learned is None:
        return PRIORS[lies]
    return Beta(learned.mean, learned.weight, learned.ready_by, learned.moments, learned.two_sided)


def as_kept(beta: Beta) -> LearnedCooling:
    """Return `beta` in the form kept in the log."""
    return LearnedCooling(
        beta.two_sided_mean, beta.two_sided_weight, beta.ready_by, beta.moments, beta.two_sided
    )
