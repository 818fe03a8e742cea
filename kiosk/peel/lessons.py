"""What a result, a touch or a reading teaches about how fast this shop's garments cool."""

from math import hypot, log, sqrt

from kiosk.catalog.base import Celsius, Message, say
from kiosk.catalog.model import Peel
from kiosk.heat.curve import (
    FOUND_READY_SPREAD,
    Observation,
    ObservationKind,
    good_peel,
    infrared,
    lifted_edge,
    not_ready,
    touch_check,
)
from kiosk.heat.learn import Beta, expected, learn, teaches
from kiosk.peel.estimate import PRIORS, as_kept, beta_of, thresholds_of
from kiosk.peel.kept_curve import curve_of
from kiosk.run.facts import has_own_estimate, label_of, pass_of
from kiosk.run.state import (
    CoolingPlace,
    Estimate,
    Event,
    Finished,
    JobRun,
    LessonSource,
    Now,
    State,
    Ticket,
    TicketStage,
    Touched,
    TouchFeel,
    commands_shift,
    elapsed,
)

TOO_SOON = frozenset({"peeled_early", "not_known", ""})
"""Causes of a lifted edge that are a matter of the peel's time; the rest teach nothing."""


def lesson(before: State, event: Event) -> commands_shift.LearnPeel | None:
    """Return what an event teaches, or None; `before` is the state when it happened."""
    found = _observed(before, event)
    if found is None:
        return None
    ticket, source, observation = found
    beta, earlier = beta_of(before, ticket.lies), _earlier(ticket, source)
    if not teaches(beta, observation, earlier):
        return None
    return _learned(
        ticket, source, observation, learn(beta, observation, PRIORS[ticket.lies], earlier)
    )


def read_again(before: State, event: Event) -> Message | None:
    """Return a request to read again, if a reading is too far from the estimate; else None."""
    if not isinstance(event, Touched) or event.celsius is None:
        return None
    ticket = None if before.job is None else before.job.tickets.get(event.ticket)
    if ticket is None or ticket.estimate is None or ticket.lies is CoolingPlace.NOT_SAID:
        return None
    seconds = _seconds_since_opening(ticket, event.at)
    if seconds is None or lesson(before, event) is not None:
        return None
    curve = curve_of(ticket.estimate.curve(ticket.lies))
    range_ = expected(beta_of(before, ticket.lies), curve, 0.0, seconds)
    if range_ is None:
        return None
    low, high = (Celsius(each) for each in range_)
    number, reading = label_of(ticket), Celsius(event.celsius)
    return say("station.read_again", number=number, read=reading, low=low, high=high)


def _observed(before: State, event: Event) -> tuple[Ticket, LessonSource, Observation] | None:
    if not isinstance(event, Finished | Touched):
        return None
    job = before.job
    ticket = None if job is None else job.tickets.get(event.ticket)
    if job is None or ticket is None:
        return None
    seconds = _seconds_since_opening(ticket, event.at)
    if seconds is None or ticket.estimate is None or ticket.lies is CoolingPlace.NOT_SAID:
        return None
    if isinstance(event, Touched):
        source = LessonSource.READING if event.feels is TouchFeel.READING else LessonSource.TOUCH
        observation = _of_touch(job, ticket, ticket.estimate, event, seconds)
    else:
        bad = event.defect == "lifted_edge"
        source = LessonSource.LIFTED_EDGE if bad else LessonSource.GOOD_PEEL
        observation = _of_result(job, ticket, ticket.estimate, event, seconds)
    return None if observation is None else (ticket, source, observation)


def _earlier(ticket: Ticket, source: LessonSource) -> Observation | None:
    """The previous reading of the same garment."""
    if source is not LessonSource.READING or ticket.read is None or ticket.estimate is None:
        return None
    curve = curve_of(ticket.estimate.curve(ticket.lies))
    return infrared(curve, 0.0, *ticket.read, ticket.estimate.room)


def _seconds_since_opening(ticket: Ticket, at: Now) -> float | None:
    """Seconds since opening; None if uncertain because of a reboot in between."""
    if ticket.opened is None or ticket.peeled:
        return None
    seconds, certain = elapsed(ticket.opened, at)
    return seconds if certain and seconds > 0 else None


def _of_result(
    job: JobRun, ticket: Ticket, estimate: Estimate, event: Finished, seconds: float
) -> Observation | None:
    """Good: ready by then if already called, else the exact moment; lifted edge: too soon."""
    ready, wait = estimate.ready(ticket.lies), estimate.wait(ticket.lies)
    if ready is None or wait is None or not has_own_estimate(job, ticket):
        return None
    if event.defect == "lifted_edge":
        return lifted_edge(seconds, ready) if event.cause in TOO_SOON else None
    if event.peeled and event.stage is TicketStage.GOOD:
        return good_peel(seconds, ready, prompted=seconds >= wait.from_seconds)
    return None


def _of_touch(
    job: JobRun, ticket: Ticket, estimate: Estimate, event: Touched, seconds: float
) -> Observation | None:
    """The exact moment before the call, or after a "not ready"; else ready by then."""
    passage = pass_of(job, ticket)
    wait, thresholds = passage.wait, thresholds_of(passage)
    curve, room = curve_of(estimate.curve(ticket.lies)), estimate.room
    ready = estimate.ready(ticket.lies)
    if event.feels is TouchFeel.READING:
        return infrared(curve, 0.0, seconds, event.celsius or 0.0, room)
    if wait is None or ready is None:
        return None
    if event.feels is TouchFeel.NOT_READY:
        return not_ready(seconds, ready)
    feels_celsius = thresholds.warm_aim if wait.peel is Peel.WARM else thresholds.cold(room)
    observation = touch_check(curve, 0.0, seconds, feels_celsius, room)
    if observation is not None and ticket.felt is not None and ticket.felt < seconds:
        return _bracketed(observation, ticket.felt, seconds)
    expected = estimate.wait(ticket.lies)
    if expected is not None and seconds >= expected.from_seconds:
        return Observation(ObservationKind.READY_BY, seconds, ready, FOUND_READY_SPREAD)
    return observation


def _bracketed(observation: Observation, before: float, after: float) -> Observation:
    """Not ready then, ready now: in between, evenly spread in ln t."""
    wide = log(after / before) / sqrt(12)
    return Observation(
        ObservationKind.MOMENT,
        sqrt(before * after),
        observation.model_seconds,
        hypot(observation.spread, wide),
    )


def _learned(
    ticket: Ticket, source: LessonSource, observation: Observation, beta: Beta
) -> commands_shift.LearnPeel:
    return commands_shift.LearnPeel(
        ticket.id,
        ticket.lies,
        source,
        round(observation.seen_seconds, 1),
        round(observation.model_seconds, 1),
        round(observation.spread, 4),
        as_kept(beta),
        round(beta.low, 4),
        round(beta.factor, 4),
        round(beta.high, 4),
    )
