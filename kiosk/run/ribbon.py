"""The phase ribbon: where in the procedure a ticket is."""

from __future__ import annotations

from kiosk.catalog.message import Message, say
from kiosk.plan.model import Pass, Phase
from kiosk.run.views import Done, Mark

LABELS: dict[Phase, Message] = {
    Phase.LOAD: say("ribbon.load"),
    Phase.PRE_PRESS: say("ribbon.pre_press"),
    Phase.LAY: say("ribbon.lay"),
    Phase.TACK: say("ribbon.tack"),
    Phase.REMOVE_CARRIER: say("ribbon.carrier"),
    Phase.LAY_TOP: say("ribbon.lay_top"),
    Phase.COVER: say("ribbon.sheet"),
    Phase.FINAL: say("ribbon.final"),
    Phase.PEEL: say("ribbon.peel"),
    Phase.INSPECT: say("ribbon.inspect"),
}


def ribbon(passage: Pass, first: int, last: int) -> tuple[Mark, ...]:
    """Return the fields of `passage` with its steps `first`..`last` at hand.

    All phases of a grouped move are NOW: what happens inside it is not seen.
    """
    return tuple(
        Mark(step.phase, LABELS[step.phase], _done(index, first, last))
        for index, step in enumerate(passage.steps)
    )


def _done(index: int, first: int, last: int) -> Done:
    if index < first:
        return Done.DONE
    return Done.NOW if index <= last else Done.AHEAD
