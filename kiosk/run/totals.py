"""What heat a ticket has had beyond its plan, and whether its totals bear another final."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.plan.again import broken_by_another_final, final_seconds
from kiosk.plan.heat_stack import HeatLeft
from kiosk.plan.reasons import element_words
from kiosk.run.model import JobRun, Ticket
from kiosk.run.tickets import pass_of

FABRIC = "fabric"


def broken_totals(job: JobRun, ticket: Ticket) -> tuple[HeatLeft, ...]:
    """Return the totals that one more final of this ticket would break; none: it may be offered."""
    passage = pass_of(job, ticket)
    again = max(0, ticket.finals - 1) * final_seconds(passage)
    return broken_by_another_final(passage, ticket.beyond_seconds + again)


def owners(broken: tuple[HeatLeft, ...]) -> tuple[str, ...]:
    """Return whose totals these are, as words to look up, the fabric first."""
    pieces = tuple(left.owner for left in broken if left.owner != FABRIC)
    cloth = (say("heat.owner.fabric"),) if len(pieces) < len(broken) else ()
    return (*cloth, *element_words(pieces))
