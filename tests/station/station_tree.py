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
    """All widgets below `root`, drawn first come first."""
    for child in reversed(root.children):
        yield child
        yield from walk(child)


def texts(root: Widget) -> list[Text]:
    """All texts on the screen."""
    return [each for each in walk(root) if isinstance(each, Text)]


def written(root: Widget) -> list[Written]:
    """All texts, numbers and seconds on the screen."""
    return [each for each in walk(root) if isinstance(each, Written) and each.text]


def buttons(root: Widget) -> list[PaperButton]:
    """All paper buttons."""
    return [each for each in walk(root) if isinstance(each, PaperButton)]


def button(root: Widget, label: str) -> PaperButton:
    """The paper button with this label."""
    return next(each for each in buttons(root) if each.label == label)


def targets(screen: WorkScreen) -> list[Box]:
    """The boxes of everything that can be touched."""
    touchable = (PaperButton, ChoiceButton, Tag)
    found = [each.box for each in walk(screen) if isinstance(each, touchable)]
    assert screen._painted is not None
    foot = screen._painted.foot
    return found + [box for box in (foot.bar, foot.back, foot.right) if box is not None]
