"""The forward bar with what stands beside it."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.facts import Kind, Owner
from kiosk.run.show import View
from kiosk.run.state import Verb
from kiosk.station.boxes import Box
from kiosk.station.screens.areas import Areas
from kiosk.station.screens.judging import Judging
from kiosk.station.screens.page import Page
from kiosk.station.theme import AMBER, DIM, INK, MUTED, NIGHT, PAPER, SLATE, SNOW, Colour
from kiosk.station.widgets.forward_bar import ForwardBar, SideButton

DARK = frozenset({Kind.HEAT, Kind.OVER, Kind.UNASKED})


@dataclass(frozen=True, slots=True)
class Foot:
    """What can be touched at the foot of the screen; None where nothing stands."""

    bar: Box
    back: Box | None
    right: Box | None


def draw_foot(
    page: Page, view: View, places: Areas, judging: Judging | None, reading: bool = False
) -> Foot:
    """Draw the bar, back one at its left, hold or opened at its right."""
    dark = view.kind in DARK
    ground, ink, second = _bar_colours(view, dark, judging, reading)
    label, below = page.say(view.bar.label), page.say(view.bar.below)
    if judging is not None:
        asked = "touch_cause" if judging.defect else "touch_class"
        label = page.word(asked if judging.stage is not None else "touch_cooling")
        below = page.word("leave_it")
    elif reading:
        label, below = page.word("enter_shown"), page.word("pedal_steps")
    page.put(ForwardBar, places.bar, page.scale, label, below, ground, ink, second)
    turned = judging is not None or reading
    back = places.left if (view.back and not dark) or turned else None
    side, edge = (SLATE, SNOW) if dark else (INK, PAPER)
    if back is not None:
        word = page.word("cancel" if turned else "back")
        page.put(SideButton, back, page.scale, word, side, edge)
    said = view.bar.meaning is not None and view.bar.meaning.verb is Verb.OPENED
    right = places.right if (view.opened and not said) or view.hold else None
    if right is not None:
        word = page.word("opened" if view.opened else "hold")
        page.put(SideButton, right, page.scale, word, side, edge)
    return Foot(places.bar, back, right)


def _bar_colours(
    view: View, dark: bool, judging: Judging | None, reading: bool
) -> tuple[Colour, Colour, Colour]:
    """Ground, label, line. What refuses is no field that asks to be pressed."""
    if judging is None and view.bar.owner is Owner.OVER:
        return AMBER, INK, INK
    if dark:
        rack = judging is None and view.bar.owner is Owner.RACK
        return (SNOW, NIGHT, NIGHT) if rack else (SLATE, SNOW, DIM)
    goes_on = view.kind is Kind.SETTING and not reading  # to the page on which it is read
    refuses = judging is not None or (view.bar.meaning is None and not goes_on)
    return (PAPER, INK, MUTED) if refuses else (INK, PAPER, PAPER)
