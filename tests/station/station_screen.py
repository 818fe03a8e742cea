"""A work screen in the bench's window, and the actions it asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from station_harness import Bench
from station_scenes import SCENES, names

from kiosk.catalog.base.notes import Message
from kiosk.catalog.model.house import StationSettings
from kiosk.plan.model import Plan
from kiosk.run.show.parts import View
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.words import Words

# Width and height in pixels and diagonal in inches of common panels, both ways up.
PANELS = {
    "10 inch": (1280, 800, 10.1),
    "7 inch": (1024, 600, 7.0),
    "10 inch upright": (800, 1280, 10.1),
    "7 inch upright": (600, 1024, 7.0),
    "13 inch": (1920, 1200, 13.3),
}


@dataclass
class Requests:
    """What a screen asked for, in order."""

    actions: list[Any] = field(default_factory=list)

    def __call__(self, action: Any) -> None:
        """Note an action."""
        self.actions.append(action)

    @property
    def only(self) -> Any:
        """The one action there was."""
        assert len(self.actions) == 1, self.actions
        return self.actions[0]


def make_screen(
    bench: Bench, view: View, plan: Plan, requests: Requests | None = None, inches: float = 10.1,
    **more: Any,
) -> WorkScreen:  # fmt: skip
    """Return a screen that shows a view, old enough to be touched."""
    settings = StationSettings(screen_inches=inches)
    screen = WorkScreen(Words("en"), settings, names, requests or Requests(), bench.clock, **more)
    screen.plan = plan
    screen.show(view)
    bench.show(screen)
    bench.wait(0.6)
    return screen


class LongWords(Words):
    """A made-up language: every sentence is 35 % longer; values keep their length."""

    def _template(self, message: Message) -> str:
        words = super()._template(message).split(" ")
        letters = sum(_letters(word) for word in words)
        extra_letters, added, longer = letters * 0.35, 0, []
        for word in words:
            extra = round(extra_letters * _letters(word) / max(1, letters))
            longer.append(_longer(word, min(extra, round(extra_letters) - added)))
            added += min(extra, round(extra_letters) - added)
        longer[-1] = _longer(longer[-1], round(extra_letters) - added)
        return " ".join(longer)


def _letters(word: str) -> int:
    """Return the number of letters in a word, without values."""
    return sum(letter.isalpha() for letter in re.sub(r"{\w+}", "", word))


def _longer(word: str, extra: int) -> str:
    """Return the word with `extra` letters repeated before its punctuation."""
    letters = "".join(letter for letter in re.sub(r"{\w+}", "", word) if letter.isalpha())
    if extra <= 0 or not letters:
        return word
    bare = word.rstrip(".,:;?")
    return bare + (letters * (1 + extra // len(letters)))[:extra] + word[len(bare) :]


def drawing_of(
    bench: Bench, scene: str, panel: str, words: Callable[[str], Words] = Words
) -> WorkScreen:
    """Return the screen of a scene on a panel, drawn but not put into the window."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES[scene]()
    settings = StationSettings(screen_inches=inches)
    screen = WorkScreen(words("en"), settings, names, clock=bench.clock)
    screen.plan = plan
    screen.show(view)
    return screen


def screen_of(
    bench: Bench, scene: str, requests: Requests | None = None, panel: str = "10 inch", **more: Any
) -> WorkScreen:
    """Return the screen of a scene on a panel."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES[scene]()
    return make_screen(bench, view, plan, requests, inches, **more)
