"""Letters, borders, distances and parts of the lay drawing, measured in its pixels."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest
from kivy.graphics import PopMatrix, PushMatrix, Rotate
from kivy.uix.widget import Widget
from station_harness import Bench
from station_scenes import SCENES
from station_screen import PANELS
from station_tree import texts, walk
from view_cases import one_layer, two_layers

from kiosk.catalog.model.house import StationSettings
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.rules.faces import read_face
from kiosk.plan.model import Plan
from kiosk.plan.place.placement import Team
from kiosk.plan.sizes import border
from kiosk.run.show.parts import Ink, PieceView, View
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import Laid, laid
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.type import NO_BREAK
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.lay_margin import GAP_MM
from kiosk.station.glass.widgets.marks import Numeral, letter
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.text import Text
from kiosk.words import Words
from kiosk.words.speak import fraction

SCALE = Scale((1280, 800), 10.1)
FACE = read_face()
RIM = 3.5  # a piece of one layer has an ink rim of 1 % of 10 in, at 35 px an inch
ALL = Box(0, 0, 1280, 800)
DARK = bytes(value < 130 for value in range(256))


def dark(bench: Bench, drawn: Widget, around: Box) -> Box:
    """The box of what is not paper inside `around`."""
    bench.clear()
    bench.show(drawn)
    picture = bench.pixels()
    left, right = int(around.x), int(around.right)
    xs, ys = list[int](), list[int]()
    for y in range(int(around.y), int(around.top)):
        row = picture.data[3 * (y * picture.wide + left) : 3 * (y * picture.wide + right) : 3]
        marked = row.translate(DARK)  # its reds
        if 1 in marked:
            xs += [left + marked.index(1), left + marked.rindex(1)]
            ys.append(y)
    return Box(min(xs), min(ys), max(xs) - min(xs) + 1, max(ys) - min(ys) + 1)


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
def test_a_letter_that_no_face_has_is_an_empty_box(bench: Bench, turned: bool) -> None:
    ink = Box(300, 250, 160, 200)
    found = dark(bench, letter_of("中", ink, turned=turned), ink.inset(-40))
    for side in ("x", "y", "right", "top"):
        assert getattr(found, side) == pytest.approx(getattr(ink, side), abs=2.0), side
    picture = bench.pixels()
    assert picture.at(ink.centre[0], ink.centre[1])[0] < 130  # the stroke through it
    for x, y in ((340, 400), (420, 300)):  # on both sides of the stroke
        assert picture.at(x, y)[0] > 200


@pytest.mark.parametrize("character", [*"018", "Ñ"])
def test_a_border_is_as_wide_on_all_four_sides(bench: Bench, character: str) -> None:
    glyph = FACE.glyph(character)
    ink = Box(300, 250, (glyph.right - glyph.left) * 200, (glyph.top - glyph.bottom) * 200)
    found = dark(bench, letter_of(character, ink, growth=12.0), ink.inset(-40))
    grown = ink.inset(-12.0)
    for side in ("x", "y", "right", "top"):
        assert getattr(found, side) == pytest.approx(getattr(grown, side), abs=2.5), side


# -- the drawing --------------------------------------------------------------


def view_of(number: str = "31", scene: str = "lay-one") -> View:
    return replace(SCENES[scene]()[0], number=number)


def lying(number: str = "31", name: str = "KOVA", toward: bool = True, **more: Any) -> Laid:
    plan = replace(one_layer(Peel.COLD, collar_toward_operator=toward), **more)
    return laid(plan, view_of(number), name)


def drawing(at: Laid, distances: dict[str, str] | None = None, scale: Scale = SCALE) -> LayDrawing:
    pieces = tuple(PieceView(f"{e}.1", e, 1, "black", Ink.NEXT) for e in at.texts)
    return LayDrawing(Box(300, 60, 560, 720), scale, at, pieces, None, distances)


@pytest.mark.parametrize("toward", [True, False])
@pytest.mark.parametrize("number", ["31", "17", "68"])
def test_every_figure_is_drawn_where_the_lay_out_has_it(
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


def ticks(bench: Bench, shown: LayDrawing) -> list[float]:
    """Where the ruler at the platen's left has its marks: inches above the middle of the first."""
    bench.clear()
    page = Widget()
    with page.canvas:
        fill(ALL, PAPER)
    page.add_widget(shown)
    bench.show(page)
    picture = bench.pixels()
    x = shown.whole.x - shown.scale.mm(GAP_MM + 0.4)
    dark_at = [y for y in range(int(shown.box.y), int(shown.box.top)) if picture.at(x, y)[0] < 130]
    starts = [y for y in dark_at if y - 1 not in dark_at]
    middles = [
        (y + next(e for e in range(y, y + 40) if e + 1 not in dark_at) + 1) / 2 for y in starts
    ]
    return [(y - shown.at(0.0, 0.0)[1]) / shown.px for y in middles]


