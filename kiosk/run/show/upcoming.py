"""Which garment comes next, told while the hands can fetch it."""

from __future__ import annotations

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Piece
from kiosk.plan.reasons import element_words
from kiosk.run.facts.kind import Kind
from kiosk.run.facts.naming import numbered
from kiosk.run.facts.tickets import next_ready
from kiosk.run.show.parts import Upcoming
from kiosk.run.show.scene import Moment
from kiosk.run.show.stack import pieces_of
from kiosk.run.state.model import Ticket


def upcoming(moment: Moment) -> Upcoming | None:
    """Return the next garment while the press is closed and in a garment's last move.

    None where none follows, or where the next pass is of the garment in hand.
    """
    scene = moment.scene
    if scene is None or moment.touched is not None or not _has_time(moment):
        return None
    job, own = moment.job, scene.ticket
    following = job.tickets.get(next_ready(job, own.id, own.id))
    if following is None or following.garment.line == own.garment.line:
        return None
    garment = following.garment
    pieces = pieces_of(job.plan, job.plan.passes[following.passage])
    changes = garment.size != own.garment.size
    return Upcoming(
        garment.line,
        numbered(following),
        garment.set,
        _sized(following, changes),
        _pull(tuple(pieces.values())),
    )


def _has_time(moment: Moment) -> bool:
    """Whether hands are free to fetch: the press is closed, or the garment in hand is done."""
    if moment.kind is Kind.HEAT:
        return True
    return moment.kind is Kind.HANDS and moment.inspected is not None


def _sized(ticket: Ticket, changes: bool) -> Message | None:
    size = ticket.garment.size
    if not size:
        return None
    return say("next.size_change" if changes else "next.size", size=size)


def _pull(pieces: tuple[Piece, ...]) -> Message:
    """The elements once each, and their colours from the cloth up."""
    elements = element_words(tuple(dict.fromkeys(f"{p.element}.1" for p in pieces)))
    layered = sorted(pieces, key=lambda piece: piece.layer)
    colours = tuple(dict.fromkeys(p.colour.upper() for p in layered if p.colour))
    if not colours:
        return say("next.pull.plain", elements=elements)
    return say("next.pull", elements=elements, colours=colours)
