"""The one place that says what a press of forward means now."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.commands import Meaning
from kiosk.run.model import Now, State
from kiosk.run.views import Owner


@dataclass(frozen=True, slots=True)
class BarMeaning:
    """What pressing forward does (None: refused), whose the bar is, and since when (clock)."""

    meaning: Meaning | None
    owner: Owner
    since: float


def bar_meaning(state: State, now: Now) -> BarMeaning:
    """Return what forward means at `now`, deadlines that have passed counted as passed.

    Of the meaning's `step`: CLOSE and OPENED name the hot step, CONFIRM the hand step that it
    confirms last, FINISH, PEELED and GO_ON the step at hand of their ticket.
    """
    raise NotImplementedError
