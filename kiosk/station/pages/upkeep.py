"""The page of what wears with the closings, and the page of an override's reason."""

from __future__ import annotations

from kiosk.catalog.base import say
from kiosk.catalog.model import Part
from kiosk.run.state import SeeTo
from kiosk.station.desk import Desk, Page
from kiosk.station.pages.reasons import reasons
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words

OVERRIDE_REASONS = (
    "no_probe",
    "checked_otherwise",
    "known",
    "agreed",
    "cause_removed",
    "urgent",
    "other",
)


def upkeep(desk: Desk, words: Words) -> Sheet:
    """Each part with its closings; touched, it was seen to."""
    state, presses = desk.shell.state, desk.library.catalog.presses

    def choice(press: str, part: Part, every: int) -> Button:
        done = state.closings.get(press, 0) - state.upkeep.get(f"{press}/{part.value}", 0)
        late = "page.upkeep.due" if done >= every else "page.upkeep.left"
        return Button(
            words("page.upkeep.part", press=press, part=say(f"part.{part.value}")),
            lambda: desk.see_to(SeeTo(press, part.value)),
            words(late, done=done, every=every),
        )

    return Sheet(
        title=words("page.upkeep"),
        lines=(words("page.upkeep.line"),),
        choices=tuple(
            choice(key, part, every)
            for key, press in presses.items()
            for part, every in press.upkeep.items()
        ),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def parts_due(desk: Desk) -> int:
    """Return how many parts have had their closings."""
    state, presses = desk.shell.state, desk.library.catalog.presses
    return sum(
        state.closings.get(key, 0) - state.upkeep.get(f"{key}/{part.value}", 0) >= every
        for key, press in presses.items()
        for part, every in press.upkeep.items()
    )


def override(desk: Desk, words: Words) -> Sheet:
    """Why may the work go on although a rule holds it?"""
    ids = (f"page.override.{name}" for name in OVERRIDE_REASONS)
    return reasons(words, "page.reason", ids, desk.reason, desk.go_on)