@pytest.mark.parametrize("toward", [True, False])
def test_the_ruler_is_marked_at_whole_inches_from_the_seam(bench: Bench, toward: bool) -> None:
    shown = drawing(lying(toward=toward), {"name": "4 in", "number": "8 in"})
    found = sorted(abs(inches) for inches in ticks(bench, shown))
    assert found == pytest.approx(range(9), abs=2 / shown.px)


@pytest.mark.parametrize("toward", [True, False])
def test_how_far_from_the_seam_a_piece_begins_is_written_at_its_mark(
    bench: Bench, toward: bool
) -> None:
    at = lying(toward=toward)
    assert {box.element: at.from_seam(box) for box in at.boxes} == {"name": 4.0, "number": 8.0}
    shown = drawing(at, {"name": "4 in", "number": "8 in"})
    said = {child.text: child for child in texts(shown)}
    assert set(said) == {"4 in", "8 in"}
    for text, inches in (("4 in", 4.0), ("8 in", 8.0)):
        y = shown.at(0.0, inches if toward else -inches)[1]
        assert said[text].ink.centre[1] == pytest.approx(y, abs=SCALE.mm(0.7))
        assert said[text].ink.right < shown.platen.x  # beside the platen, not on the art


def turns(canvas: Any, found: dict[int, int], turned: int = 0) -> int:
    """Note how often each canvas below is turned as it is drawn; return the most of all."""
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
def test_no_word_and_no_number_to_read_is_ever_turned(
    bench: Bench, scene: str, toward: bool
) -> None:
    """Only art is turned, and that only with the collar toward the operator."""
    bench.resize(1280, 800)
    view, plan = SCENES[scene]()
    screen = WorkScreen(Words("en"), StationSettings(), lambda line: "KOVA")
    screen.plan = replace(plan, collar_toward_operator=toward)
    screen.show(replace(view, number="68"))
    found: dict[int, int] = {}
    most = turns(screen.canvas, found)
    read = [each for each in walk(screen) if isinstance(each, Text | Numeral)]
    assert len(read) > 5
    assert {found[id(each.canvas)] for each in read} == {0}
    drawn = [each for each in walk(screen) if isinstance(each, LayDrawing)]
    assert most == (1 if toward and drawn else 0)


