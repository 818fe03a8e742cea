"""What is to be heard: a count for each phase that closes the press, its end, what is due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import Enum
from typing import TYPE_CHECKING

from kiosk.plan.model import Phase
from kiosk.run.state import Event, events

if TYPE_CHECKING:  # a start does without
    from kiosk.train.practice import Rehearsal


class Cue(Enum):
    """What is to be heard."""

    COUNT_PRE_PRESS = "count pre-press"
    COUNT_TACK = "count tack"
    COUNT_FINAL = "count final"
    TIME_UP = "time up"
    DUE = "due"
    OVER = "over"
    REFUSED = "refused"
    DONE = "done"


COUNTS = {
    Phase.PRE_PRESS: Cue.COUNT_PRE_PRESS,
    Phase.TACK: Cue.COUNT_TACK,
    Phase.FINAL: Cue.COUNT_FINAL,
}


def cues_of(happened: Iterable[Event], press: Rehearsal) -> Iterator[Cue]:
    """Yield what is heard of a press that is only rehearsed at: closings and the time's end."""
    for event in happened:
        if isinstance(event, events.TimeUp):
            yield Cue.TIME_UP
        elif isinstance(event, events.Closed):
            step = press.plan.passes[press.passage_of(event.ticket)].steps[event.step]
            yield COUNTS[step.phase]
