"""A lay drawing of one layer to measure, and its pixels."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kivy.uix.widget import Widget
from station_harness import Bench
from station_scenes import SCENES
from view_cases import one_layer

from kiosk.catalog.model.sheets import Peel
from kiosk.run.show.parts import Ink, PieceView, View
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import PanelLay, panel_lay
from kiosk.station.glass.widgets.lay_drawing import LayDrawing

SCALE = Scale((1280, 800), 10.1)
ALL = Box(0, 0, 1280, 800)
DARK = bytes(value < 130 for value in range(256))


def dark(bench: Bench, drawn: Widget, around: Box) -> Box:
    """Return the box around all dark pixels inside `around`."""
    bench.clear()
    bench.show(drawn)
    picture = bench.pixels()
    left, right = int(around.x), int(around.right)
    xs, ys = list[int](), list[int]()
    for y in range(int(around.y), int(around.top)):
        row = picture.data[3 * (y * picture.wide + left) : 3 * (y * picture.wide + right) : 3]
        marked = row.translate(DARK)  # red channel
        if 1 in marked:
            xs += [left + marked.index(1), left + marked.rindex(1)]
            ys.append(y)
    return Box(min(xs), min(ys), max(xs) - min(xs) + 1, max(ys) - min(ys) + 1)


def view_of(number: str = "31", scene: str = "lay-one") -> View:
    return replace(SCENES[scene]()[0], number=number, digits=number)


def lying(number: str = "31", name: str = "KOVA", toward: bool = True, **more: Any) -> PanelLay:
    plan = replace(one_layer(Peel.COLD, collar_toward_operator=toward), **more)
    return panel_lay(plan, view_of(number), name)


def drawing(
    at: PanelLay, distances: dict[str, str] | None = None, scale: Scale = SCALE
) -> LayDrawing:
    pieces = tuple(PieceView(f"{e}.1", e, 1, "black", Ink.NEXT) for e in at.texts)
    return LayDrawing(Box(300, 60, 560, 720), scale, at, pieces, None, distances)