def test_a_short_platen_shows_the_part_that_is_laid_and_where_the_seam_lies() -> None:
    at = lying(platen_height_inches=15.0)
    assert at.parts == 2
    assert [box.element for box in at.boxes] == ["name"]
    assert at.seam_ruler == 1.0
    number = laid(
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
    at = laid(plan, replace(view_of("88"), panel=panel, size=size), "KOVA")
    left, bottom, wide, high = at.platen
    for x, y in at.garment:
        assert left <= x <= left + wide
        assert bottom <= y <= bottom + high
    for box in at.boxes:
        assert left < box.ink[0] < box.ink[2] < left + wide
        assert bottom < -box.ink[3] < -box.ink[1] < bottom + high


def test_a_team_with_a_long_name_has_every_name_lower() -> None:
    def height(team: Team) -> float:
        at = laid(one_layer(Peel.COLD), view_of(), "KOVA", team)
        return next(box.height for box in at.boxes if box.element == "name")

    assert height(Team((("AL", "LÓPERA-VANCE"),))) < height(Team()) == 2.5


def test_two_layers_are_drawn_as_the_layers_of_the_plan() -> None:
    plan: Plan = two_layers()
    view = SCENES["lay-top"]()[0]
    box = next(b for b in laid(plan, view, "KOVA").boxes if b.element == "number")
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


def test_a_piece_off_the_centre_line_says_how_far_off_it_is(bench: Bench) -> None:
    bench.resize(1280, 800)
    view, plan = SCENES["lay-one"]()
    pieces = tuple(replace(each, panel="left-chest") for each in plan.pieces)
    screen = WorkScreen(Words("en"), StationSettings(), lambda line: "")
    screen.plan = replace(plan, pieces=pieces)
    screen.show(replace(view, panel="left-chest"))
    (shown,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
    (box,) = (shown.place(each) for each in shown.lying.boxes)
    (words,) = (each for each in texts(shown) if "centre" in each.text)
    assert words.text.replace(NO_BREAK, " ") == "5 1/2 in; 4 in off centre"
    assert box.centre[0] < shown.at(0.0, 0.0)[0]  # the wearer's left is at the operator's left
    assert words.ink.right < shown.platen.x


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("toward", [True, False])
def test_where_each_piece_begins_is_at_its_mark_on_every_panel(
    bench: Bench, panel: str, toward: bool, tongue: str
) -> None:
    for scene in ("lay-one", "lay", "lay-top"):
        shown = lay_of(bench, scene, panel, toward, tongue)
        said = {each.text: each.ink for each in texts(shown)}
        for box in shown.lying.boxes:
            inches = shown.lying.from_seam(box)
            ink = said[f"{fraction(inches)}{NO_BREAK}in"]
            y = shown.at(0.0, inches if toward else -inches)[1]
            assert ink.y < y < ink.top, (scene, box.element)


def lay_of(
    bench: Bench, scene: str, panel: str, toward: bool = True, tongue: str = "en"
) -> LayDrawing:
    """The lay drawing of a scene on a panel."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES[scene]()
    screen = WorkScreen(Words(tongue), StationSettings(screen_inches=inches), lambda line: "KOVA")
    screen.plan = replace(plan, collar_toward_operator=toward)
    screen.show(view)
    (shown,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
    return shown


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("scene", ["lay", "lay-one", "lay-top"])
def test_the_lay_drawing_with_its_labels_is_the_page(
    bench: Bench, scene: str, panel: str, tongue: str
) -> None:
    """Half of the screen's width in landscape, the whole of it upright, margins apart."""
    shown = lay_of(bench, scene, panel, tongue=tongue)
    wide, high, inches = PANELS[panel]
    least = 0.5 if wide > high else 0.9
    assert shown.box.w >= least * wide - 1
    assert shown.whole.h == pytest.approx(shown.box.h, abs=1) or panel.startswith("7")
    assert shown.platen.h >= Scale((wide, high), inches).mm(19.0)


@pytest.mark.parametrize("toward", [True, False])
@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("scene", ["lay", "lay-one", "lay-top"])
def test_hands_and_lengths_stand_beside_the_platen_and_not_on_each_other(
    bench: Bench, scene: str, panel: str, tongue: str, toward: bool
) -> None:
    shown = lay_of(bench, scene, panel, toward, tongue)
    words = list(texts(shown))
    assert len(words) == 4
    for each in words:
        assert not each.ink.overlaps(shown.whole, slack=0.0), each.text
        assert shown.box.x - 1 <= each.ink.x, each.text
        assert each.ink.right <= shown.box.right + 1, each.text
    for one, other in combinations(words, 2):
        assert not one.ink.overlaps(other.ink, slack=2.0), (one.text, other.text)
    first, last = (shown.lying.left_hand, shown.lying.right_hand)
    left = next(
        each
        for each in words
        if each.text.startswith(f"{first} ") or each.text.startswith(f"{first}\n")
    )
    assert left.ink.right < shown.platen.x
    right = next(each for each in words if each.ink.x > shown.platen.right)
    assert right.text.startswith(last)
