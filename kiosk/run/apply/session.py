"""How starts of the program, people, cues, keys and the shop's files change a state."""

from kiosk.run.apply.closing import clear_platen
from kiosk.run.apply.places import with_job
from kiosk.run.facts.hands import without_closing_undo
from kiosk.run.state import Now, State, replace
from kiosk.run.state import events_shift as e
from kiosk.run.state import events_station as st
from kiosk.run.state.rules import Cues, Hold, PinTries, SignOff


def pin_tried(state: State, event: e.PinTried) -> State:
    """Count a wrong entry; a right one resets the count."""
    before = state.tries.wrong if state.tries else 0
    return replace(state, tries=None if event.right else PinTries(before + 1, event.at))


def pin_chosen(state: State, event: e.PinChosen) -> State:
    """Reset the count of wrong PINs: choosing a PIN takes access to the machine."""
    return replace(state, tries=None)


def recipes_read(state: State, event: e.RecipesRead) -> State:
    """Keep the digest of the shop's files."""
    return replace(state, recipes=event.digest)


def upkeep_done(state: State, event: e.UpkeepDone) -> State:
    """Count a serviced part's closings from here."""
    key = f"{event.press}/{event.part}"
    return replace(state, upkeep={**state.upkeep, key: event.closings})


def columns_confirmed(state: State, event: e.ColumnsConfirmed | e.OrderTaken) -> State:
    """Keep a job's confirmed columns until it begins."""
    return replace(state, columns={**state.columns, event.job: event.columns})


def names_deleted(state: State, event: e.NamesDeleted) -> State:
    """Forget the closing time and folder of a job whose names were deleted."""
    closed = {job: wall for job, wall in state.closed.items() if job != event.job}
    folders = {job: folder for job, folder in state.folders.items() if job != event.job}
    return replace(state, closed=closed, folders=folders)


def station_started(state: State, event: st.StationStarted) -> State:
    """Start; the first start of a record decides whether all of it is a simulation."""
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
    """Sign on; with nobody before, a shift begins. The very first is not a change of operator."""
    changed = state.moved is not None and event.operator != state.operator
    state = without_closing_undo(state)
    return replace(
        state,
        operator=event.operator,
        confirm=event.confirm,
        shift=state.shift if state.operator else state.shift + 1,
        changed_operator=state.changed_operator or changed,
        operators={**state.operators, event.operator: event.confirm},
        grouped=_grouped(state.sign_offs, event.operator, event.at),
    )


def signed_off(state: State, event: st.SignedOff) -> State:
    """Replace an operator's sign-off for a family, effective at once."""
    others = tuple(
        s for s in state.sign_offs if (s.operator, s.family) != (event.operator, event.family)
    )
    new = (SignOff(event.operator, event.family, event.until),)
    after = (*others, *new) if event.until > event.at.wall else others
    return replace(state, sign_offs=after, grouped=_grouped(after, state.operator, event.at))


def _grouped(sign_offs: tuple[SignOff, ...], operator: str, at: Now) -> tuple[str, ...]:
    own = (s for s in sign_offs if s.operator == operator and s.until > at.wall)
    return tuple(sorted(s.family for s in own))


def display_chosen(state: State, event: e.DisplayChosen) -> State:
    """Keep a choice for the screen, for the operator, or for the time when nobody is signed on."""
    return replace(state, displays={**state.displays, event.operator: event.display})


def handed_over(state: State, event: st.HandedOver) -> State:
    """End the shift, platen cleared; if nobody takes over, the press is assumed switched off."""
    state = replace(without_closing_undo(state), operator="")
    if state.job is None:
        return state
    job = clear_platen(state.job, event.at)
    job = job if event.to else replace(job, set_for=None)
    return replace(state, job=job, moved=event.at)


def cues_set(state: State, event: e.CuesSet) -> State:
    """Set the station's cues from here on."""
    return replace(state, cues=Cues(event.tones, event.voice, event.vibration))


def key_learned(state: State, event: e.KeyLearned) -> State:
    """Replace the keys of a role by this one."""
    others = tuple(each for each in state.keys if each[1] is not event.role)
    return replace(state, keys=(*others, (event.scancode, event.role)))


def keys_forgotten(state: State, event: e.KeysForgotten) -> State:
    """Drop all learned keys."""
    return replace(state, keys=())


def held(state: State, event: st.Held) -> State:
    """Begin a hold."""
    return replace(state, held=Hold(event.at, event.reason))


def restarted(state: State, event: st.Restarted) -> State:
    """End a hold; not a move, so that a long hold counts as a break."""
    return replace(state, held=None)
