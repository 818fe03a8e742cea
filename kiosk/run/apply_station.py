"""The station's own events: starts, operators, holds."""

from __future__ import annotations

from kiosk.run import events as e
from kiosk.run import events_cues as ec
from kiosk.run.anew import replace
from kiosk.run.events_shift import DisplayChosen
from kiosk.run.last_closing import closings_stay
from kiosk.run.model import Cues, Hold, Now, SignOff, State


def station_started(state: State, event: e.StationStarted) -> State:
    """A start; the first one of a log says whether all of it is a simulation."""
    return replace(
        state,
        simulated=state.simulated if state.boot else event.simulated,
        boot=event.at.boot,
        open_first=state.open_first or state.heat is not None or _trying(state),
        switch_seen=False,
        jobs={
            name: replace(job, trying=False) if job.trying else job
            for name, job in state.jobs.items()
        },
    )


def _trying(state: State) -> bool:
    """Whether a piece of cloth may be under a closed press: nobody saw it come off."""
    return any(job.trying for job in state.jobs.values())


def signed_on(state: State, event: e.SignedOn) -> State:
    """An operator; nobody before means that a shift begins. The first one of all is no change."""
    other = state.moved is not None and event.operator != state.operator
    state = closings_stay(state)
    return replace(
        state,
        operator=event.operator,
        confirm=event.confirm,
        shift=state.shift if state.operator else state.shift + 1,
        changed_operator=state.changed_operator or other,
        operators={**state.operators, event.operator: event.confirm},
        grouped=_grouped(state.sign_offs, event.operator, event.at),
    )


def signed_off(state: State, event: e.SignedOff) -> State:
    """A family's sign-off, in the place of an earlier one; it holds at once."""
    kept = tuple(
        s for s in state.sign_offs if (s.operator, s.family) != (event.operator, event.family)
    )
    given = (SignOff(event.operator, event.family, event.until),)
    after = (*kept, *given) if event.until > event.at.wall else kept
    return replace(state, sign_offs=after, grouped=_grouped(after, state.operator, event.at))


def _grouped(sign_offs: tuple[SignOff, ...], operator: str, at: Now) -> tuple[str, ...]:
    own = (s for s in sign_offs if s.operator == operator and s.until > at.wall)
    return tuple(sorted(s.family for s in own))


def display_chosen(state: State, event: DisplayChosen) -> State:
    """Remembered for the operator, or for whoever has not signed on."""
    return replace(state, displays={**state.displays, event.operator: event.display})


def handed_over(state: State, event: e.HandedOver) -> State:
    """The shift's end."""
    return replace(closings_stay(state), operator="")


def cues_set(state: State, event: ec.CuesSet) -> State:
    """What is to be heard and felt from here on."""
    return replace(state, cues=Cues(event.tones, event.voice, event.vibration))


def key_learned(state: State, event: ec.KeyLearned) -> State:
    """The key in the place of those that had the role."""
    kept = tuple(each for each in state.keys if each[1] is not event.role)
    return replace(state, keys=(*kept, (event.scancode, event.role)))


def keys_forgotten(state: State, event: ec.KeysForgotten) -> State:
    """None is learned any more."""
    return replace(state, keys=())


def held(state: State, event: e.Held) -> State:
    """A hold begins."""
    return replace(state, held=Hold(event.at, event.reason))


def restarted(state: State, event: e.Restarted) -> State:
    """A hold ends; it does not count as a move, so that a long one is a break."""
    return replace(state, held=None)
