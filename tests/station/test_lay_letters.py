"""Letters, borders and parts of the lay drawing, measured in its pixels."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from kivy.graphics import PopMatrix, PushMatrix, Rotate
from kivy.uix.widget import Widget
from lay_shown import ALL, SCALE, dark, drawing, lying, view_of
from station_harness import Bench
from station_scenes import SCENES
from station_tree import walk
from view_cases import one_layer, two_layers

from kiosk.catalog.model.house import StationSettings
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.rules.faces import read_face
from kiosk.plan.model import Plan
from kiosk.plan.place.placement import Team
from kiosk.plan.sizes import border
from kiosk.run.show.parts import Ink, PieceView
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.lay import panel_lay
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.marks import Numeral, letter
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.text import Text
from kiosk.words import Words

FACE = read_face()
RIM = 3.5  # a piece of one layer has an ink rim of 1 % of 10 in, at 35 px an inch


def letter_of(character: str, ink: Box, growth: float = 0.0, turned: bool = False) -> Widget:
    widget = Widget()
    with widget.canvas:
        fill(ALL, PAPER)
        letter(character, ink, FACE, INK, growth, turned)
    return widget


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("character", [*"0147", "A", "Q", "Ñ", "Ç", "g", "-", *"ŁČĞŐЖйΆǅ"])
def test_a_letters_ink_fills_its_box(bench: Bench, character: str, turned: bool) -> None:
    glyph = FACE.glyph(character)
    ink = Box(300, 250, (glyph.right - glyph.left) * 200, (glyph.top - glyph.bottom) * 200)
    found = dark(bench, letter_of(character, ink, turned=turned), ink.inset(-40))
    for side in ("x", "y", "right", "top"):
        assert getattr(found, side) == pytest.approx(getattr(ink, side), abs=2.0), side


@pytest.mark.parametrize("turned", [False, True])
def test_a_letter_missing_from_every_face_is_a_crossed_box(bench: Bench, turned: bool) -> None:
    ink = Box(300, 250, 160, 200)
    found = dark(bench, letter_of("中", ink, turned=turned), ink.inset(-40))
    for side in ("x", "y", "right", "top"):
        assert getattr(found, side) == pytest.approx(getattr(ink, side), abs=2.0), side
    picture = bench.pixels()
    assert picture.at(ink.centre[0], ink.centre[1])[0] < 130  # the stroke through it
    for x, y in ((340, 400), (420, 300)):  # on both sides of the stroke
        assert picture.at(x, y)[0] > 200


@pytest.mark.parametrize("character", [*"018", "Ñ"])
def test_a_border_is_equally_wide_on_all_four_sides(bench: Bench, character: str) -> None:
    glyph = FACE.glyph(character)
    ink = Box(300, 250, (glyph.right - glyph.left) * 200, (glyph.top - glyph.bottom) * 200)
    found = dark(bench, letter_of(character, ink, growth=12.0), ink.inset(-40))
    grown = ink.inset(-12.0)
    for side in ("x", "y", "right", "top"):
        assert getattr(found, side) == pytest.approx(getattr(grown, side), abs=2.5), side


@pytest.mark.parametrize("toward", [True, False])
@pytest.mark.parametrize("number", ["31", "17", "68"])
def test_every_figure_is_drawn_where_the_layout_puts_it(
    bench: Bench, number: str, toward: bool
) -> None:
    at = lying(number, "", toward)
    shown = drawing(at)
    (box,) = at.boxes
    inks = [shown.ink(each) for each in box.letters]
    for ink in inks:
        found = dark(bench, shown, ink.inset(-7))
        assert found.x == pytest.approx(ink.x - RIM, abs=2.0)
        assert found.right == pytest.approx(ink.right + RIM, abs=2.0)
    middle = (min(i.x for i in inks) + max(i.right for i in inks)) / 2
    assert middle == pytest.approx(shown.at(0.0, 0.0)[0], abs=0.5)
    assert [e.character for e in sorted(box.letters, key=lambda e: e.x)] == list(
        reversed(number) if toward else number
    )


def turns(canvas: Any, found: dict[int, int], turned: int = 0) -> int:
    """Record in `found` how often each canvas below is turned when drawn; return the maximum."""
    kept, most = [turned], turned
    for each in canvas.children:
        if isinstance(each, PushMatrix):
            kept.append(kept[-1])
        elif isinstance(each, PopMatrix):
            kept.pop()
        elif isinstance(each, Rotate):
            kept[-1] += 1
            most = max(most, kept[-1])
        elif hasattr(each, "children"):
            found[id(each)] = kept[-1]
            most = max(most, turns(each, found, kept[-1]))
    return most


@pytest.mark.parametrize("toward", [True, False])
@pytest.mark.parametrize("scene", ["lay", "lay-one", "lay-top", "sheet", "chips-light", "inspect"])
def test_text_to_read_is_never_turned(bench: Bench, scene: str, toward: bool) -> None:
    """Only art is turned, and only with the collar toward the operator."""
    bench.resize(1280, 800)
    view, plan = SCENES[scene]()
    screen = WorkScreen(Words("en"), StationSettings(), lambda line: "KOVA")
    screen.plan = replace(plan, collar_toward_operator=toward)
    screen.show(replace(view, number="68", digits="68"))
    found: dict[int, int] = {}
    most = turns(screen.canvas, found)
    read = [each for each in walk(screen) if isinstance(each, Text | Numeral)]
    assert len(read) > 5
    assert {found[id(each.canvas)] for each in read} == {0}
    drawn = [each for each in walk(screen) if isinstance(each, LayDrawing)]
    assert most == (1 if toward and drawn else 0)


def test_a_short_platen_shows_the_part_being_laid_and_the_seam() -> None:
    at = lying(platen_height_inches=15.0)
    assert at.parts == 2
    assert [box.element for box in at.boxes] == ["name"]
    assert at.seam_ruler == 1.0
    number = panel_lay(
        replace(one_layer(Peel.COLD), platen_height_inches=15.0),
        replace(
            view_of(),
            pieces=(
                PieceView("name.1", "name", 1, "red", Ink.LAID),
                PieceView("number.1", "number", 1, "navy", Ink.NEXT),
            ),
        ),
        "KOVA",
    )
    assert [box.element for box in number.boxes] == ["number"]
    assert number.seam_ruler < 0
    left, bottom, wide, high = number.platen
    assert all(bottom <= y <= bottom + high for _, y in number.garment)
    for box in number.boxes:
        assert left < box.ink[0] < box.ink[2] < left + wide
        assert bottom < -box.ink[3] < -box.ink[1] < bottom + high


@pytest.mark.parametrize("panel", ["back", "front", "left-sleeve", "left-chest", "shorts"])
@pytest.mark.parametrize("size", ["YXS", "A4X"])
def test_the_garment_and_its_pieces_stay_on_the_platen(panel: str, size: str) -> None:
    plan = one_layer(Peel.COLD)
    plan = replace(plan, pieces=tuple(replace(piece, panel=panel) for piece in plan.pieces))
    at = panel_lay(plan, replace(view_of("88"), panel=panel, size=size), "KOVA")
    left, bottom, wide, high = at.platen
    for x, y in at.garment:
        assert left <= x <= left + wide
        assert bottom <= y <= bottom + high
    for box in at.boxes:
        assert left < box.ink[0] < box.ink[2] < left + wide
        assert bottom < -box.ink[3] < -box.ink[1] < bottom + high


def test_one_long_name_makes_the_whole_teams_names_smaller() -> None:
    def height(team: Team) -> float:
        at = panel_lay(one_layer(Peel.COLD), view_of(), "KOVA", team)
        return next(box.height for box in at.boxes if box.element == "name")

    assert height(Team((("AL", "LÓPERA-VANCE"),))) < height(Team()) == 2.5


def test_the_lower_layer_grows_by_the_plans_border() -> None:
    plan: Plan = two_layers()
    view = SCENES["lay-top"]()[0]
    box = next(b for b in panel_lay(plan, view, "KOVA").boxes if b.element == "number")
    assert box.growth == border(10.0).width


@pytest.mark.parametrize("toward", [True, False])
@pytest.mark.parametrize("high", [20.0, 19.685, 19.2])
def test_a_foot_bar_stays_on_the_platen(bench: Bench, high: float, toward: bool) -> None:
    at = lying("68", "", toward, platen_height_inches=high)
    shown = drawing(at)
    (box,) = (shown.place(each) for each in at.boxes)
    bench.clear()
    bench.show(shown)
    picture = bench.pixels()
    out = 1 if toward else -1
    start = box.top if toward else box.y
    rim, edge = RIM + 4, shown.platen.top if toward else shown.platen.y
    ends = range(int(start + out * rim), int(edge), out)
    x = box.centre[0]  # between the figures: nothing but a bar is dark here
    bar = [y for y in ends if picture.at(x + 12, y) == (INK.red, INK.green, INK.blue)]
    frame = [y for y in bar if abs(y - edge) <= SCALE.mm(0.6)]
    assert len(bar) > len(frame) + 2
    assert picture.at(x + 12, edge + out * 4) not in {(INK.red, INK.green, INK.blue)}
