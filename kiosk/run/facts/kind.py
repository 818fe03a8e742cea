"""What the station is in the middle of."""

from __future__ import annotations

from enum import Enum

from kiosk.run.facts.checks import check_due, lot_hold, trial_due
from kiosk.run.facts.questions import question_at_hand
from kiosk.run.state.event import Now
from kiosk.run.state.model import Heat, JobRun, State
from kiosk.run.state.rules import Ask


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
    question = question_at_hand(job)
    if question is not None and question.ask is Ask.SETTING:
        return Kind.SETTING
    if check_due(state, job):
        return Kind.VERIFY
    if trial_due(job):
        return Kind.TRIAL
    return Kind.HANDS if question is None else Kind.ASK


class Kind(Enum):
    """What the station is in the middle of: one picture each.

    The last three have no job to show: the station draws its own pages for them.
    """

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
