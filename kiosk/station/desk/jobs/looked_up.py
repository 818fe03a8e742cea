"""Pages looked up from a job's set-up: its roster's columns, a garment's temperatures."""

from kiosk.catalog.base import say
from kiosk.plan.heat import basis, heat_curve, heat_told, sentences
from kiosk.plan.model import Pass, Plan
from kiosk.plan.phrases import pass_words
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.begin import confirm_columns
from kiosk.station.desk.sheet import Button, Page, Sheet, heat_picture
from kiosk.words import Words

SAMPLES = 3  # lines of the roster to compare with the file at a glance


def columns(desk: Desk, words: Words) -> Sheet:
    """Is this how the roster is meant?"""
    offer = desk.offer
    found = offer.columns if offer is not None else ()
    taken = tuple(
        words("page.columns_taken", header=each.header, field=say(f"page.field.{each.field}"))
        for each in found
        if each.field and each.header.casefold() != each.field
    )
    left = tuple(each.header for each in found if each.header and not each.field)
    rows = offer.roster[:SAMPLES] if offer is not None else ()
    return Sheet(
        title=words("page.columns"),
        lines=(
            *taken,
            *((words("page.columns_left", headers=left),) if left else ()),
            *(
                words("page.columns_row", number=r.number, size=r.size, name=r.name, line=r.line)
                for r in rows
            ),
        ),
        main=Button(words("page.columns_main"), lambda: confirm_columns(desk)),
        left=Button(words("page.back"), lambda: desk.go(Page.SET_UP)),
    )


MOST_LINES = 3


class HeatShown:
    """Which pass of the job that is looked at is shown, by its number."""

    def __init__(self, desk: Desk) -> None:
        self.passage = 0


def look_at_heat(desk: Desk, passage: int = 0) -> None:
    """Turn to the temperatures of one pass of the job that is looked at."""
    desk.of(HeatShown).passage = passage
    desk.go(Page.HEAT)


def heat(desk: Desk, words: Words) -> Sheet:
    """How one pass heats and cools, with what is estimated; the bar turns to the next pass."""
    offer = desk.offer
    assert offer is not None  # the page is only reached from a job's set-up
    assert offer.plan is not None
    plan = offer.plan
    modelled = [number for number, each in enumerate(plan.passes) if each.heat is not None]
    at = modelled.index(desk.of(HeatShown).passage) if desk.of(HeatShown).passage in modelled else 0
    each = plan.passes[modelled[at]]
    curve = heat_curve(each)
    assert curve is not None  # it has a model
    return Sheet(
        title=words("page.heat_title", panel=words.say(pass_words(plan, each))),
        lines=_lines(plan, each, words),
        main=_next(desk, plan, modelled, at, words),
        left=Button(words("page.back"), lambda: desk.go(Page.SET_UP)),
        picture=heat_picture(curve, plan.unit, words),
    )


def _lines(plan: Plan, each: Pass, words: Words) -> tuple[str, ...]:
    """When to peel, then what the cloth takes and what would help: as many as can be read."""
    told = heat_told(each, plan.unit)
    said = () if told is None else tuple(sentences(told, plan.unit))
    found = (*(basis(wait) for wait in each.stages[-1:]), *said)
    return tuple(words.say(message) for message in found[:MOST_LINES])


def _next(desk: Desk, plan: Plan, modelled: list[int], at: int, words: Words) -> Button | None:
    if len(modelled) < 2:
        return None
    following = modelled[(at + 1) % len(modelled)]
    label = words("page.heat_next", panel=words.say(pass_words(plan, plan.passes[following])))
    return Button(label, lambda: look_at_heat(desk, following))
