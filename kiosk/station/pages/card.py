"""A job as its card draws it: a number of its roster in its film, what is done and left."""

from __future__ import annotations

from kiosk.plan.model import Plan
from kiosk.run.facts import ends
from kiosk.run.state import JobRun
from kiosk.station.library import Offer
from kiosk.station.pages.sheet import Card
from kiosk.words import Words


def job_card(offer: Offer, run: JobRun | None, finished: bool, words: Words) -> Card:
    """Return the card of a job; one that cannot be read has an empty shirt and no figures.

    Of a job that is `finished` here, and not begun again, all is done.
    """
    if offer.plan is None and run is None:
        return Card()
    plan = offer.plan if run is None else run.plan
    ended = () if run is None else ends(run)
    count = len(ended) or len(offer.roster)
    done = count if run is None and finished else len(ended) - ended.count(None)
    return Card(
        number=next((line.number for line in offer.roster if line.number), ""),
        colour="" if plan is None else _colour(plan),
        done=words("page.job_done_count", count=done),
        left=words("page.job_left_count", count=count - done),
        share=done / count if count else 0.0,
    )


def _colour(plan: Plan) -> str:
    """The film on top of the number, or of the first element where there is none."""
    tops = [piece for piece in plan.pieces if piece.layer == piece.layers]
    numbers = [piece for piece in tops if piece.element == "number"]
    return next((piece.colour for piece in (*numbers, *tops)), "")
