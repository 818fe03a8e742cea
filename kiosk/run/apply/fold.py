"""What an event makes of a state; the station is the fold of its events."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from kiosk.run.apply.closing import (
    asked_closed,
    closed,
    closing_seen,
    not_closed,
    open_said,
    opened,
    outcome_unknown,
    time_up,
    unasked_closing,
    was_closed,
)
from kiosk.run.apply.cooling import (
    estimated,
    learned,
    learning_reset,
    place_said,
    touched,
    with_pressing,
)
from kiosk.run.apply.job import (
    job_done,
    job_left,
    job_started,
    job_taken,
    log_salvaged,
    read_back,
    setting_read,
    ticket_called,
)
from kiosk.run.apply.result import confirmed, finished, set_aside, skipped, went_on
from kiosk.run.apply.shift import (
    columns_confirmed,
    cues_set,
    display_chosen,
    first_article_judged,
    handed_over,
    held,
    key_learned,
    keys_forgotten,
    names_deleted,
    overridden,
    pin_chosen,
    pin_tried,
    press_verified,
    recipes_read,
    restarted,
    signed_off,
    signed_on,
    station_started,
    upkeep_done,
    verification_lapsed,
)
from kiosk.run.apply.supervisor import repress_allowed, ruled, stopped
from kiosk.run.apply.told import never_closed, told_pressed
from kiosk.run.apply.trial import (
    trial_begun,
    trial_by_first,
    trial_judged,
    trial_left,
    trial_noted,
)
from kiosk.run.apply.undo import taken_back
from kiosk.run.facts.quick import with_hands
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as ec
from kiosk.run.state import events_shift as s
from kiosk.run.state import events_trial as t
from kiosk.run.state.anew import replace
from kiosk.run.state.events_shift import DisplayChosen
from kiosk.run.state.model import State

# Any: each function takes the one type of event that it stands beside.
_FOLD: dict[type[e.Event], Callable[[State, Any], State]] = {
    e.StationStarted: station_started,
    e.SignedOn: signed_on,
    e.SignedOff: signed_off,
    DisplayChosen: display_chosen,
    e.HandedOver: handed_over,
    ec.CuesSet: cues_set,
    ec.KeyLearned: key_learned,
    ec.KeysForgotten: keys_forgotten,
    e.Held: held,
    e.Restarted: restarted,
    e.JobStarted: job_started,
    e.JobTaken: job_taken,
    e.JobLeft: job_left,
    e.JobDone: job_done,
    e.SettingRead: setting_read,
    e.TicketCalled: ticket_called,
    e.ReadBack: read_back,
    e.Confirmed: confirmed,
    e.Closed: closed,
    e.ClosingSeen: closing_seen,
    e.UnaskedClosing: unasked_closing,
    e.TimeUp: time_up,
    e.Opened: opened,
    e.AskedClosed: asked_closed,
    e.NotClosed: not_closed,
    e.WasClosed: was_closed,
    e.NeverClosed: never_closed,
    e.ToldPressed: told_pressed,
    e.OutcomeUnknown: outcome_unknown,
    e.OpenSaid: open_said,
    e.Finished: finished,
    e.WentOn: went_on,
    e.Skipped: skipped,
    e.SetAside: set_aside,
    e.Stopped: stopped,
    e.TakenBack: taken_back,
    e.RepressAllowed: repress_allowed,
    e.Ruled: ruled,
    e.LogSalvaged: log_salvaged,
    s.PressVerified: press_verified,
    s.VerificationLapsed: verification_lapsed,
    s.Overridden: overridden,
    s.FirstArticleJudged: first_article_judged,
    t.TrialBegun: trial_begun,
    t.TrialLeft: trial_left,
    t.TrialByFirst: trial_by_first,
    t.TrialJudged: trial_judged,
    t.TrialNoted: trial_noted,
    s.PinTried: pin_tried,
    s.PinChosen: pin_chosen,
    s.RecipesRead: recipes_read,
    s.UpkeepDone: upkeep_done,
    s.NamesDeleted: names_deleted,
    s.ColumnsConfirmed: columns_confirmed,
    e.PeelEstimated: estimated,
    e.PlaceSaid: place_said,
    e.Touched: touched,
    e.PeelLearned: learned,
    e.LearningReset: learning_reset,
}


def apply(state: State, event: e.Event) -> State:
    """Return the state after `event`; total: an event that does not fit changes only `last`."""
    fold, before = _FOLD.get(type(event)), state
    if fold is not None:
        state = fold(state, event)
    if state.heat is not before.heat or isinstance(event, e.Opened):
        state = with_pressing(before, state, event)
    return replace(with_hands(before, state, event), last=event.at)


def replay(events: Iterable[e.Event], state: State | None = None) -> State:
    """Return the state after all `events`, from `state` or from a new station."""
    state = State() if state is None else state
    for event in events:
        state = apply(state, event)
    return state
