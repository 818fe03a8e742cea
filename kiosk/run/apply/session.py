"""What starts of the program, people, their cues and keys, and the shop's files make of a state."""

from kiosk.run.apply.places import with_job
from kiosk.run.facts.hands import closings_stay
from kiosk.run.state import Now, State, replace
from kiosk.run.state import events_shift as e
from kiosk.run.state import events_station as st
from kiosk.run.state.rules import Cues, Hold, SignOff, Tries


def pin_tried(state: State, event: e.PinTried) -> State:
    """Wrong entries are counted, a right one ends the count."""
    before = state.tries.wrong if state.tries else 0
    return replace(state, tries=None if event.right else Tries(before + 1, event.at))


def pin_chosen(state: State, event: e.PinChosen) -> State:
    """A new PIN: whoever could choose it has the machine."""
    return replace(state, tries=None)


def recipes_read(state: State, event: e.RecipesRead) -> State:
    """The shop's files are as this digest says."""
    return replace(state, recipes=event.digest)


def upkeep_done(state: State, event: e.UpkeepDone) -> State:
    """A part was seen to; its closings count from here."""
    key = f"{event.press}/{event.part}"
    return replace(state, upkeep={**state.upkeep, key: event.closings})


def columns_confirmed(state: State, event: e.ColumnsConfirmed | e.OrderTaken) -> State:
    """The columns of a job, until it begins."""
    return replace(state, columns={**state.columns, event.job: event.columns})


def names_deleted(state: State, event: e.NamesDeleted) -> State:
    """The receipt: the job has no names left."""
    closed = {job: wall for job, wall in state.closed.items() if job != event.job}
    folders = {job: folder for job, folder in state.folders.items() if job != event.job}
    return replace(state, closed=closed, folders=folders)


def station_started(state: State, event: st.StationStarted) -> State:
    """A start; the first one of a log says whether all of it is a simulation."""
    trying = [job for job in state.jobs.values() if job.trying]  # nobody saw the cloth come off
    open_first = state.open_first or state.heat is not None or bool(trying)
    for job in trying:
        state = with_job(state, replace(job, trying=False))
    if state.job is not None and event.at.boot != state.boot:  # without power a press cools too
        state = replace(state, job=replace(state.job, set_for=None))
    return replace(
        state,
        simulated=state.simulated if state.boot else event.simulated,
        boot=event.at.boot,
        open_first=open_first,
        switch_seen=False,
    )


def signed_on(state: State, event: st.SignedOn) -> State:
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


def signed_off(state: State, event: st.SignedOff) -> State:
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


def display_chosen(state: State, event: e.DisplayChosen) -> State:
    """Remembered for the operator, or for whoever has not signed on."""
    return replace(state, displays={**state.displays, event.operator: event.display})


def handed_over(state: State, event: st.HandedOver) -> State:
    """The shift's end. Where nobody takes over the press is left switched off."""
    state = replace(closings_stay(state), operator="")
    if event.to or state.job is None:
        return state
    return replace(state, job=replace(state.job, set_for=None))


def cues_set(state: State, event: e.CuesSet) -> State:
    """What is to be heard and felt from here on."""
    return replace(state, cues=Cues(event.tones, event.voice, event.vibration))


def key_learned(state: State, event: e.KeyLearned) -> State:
    """The key in the place of those that had the role."""
    kept = tuple(each for each in state.keys if each[1] is not event.role)
    return replace(state, keys=(*kept, (event.scancode, event.role)))


def keys_forgotten(state: State, event: e.KeysForgotten) -> State:
    """None is learned any more."""
    return replace(state, keys=())


def held(state: State, event: st.Held) -> State:
    """A hold begins."""
    return replace(state, held=Hold(event.at, event.reason))


def restarted(state: State, event: st.Restarted) -> State:
    """A hold ends; it does not count as a move, so that a long one is a break."""
    return replace(state, held=None)
