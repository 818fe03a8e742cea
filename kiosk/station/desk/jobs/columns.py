"""The page on which a roster's columns are confirmed: which header was taken for what."""

from __future__ import annotations

from kiosk.catalog.base import say
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.begin import confirm_columns
from kiosk.station.desk.sheet import Button, Page, Sheet
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
