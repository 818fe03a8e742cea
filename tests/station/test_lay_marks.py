"""Distances, the ruler and the words beside the platen on the lay drawing, measured in pixels."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from kivy.uix.widget import Widget
from lay_shown import ALL, SCALE, drawing, lying
from station_harness import Bench
from station_scenes import SCENES
from station_screen import PANELS
from station_tree import texts, walk

from kiosk.catalog.model.house import StationSettings
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.theme import PAPER
from kiosk.station.glass.type import NO_BREAK
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.lay_margin import GAP_MM
from kiosk.station.glass.widgets.paint import fill
from kiosk.words import Words
from kiosk.words.speak import fraction


def ticks(bench: Bench, shown: LayDrawing) -> list[float]:
    """Return the ruler's marks at the platen's left, in inches above the seam's mark."""
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
def test_a_pieces_distance_from_the_seam_is_written_at_its_mark(bench: Bench, toward: bool) -> None:
    at = lying(toward=toward)
    assert {box.element: at.from_seam(box) for box in at.boxes} == {"name": 4.0, "number": 8.0}
    shown = drawing(at, {"name": "4 in", "number": "8 in"})
    said = {child.text: child for child in texts(shown)}
    assert set(said) == {"4 in", "8 in"}
    for text, inches in (("4 in", 4.0), ("8 in", 8.0)):
        y = shown.at(0.0, inches if toward else -inches)[1]
        assert said[text].ink.centre[1] == pytest.approx(y, abs=SCALE.mm(0.7))
        assert said[text].ink.right < shown.platen.x  # beside the platen, not on the art


def test_a_piece_off_the_centre_line_shows_how_far_off_it_is(bench: Bench) -> None:
    bench.resize(1280, 800)
    view, plan = SCENES["lay-one"]()
    pieces = tuple(replace(each, panel="left-chest") for each in plan.pieces)
    screen = WorkScreen(Words("en"), StationSettings(), lambda line: "")
    screen.plan = replace(plan, pieces=pieces)
    screen.show(replace(view, panel="left-chest"))
    (shown,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
    (box,) = (shown.place(each) for each in shown.lay.boxes)
    (words,) = (each for each in texts(shown) if "centre" in each.text)
    assert words.text.replace(NO_BREAK, " ") == "5 1/2 in; 4 in off centre"
    assert box.centre[0] < shown.at(0.0, 0.0)[0]  # the wearer's left is at the operator's left
    assert words.ink.right < shown.platen.x


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("toward", [True, False])
def test_each_pieces_distance_is_at_its_mark_on_every_panel(
    bench: Bench, panel: str, toward: bool, tongue: str
) -> None:
    for scene in ("lay-one", "lay", "lay-top"):
        shown = lay_of(bench, scene, panel, toward, tongue)
        said = {each.text: each.ink for each in texts(shown)}
        for box in shown.lay.boxes:
            inches = shown.lay.from_seam(box)
            ink = said[f"{fraction(inches)}{NO_BREAK}in"]
            y = shown.at(0.0, inches if toward else -inches)[1]
            assert ink.y < y < ink.top, (scene, box.element)


def lay_of(
    bench: Bench, scene: str, panel: str, toward: bool = True, tongue: str = "en"
) -> LayDrawing:
    """Return the lay drawing of a scene on a panel."""
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
def test_the_lay_drawing_takes_half_the_width_or_all_of_it_upright(
    bench: Bench, scene: str, panel: str, tongue: str
) -> None:
    """Half of the screen's width in landscape, all of it upright, except margins."""
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
def test_hands_and_lengths_are_beside_the_platen_without_overlap(
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
    first, last = (shown.lay.left_hand, shown.lay.right_hand)
    left = next(
        each
        for each in words
        if each.text.startswith(f"{first} ") or each.text.startswith(f"{first}\n")
    )
    assert left.ink.right < shown.platen.x
    right = next(each for each in words if each.ink.x > shown.platen.right)
    assert right.text.startswith(last)
