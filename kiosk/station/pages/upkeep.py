"""The page of what wears with the closings, and the page of an override's reason."""

from __future__ import annotations

from collections.abc import Iterator

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
    """Each part with its closings, those due first; touched, it was seen to."""

    def choice(press: str, part: Part, every: int) -> Button:
        done = _done(desk, press, part)
        late = "page.upkeep.due" if done >= every else "page.upkeep.left"
        return Button(
            words("page.upkeep.part", press=press, part=say(f"part.{part.value}")),
            lambda: desk.see_to(SeeTo(press, part.value)),
            words(late, done=done, every=every),
        )

    due = [each for each in _parts(desk) if _is_due(desk, *each)]
    rest = [each for each in _parts(desk) if not _is_due(desk, *each)]
    return Sheet(
        title=words("page.upkeep"),
        headline=told_due(desk, words),
        lines=(words("page.upkeep.line"),),
        choices=tuple(choice(*each) for each in (*due, *rest)),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def told_due(desk: Desk, words: Words) -> str:
    """How many parts are due, in words."""
    due = parts_due(desk)
    return words("page.upkeep.count", count=due) if due else words("page.upkeep.none")


def parts_due(desk: Desk) -> int:
    """Return how many parts have had their closings."""
    return sum(_is_due(desk, *each) for each in _parts(desk))


def _parts(desk: Desk) -> Iterator[tuple[str, Part, int]]:
    """Each press's parts, and after how many closings each is due."""
    for key, press in desk.library.catalog.presses.items():
        for part, every in press.upkeep.items():
            yield key, part, every


def _done(desk: Desk, press: str, part: Part) -> int:
    """The closings since the part was seen to."""
    state = desk.shell.state
    return state.closings.get(press, 0) - state.upkeep.get(f"{press}/{part.value}", 0)


def _is_due(desk: Desk, press: str, part: Part, every: int) -> bool:
    return _done(desk, press, part) >= every


def override(desk: Desk, words: Words) -> Sheet:
    """Why may the work go on although a rule holds it?"""
    ids = (f"page.override.{name}" for name in OVERRIDE_REASONS)
    return reasons(words, "page.reason", ids, desk.reason, desk.go_on)
