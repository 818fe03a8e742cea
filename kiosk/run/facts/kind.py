"""What the station is in the middle of, and the question at hand."""

from __future__ import annotations

from enum import Enum

from kiosk.catalog.model import Demand
from kiosk.run.facts.checks import check_due, lot_hold, trial_due
from kiosk.run.facts.moves import required_setting
from kiosk.run.state import Ask, Changed, Heat, JobRun, Now, Question, State


def kind_of(state: State, now: Now) -> Kind:
    """Return what a settled station is in the middle of at `now`; what is hot comes first."""
    if state.last is None or state.boot != now.boot:
        return Kind.NEW
    if state.heat is not None:
        return _of_heat(state.heat, state.asked_closed)
    if state.open_first:
        return Kind.OPEN_FIRST
    if not state.operator:
        return Kind.OFF
    if state.held is not None:
        return Kind.HELD
    return Kind.IDLE if state.job is None else _of_job(state, state.job)


def _of_heat(heat: Heat, asked_closed: bool) -> Kind:
    if heat.dwell_seconds is None:
        return Kind.UNASKED
    if heat.rang:
        return Kind.OVER
    return Kind.ASK_CLOSED if asked_closed else Kind.HEAT


def _of_job(state: State, job: JobRun) -> Kind:
    if not job.slot:
        return Kind.HANDS if job.rack else Kind.LOT if lot_hold(job) else Kind.DONE
    asked = required_setting(job)
    if asked is not None and asked != job.set_for:
        return Kind.SETTING
    if job.rules.verify is not Demand.NO and check_due(state, job):
        return Kind.VERIFY
    if job.rules.trial is not Demand.NO and trial_due(job):
        return Kind.TRIAL
    return Kind.ASK if job.questions else Kind.HANDS


class Kind(Enum):
    """What the station is in the middle of: a picture each, the last three without a job."""

    HANDS = "hands"  # light: your turn
    HEAT = "heat"  # dark: the press's turn
    OVER = "over"  # dark and amber: past the deadline, opening not yet seen or declared
    UNASKED = "unasked"  # dark and amber: closed although nothing asked for it
    ASK = "ask"  # light: read it from the garment and enter it
    ASK_CLOSED = "ask closed"  # light: was it closed?
    OPEN_FIRST = "open first"  # light: OPEN THE PRESS after a start in a hot phase
    HELD = "held"  # light: on hold
    SETTING = "setting"  # light: set the press, enter what it shows
    VERIFY = "verify"  # light: the press is to be checked at its setting
    TRIAL = "trial"  # light: the setting rests on guesses, and nobody has tried it yet
    LOT = "lot"  # light: no garment is called until somebody has looked at the lot
    DONE = "done"  # light: every ticket has its end (or only rework and stopped ones are left)
    IDLE = "idle"  # no job at the press
    OFF = "off"  # nobody has signed on
    NEW = "new"  # the program has not yet started on this log since the boot


class Owner(Enum):
    """Whose the forward bar is."""

    PRESS = "press"
    RACK = "rack"
    OVER = "over"  # amber
    NOBODY = "nobody"  # pressing it is refused with a dull click


def question_at_hand(job: JobRun) -> Question | None:
    """Return the question to answer now: the setting first, then those of the slot's ticket.

    The SETTING question is not stored: it stands whenever the slot's next hot step asks for
    another temperature than `job.set_for`; it has no choices and is answered by ReadSetting.
    """
    asked = required_setting(job)
    if asked is not None and asked != job.set_for:
        return Question(job.slot, Ask.SETTING, Changed.SETTING, (), str(asked))
    return job.questions[0] if job.questions else None
