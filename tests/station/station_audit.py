"""Faults of what is on the screen now, found by walking the live tree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from kivy.uix.widget import Widget
from station_harness import Picture
from station_tour import Glass
from station_tree import Written, buttons, targets, walk, written

from kiosk.station.glass.app import StationWidget
from kiosk.station.glass.boxes import DEAD_GAP_MM, TARGET_MM, Box, Scale
from kiosk.station.glass.theme import Colour, contrast
from kiosk.station.glass.widgets.heading import Notice
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.text import Text

PART_OF_A_FIGURE_PX = 14  # smaller letters belong to a drawing
SLACK = 2.0  # pixels: type is set on whole ones


def scale_of(station: StationWidget | Glass) -> Scale:
    """Return the scale of the station's window."""
    wide, high = (int(side) for side in station.size)
    return Scale((wide, high), station.settings.screen_inches)


def touchable(station: StationWidget | Glass) -> list[Box]:
    """Return the boxes of everything that can be touched."""
    if station.sheet is not None:
        return [button.box for button in buttons(station)]
    return targets(station.live)


def too_small(station: StationWidget | Glass) -> Iterator[str]:
    """Yield targets that are too small or overlap."""
    scale, boxes = scale_of(station), touchable(station)
    for box in boxes:
        if min(box.w, box.h) < scale.mm(TARGET_MM) - 0.5:
            yield f"a target of {box.w / scale.px_per_mm:.1f} x {box.h / scale.px_per_mm:.1f} mm"
    for one, other in combinations(boxes, 2):
        if one.overlaps(other):
            yield f"one target on another: {one} {other}"
    yield from _gap(station, scale)


def _gap(station: StationWidget | Glass, scale: Scale) -> Iterator[str]:
    """Yield missing gaps between the bar and its neighbours."""
    foot = station.live.painted.foot if station.live.painted is not None else None
    if station.sheet is not None or foot is None:
        return
    least = scale.mm(DEAD_GAP_MM) - 0.5
    if foot.back is not None and foot.bar.x - foot.back.right < least:
        yield "no dead gap at the left of the bar"
    if foot.right is not None and foot.right.x - foot.bar.right < least:
        yield "no dead gap at the right of the bar"


def clipped(station: StationWidget | Glass) -> Iterator[str]:
    """Yield texts that are larger than their box, or reach beyond the window."""
    wide, high = station.size
    window = Box(0, 0, wide, high).inset(-1)
    for each in written(station):
        ink = each.ink
        if ink.w > each.box.w + SLACK or ink.h > each.box.h + SLACK:
            yield f"clipped: {each.text!r}"
        if not (window.holds(ink.x, ink.y) and window.holds(ink.right, ink.top)):
            yield f"beyond the window: {each.text!r}"


def overlapping(station: StationWidget | Glass) -> Iterator[str]:
    """Yield texts that overlap; a notice can cover the header, and a number be in its drawing."""
    over = {id(each) for each in _parts(station, Notice)}
    art = {id(each) for each in _parts(station, LayDrawing)}
    free = [(each, each.ink) for each in written(station) if id(each) not in over | art]
    for (one, ink), (other, others) in combinations(free, 2):
        if ink.overlaps(others, slack=SLACK):
            yield f"at one place: {one.text!r} {other.text!r}"


def _parts(
    station: StationWidget | Glass, kind: type[LayDrawing] | type[Notice]
) -> Iterator[Written]:
    for each in walk(station):
        if isinstance(each, kind):
            yield from written(each)


def height_kept(station: StationWidget | Glass) -> float:
    """Return the share of its required height that the smallest text keeps."""
    texts = [each for each in walk(station) if isinstance(each, Text) and each.text]
    return min((each.fitted.share for each in texts), default=1.0)


def faint(station: Widget, picture: Picture) -> Iterator[str]:
    """Yield texts with less than 7:1 contrast to their ground, as drawn.

    Contrast is a matter of luminance, so that a text is as clear on a screen without colours.
    """
    over = [each for each in walk(station) if isinstance(each, Notice)]
    notice_texts = {id(text) for each in over for text in walk(each)}
    for text in (each for each in walk(station) if isinstance(each, Text) and each.text):
        hidden = id(text) not in notice_texts and any(each.box.overlaps(text.ink) for each in over)
        if text.fitted.em > PART_OF_A_FIGURE_PX and not hidden:
            ratio = contrast(text.colour, ground(picture, text))
            if ratio < 7.0:
                yield f"contrast {ratio:.2f}: {text.text!r}"


def ground(picture: Picture, text: Text) -> Colour:
    """Return the ground of a text: the commonest colour in the rim of its box."""
    box = text.ink.inset(-1)
    xs = [box.x + box.w * i / 40 for i in range(41)]
    ys = [box.y + box.h * i / 12 for i in range(13)]
    rim = [(x, y) for x in xs for y in (box.y, box.top)] + [(x, y) for y in ys for x in (box.x,)]
    inside = [(x, y) for x, y in rim if 0 <= x < picture.wide and 0 <= y < picture.high]
    return Colour(*Counter(picture.at(x, y) for x, y in inside).most_common(1)[0][0])
