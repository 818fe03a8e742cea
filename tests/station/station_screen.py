"""A work screen in the bench's window, and what it asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from station_harness import Bench
from station_scenes import SCENES, names

from kiosk.catalog.message import Message
from kiosk.catalog.model import StationSettings
from kiosk.plan.model import Plan
from kiosk.run.views import View
from kiosk.station.screens.work import WorkScreen
from kiosk.words import Words

# Width, height in pixels and diagonal in inches of common panels, 7 to 13 inches, both ways up.
PANELS = {
    "10 inch": (1280, 800, 10.1),
    "7 inch": (1024, 600, 7.0),
    "10 inch upright": (800, 1280, 10.1),
    "7 inch upright": (600, 1024, 7.0),
    "13 inch": (1920, 1200, 13.3),
}


@dataclass
class Asked:
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
    bench: Bench, view: View, plan: Plan, asked: Asked | None = None, inches: float = 10.1,
    **more: Any,
) -> WorkScreen:  # fmt: skip
    """Return a screen that shows a view, old enough to be touched."""
    settings = StationSettings(screen_inches=inches)
    screen = WorkScreen(Words("en"), settings, names, asked or Asked(), bench.clock, **more)
    screen.plan = plan
    screen.show(view)
    bench.show(screen)
    bench.wait(0.6)
    return screen


class LongWords(Words):
    """Every word a third longer and more, as Spanish is; figures and capitals' numbers are not."""

    def say(self, message: Message) -> str:
        """Return the sentence with longer words."""
        return " ".join(_longer(word) for word in super().say(message).split(" "))


def _longer(word: str) -> str:
    letters = [letter for letter in word if letter.isalpha()]
    extra = "".join(letters)[: round(len(letters) * 0.35)]
    return word.rstrip(".,:?") + extra + word[len(word.rstrip(".,:?")) :]


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
    bench: Bench, scene: str, asked: Asked | None = None, panel: str = "10 inch", **more: Any
) -> WorkScreen:
    """Return the screen of a scene on a panel."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES[scene]()
    return make_screen(bench, view, plan, asked, inches, **more)
