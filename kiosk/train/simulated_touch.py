"""A made-up operator feels now and then whether a garment is cool, in a shop of its own."""

from __future__ import annotations

from kiosk.run import commands as c
from kiosk.run.at import Now, elapsed
from kiosk.run.cooling import Feels
from kiosk.run.model import Ticket
from kiosk.train.simulated_habits import Act, Chance, Habits

TRULY = 1.12  # how much slower this made-up shop's garments cool than the model has it


def touched(chance: Chance, habits: Habits, ticket: Ticket, now: Now) -> Act | None:
    """Return a touch of a garment that cools, as this shop's would feel; None for no touch."""
    estimate = ticket.estimate
    ready = None if estimate is None else estimate.ready(ticket.lies)
    if ready is None or ticket.opened is None or not chance.happens(habits.touch):
        return None
    seconds = chance.between(1.0, 4.0)
    waited = elapsed(ticket.opened, now)[0] + seconds
    cool = waited >= ready * TRULY
    return Act(seconds, c.Touch(ticket.id, Feels.READY if cool else Feels.NOT_READY))
