"""How the screen speaks and measures: one tap each, remembered for whoever is at it."""

from __future__ import annotations

from dataclasses import replace

from kiosk.catalog.base import Degrees, say
from kiosk.catalog.model import StationSettings
from kiosk.run.state import ChooseDisplay, Display
from kiosk.station.actions import Option
from kiosk.station.desk import Desk, Page
from kiosk.station.display import other_language, worn
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words


def display(desk: Desk, words: Words) -> Sheet:
    """Language, units and motion; each button says what touching it turns to."""
    now, wish = _worn(desk), desk.shell.state.display
    fahrenheit = now.temperature is Degrees.F
    scale = replace(wish, degrees="C" if fahrenheit else "F")
    length = replace(wish, length="in" if now.millimetres else "mm")
    still = replace(wish, still=not now.still)
    return Sheet(
        title=words("page.display"),
        lines=(words("page.display_line"),),
        choices=(
            language(desk, words),
            _choice(desk, words, "celsius" if fahrenheit else "fahrenheit", scale),
            _choice(desk, words, "inches" if now.millimetres else "millimetres", length),
            _choice(desk, words, "moving" if now.still else "still", still),
        ),
        left=Button(words("page.back"), desk.go_on),
    )


def language(desk: Desk, words: Words) -> Button:
    """The other language by its own name: whoever needs it can read it."""
    to = other_language(_worn(desk))
    return Button(words(f"language.{to}"), lambda: _turn_to(desk, to))


def language_option(desk: Desk) -> Option:
    """The same on hold."""
    to = other_language(_worn(desk))
    return Option(say(f"language.{to}"), lambda: _turn_to(desk, to))


def screen(desk: Desk, words: Words) -> Button:
    """The way to this page."""
    return Button(words("page.display"), lambda: desk.go(Page.DISPLAY), words("page.display_what"))


def _turn_to(desk: Desk, to: str) -> None:
    desk.shell.do(ChooseDisplay(replace(desk.shell.state.display, language=to)))


def _choice(desk: Desk, words: Words, word: str, wish: Display) -> Button:
    label, line = words(f"page.display.{word}"), words(f"page.display.{word}_line")
    return Button(label, lambda: _do(desk, wish), line)


def _do(desk: Desk, wish: Display) -> None:
    desk.shell.do(ChooseDisplay(wish))


def _worn(desk: Desk) -> StationSettings:
    return worn(desk.library.station, desk.shell.state.display)
