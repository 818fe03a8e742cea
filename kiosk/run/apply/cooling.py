"""Heat and cooling in the state: closings that warmed the pad, estimates, lessons."""

from kiosk.plan.model import Phase
from kiosk.run.apply.places import job_and_ticket
from kiosk.run.facts.tickets import is_hot, step_at
from kiosk.run.state import JobRun, State, Ticket, replace
from kiosk.run.state import events as e
from kiosk.run.state import events_station as st
from kiosk.run.state.cooling import (
    CoolingPlace,
    LearnedCooling,
    Lesson,
    LessonSource,
    Pressing,
    TouchFeel,
)
from kiosk.run.state.event import Now, elapsed
from kiosk.run.state.model import ENDED, Heat

MOST_PRESSINGS = 24  # a pad forgets; and the state must not grow
MOST_LESSONS = 24


def with_pressing(before: State, state: State, event: e.Event) -> State:
    """Return `state`, the result of `event` on `before`, with the closing that just ended."""
    heat = before.heat
    if heat is None:
        return _extend_last_pressing(state, event) if isinstance(event, e.Opened) else state
    if state.heat is not None or isinstance(event, e.NotClosed):
        return state
    began = heat.closed.later(heat.starts - heat.closed.clock)
    ended, job = _ended(before, heat, event), before.current
    pressing = Pressing(heat.ticket, heat.step, began, ended, job)
    return replace(state, pressings=(*state.pressings, pressing)[-MOST_PRESSINGS:])


def _ended(before: State, heat: Heat, event: e.Event) -> Now:
    """When the press opened; if nobody saw it, as planned."""
    if isinstance(event, e.TimeUp):
        return event.at.later(event.due - event.at.clock)
    if isinstance(event, e.WasClosed):
        return before.asked or event.at
    if isinstance(event, e.OutcomeUnknown):
        planned = heat.starts - heat.closed.clock + (heat.dwell_seconds or 0.0)
        return heat.closed.later(planned)
    return event.at


def _extend_last_pressing(state: State, event: e.Opened) -> State:
    """Opening reported after the tone: that garment's last closing lasted until then."""
    last = state.pressings[-1] if state.pressings else None
    if last is None or not event.ticket or (last.ticket, last.step) != (event.ticket, event.step):
        return state
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.opened != event.at:
        return state
    late = replace(last, ended=event.at)
    return replace(state, pressings=(*state.pressings[:-1], late))


def next_garment(state: State, ticket: str) -> State:
    """Fold earlier closings into the pad's heat when another garment is pressed."""
    last = state.pressings[-1] if state.pressings else None
    if state.pad_next is None or last is None:
        return state
    if (last.job, last.ticket) == (state.current, ticket):
        return state
    return replace(state, pad=state.pad_next, pad_next=None, pressings=())


def estimated(state: State, event: st.PeelEstimated) -> State:
    """Keep a garment's estimate, and the pad's heat for the next garment."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.opened != event.estimate.opened:
        return state
    last = state.pressings[-1] if state.pressings else None
    last_pressed = last is not None and (last.job, last.ticket) == (job.job, ticket.id)
    if event.pad is not None and last_pressed:
        state = replace(state, pad_next=event.pad)
    if ticket.peeled or ticket.stage in ENDED:  # its result came first: nothing needs the estimate
        return state
    return replace(state, job=_with_ticket(job, replace(ticket, estimate=event.estimate)))


def place_said(state: State, event: st.PlaceSaid) -> State:
    """Keep where a garment cools, as reported."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None:
        return state
    lifted = event.at if event.lies is CoolingPlace.LIFTED else None
    return replace(state, job=_with_ticket(job, replace(ticket, lies=event.lies, lifted=lifted)))


def touched(state: State, event: st.Touched) -> State:
    """Keep when it felt too warm (ready only later), or a reading to compare the next with."""
    job, ticket = job_and_ticket(state, event.ticket)
    if job is None or ticket is None or ticket.opened is None:
        return state
    seconds = elapsed(ticket.opened, event.at)[0]
    if event.feels is TouchFeel.READING and event.celsius is not None:
        return replace(state, job=_with_ticket(job, replace(ticket, read=(seconds, event.celsius))))
    if event.feels is not TouchFeel.NOT_READY:
        return state
    return replace(state, job=_with_ticket(job, replace(ticket, felt=seconds)))


def on_rack(ticket: Ticket, at: Now) -> Ticket:
    """Return a ticket that the next closing, at `at`, confirmed to be on the rack.

    One left on the pad was lifted just now; otherwise it is assumed lifted at once.
    """
    if ticket.lies is CoolingPlace.ON_PAD:
        return replace(ticket, lies=CoolingPlace.LIFTED, lifted=at)
    return replace(ticket, lies=CoolingPlace.LIFTED)


def learned(state: State, event: st.PeelLearned) -> State:
    """Keep what was learned, and the lesson for its history."""
    before = state.betas.get(event.lies.value)
    lesson = Lesson(
        event.at,
        event.ticket,
        event.lies,
        event.taught,
        event.seen_seconds,
        event.ready_seconds,
        event.low,
        event.factor,
        event.high,
        before,
        at_least=not event.kept.two_sided,
    )
    return _with_lesson(state, event.lies, event.kept, lesson)


def learning_reset(state: State, event: st.LearningReset) -> State:
    """Drop what was learned; the history records the reset."""
    before = state.betas.get(event.lies.value)
    lesson = Lesson(event.at, "", event.lies, None, 0.0, 0.0, 1.0, 1.0, 1.0, before)
    return _with_lesson(state, event.lies, None, lesson)


def without_lesson(state: State, ticket: str) -> State:
    """Return the state without the lesson of the tap taken back, if nothing later builds on it."""
    for nth in range(len(state.lessons) - 1, -1, -1):
        lesson = state.lessons[nth]
        if lesson.ticket == ticket and lesson.taught in (
            LessonSource.GOOD_PEEL,
            LessonSource.LIFTED_EDGE,
        ):
            if any(later.lies is lesson.lies for later in state.lessons[nth + 1 :]):
                return state  # later lessons build on it
            lessons = (*state.lessons[:nth], *state.lessons[nth + 1 :])
            return replace(state, lessons=lessons, betas=_betas(state, lesson.lies, lesson.before))
    return state


def is_final(job: JobRun | None, pressing: Pressing) -> bool:
    """Return whether a closing was the final of a garment of this job."""
    if job is None or job.job != pressing.job:
        return False
    ticket = job.tickets.get(pressing.ticket)
    if ticket is None:
        return False
    return is_hot(step_at(job, ticket, pressing.step), Phase.FINAL)


def _with_lesson(
    state: State, place: CoolingPlace, learned_cooling: LearnedCooling | None, lesson: Lesson
) -> State:
    lessons = (*state.lessons, lesson)[-MOST_LESSONS:]
    return replace(state, betas=_betas(state, place, learned_cooling), lessons=lessons)


def _betas(
    state: State, place: CoolingPlace, learned_cooling: LearnedCooling | None
) -> dict[str, LearnedCooling]:
    betas = {key: value for key, value in state.betas.items() if key != place.value}
    return betas if learned_cooling is None else {**betas, place.value: learned_cooling}


def _with_ticket(job: JobRun, ticket: Ticket) -> JobRun:
    return replace(job, tickets={**job.tickets, ticket.id: ticket})
