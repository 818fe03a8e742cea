"""Walks a live tree of widgets: its texts, and what can be touched."""

from __future__ import annotations

from collections.abc import Iterator

from kivy.uix.widget import Widget

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.ask import ChoiceButton
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.widgets.buttons import PaperButton
from kiosk.station.glass.widgets.marks import Digits, Numeral
from kiosk.station.glass.widgets.ribbon import Tag
from kiosk.station.glass.widgets.text import Text

Written = Text | Numeral | Digits


def walk(root: Widget) -> Iterator[Widget]:
    """Yield all widgets below `root` in drawing order."""
    for child in reversed(root.children):
        yield child
        yield from walk(child)


def texts(root: Widget) -> list[Text]:
    """Return all texts on the screen."""
    return [each for each in walk(root) if isinstance(each, Text)]


def written(root: Widget) -> list[Written]:
    """Return all texts, numbers and seconds on the screen."""
    return [each for each in walk(root) if isinstance(each, Written) and each.text]


def buttons(root: Widget) -> list[PaperButton]:
    """Return all paper buttons."""
    return [each for each in walk(root) if isinstance(each, PaperButton)]


def button(root: Widget, label: str) -> PaperButton:
    """Return the paper button with this label."""
    return next(each for each in buttons(root) if each.label == label)


def targets(screen: WorkScreen) -> list[Box]:
    """Return the boxes of everything that can be touched."""
    touchable = (PaperButton, ChoiceButton, Tag)
    found = [each.box for each in walk(screen) if isinstance(each, touchable)]
    assert screen._painted is not None
    foot = screen._painted.foot
    return found + [box for box in (foot.bar, foot.back, foot.right) if box is not None]
