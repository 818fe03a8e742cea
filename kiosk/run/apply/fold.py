"""How an event changes a state; the station is the fold of its events."""

from collections.abc import Callable, Iterable
from typing import Any, Self

from kiosk.run.apply import checks, closing, cooling, job, reported, result, session
from kiosk.run.state import JobRun, State, replace
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as sh
from kiosk.run.state import events_station as st

# Any: each function takes only the event type of its own row.
_FOLD: dict[type[e.Event], Callable[[State, Any], State]] = {
    st.StationStarted: session.station_started,
    st.SignedOn: session.signed_on,
    st.SignedOff: session.signed_off,
    sh.DisplayChosen: session.display_chosen,
    st.HandedOver: session.handed_over,
    sh.CuesSet: session.cues_set,
    sh.KeyLearned: session.key_learned,
    sh.KeysForgotten: session.keys_forgotten,
    st.Held: session.held,
    st.Restarted: session.restarted,
    e.JobStarted: job.job_started,
    st.JobUnbegun: job.job_unbegun,
    st.BatchTaken: job.batch_taken,
    st.BatchesEnded: job.batches_ended,
    st.ClaimsMet: job.claims_met,
    st.ClaimsLeft: job.claims_left,
    e.JobTaken: job.job_taken,
    e.JobLeft: job.job_left,
    e.JobDone: job.job_done,
    e.SettingRead: job.setting_read,
    e.TicketCalled: job.ticket_called,
    e.ReadBack: job.read_back,
    e.Confirmed: result.confirmed,
    e.Closed: closing.closed,
    e.ClosingSeen: closing.closing_seen,
    e.UnaskedClosing: closing.unasked_closing,
    e.TimeUp: closing.time_up,
    e.Opened: closing.opened,
    e.AskedClosed: closing.asked_closed,
    e.NotClosed: closing.not_closed,
    e.WasClosed: closing.was_closed,
    e.NeverClosed: result.never_closed,
    e.ToldPressed: reported.told_pressed,
    e.OutcomeUnknown: closing.outcome_unknown,
    e.OpenSaid: closing.open_said,
    e.Finished: result.finished,
    e.WentOn: result.went_on,
    e.Skipped: result.skipped,
    e.SetAside: result.set_aside,
    e.Stopped: job.stopped,
    e.TakenBack: result.taken_back,
    sh.RepressAllowed: job.repress_allowed,
    sh.Ruled: job.ruled,
    st.LogSalvaged: job.log_salvaged,
    sh.PressVerified: checks.press_verified,
    sh.VerificationLapsed: checks.verification_lapsed,
    sh.Overridden: checks.overridden,
    sh.FirstArticleJudged: checks.first_article_judged,
    sh.TrialBegun: checks.trial_begun,
    sh.TrialLeft: checks.trial_left,
    sh.TrialByFirst: checks.trial_by_first,
    sh.TrialJudged: checks.trial_judged,
    sh.TrialNoted: checks.trial_noted,
    sh.PinTried: session.pin_tried,
    sh.PinChosen: session.pin_chosen,
    sh.RecipesRead: session.recipes_read,
    sh.UpkeepDone: session.upkeep_done,
    sh.NamesDeleted: session.names_deleted,
    sh.ColumnsConfirmed: session.columns_confirmed,
    sh.OrderTaken: session.columns_confirmed,
    st.PeelEstimated: cooling.estimated,
    st.PlaceSaid: cooling.place_said,
    st.Touched: cooling.touched,
    st.PeelLearned: cooling.learned,
    st.LearningReset: cooling.learning_reset,
}


def apply(state: State, event: e.Event) -> State:
    """Return the state after `event`; total: an event that does not fit changes only `last`."""
    fold, before = _FOLD.get(type(event)), state
    if fold is not None:
        state = fold(state, event)
    over = before.heat is not None and state.heat is not before.heat
    if over or isinstance(event, e.Opened):
        state = cooling.with_pressing(before, state, event)
    job = None if state.job is None else _with_hands(before, state, state.job, event)
    return replace(state, job=job, last=event.at)


def replay(events: Iterable[e.Event], state: State | None = None) -> State:
    """Return the state after all `events`, from `state` or from a new station."""
    return Course(State() if state is None else state).take(events).state


class Course:
    """A course of events from `state` on: the events in order, and the state after each."""

    def __init__(self, state: State) -> None:
        self.state = state
        self.events: list[e.Event] = []
        self.states: list[State] = []

    def take(self, events: Iterable[e.Event]) -> Self:
        """Apply `events`."""
        for event in events:
            self.state = apply(self.state, event)
            self.events.append(event)
            self.states.append(self.state)
        return self


_BEGIN = (
    e.TicketCalled, e.TimeUp, e.Opened, e.WasClosed, e.ToldPressed, e.Confirmed, e.Finished,
    st.HandedOver,
)  # fmt: skip
"""After these, the next move starts from nothing; after others, part of it may be done."""


def _with_hands(before: State, state: State, job: JobRun, event: e.Event) -> JobRun:
    """Return the job of `state`, the result of `event` on `before`, with the start of its move."""
    at, quick = job.hands_from, job.quick
    if isinstance(event, e.AskedQuick):
        quick = True
    elif _move(before) != _move(state):
        at, quick = event.at if isinstance(event, _BEGIN) else None, False
        if isinstance(event, e.TimeUp):
            at = event.at.later(event.due - event.at.clock)
        elif isinstance(event, e.WasClosed):
            at = before.asked or event.at  # it opened when "opened" was tapped, not at the answer
    if (at, quick) == (job.hands_from, job.quick):
        return job
    return replace(job, hands_from=at, quick=quick)


def _move(state: State) -> tuple[object, ...]:
    """What identifies the current move: it is over once one of these changes."""
    job = state.job
    if job is None:
        return (state.heat is None,)
    ticket = job.tickets.get(job.slot)
    where = (None, 0) if ticket is None else (ticket.id, ticket.step)
    return (job.job, *where, state.heat is None)
