"""The border check beside the lay drawing: its widths, its words, its space."""

from __future__ import annotations

import pytest
from station_harness import Bench
from station_scenes import SCENES
from station_screen import PANELS, screen_of
from station_tree import texts, walk

from kiosk.catalog.model.house import StationSettings
from kiosk.plan.sizes import border
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import panel_lay, widest_border
from kiosk.station.glass.screens.plates import MARK_MM
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.theme import INK
from kiosk.station.glass.widgets.figures import BorderCheck
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.words import Words
from kiosk.words.speak import fraction, millimetres


def test_the_border_shown_is_that_of_the_largest_stack_being_laid() -> None:
    view, plan = SCENES["lay-top"]()
    at = panel_lay(plan, view, "KOVA")
    assert widest_border(at.boxes, view) == border(10.0)
    assert widest_border(at.boxes, SCENES["lay"]()[0]) is None  # the lower pieces go down


def said(screen: WorkScreen) -> set[str]:
    return {each.text.replace("\n", " ") for each in texts(screen)}


def test_the_border_check_shows_the_width_and_the_grades_limit(bench: Bench) -> None:
    shown = said(screen_of(bench, "lay-top"))
    assert {"even", "move", "border 1/4 in, 1/16 in off at most", "layer 2: WHITE"} <= shown


@pytest.mark.parametrize("panel", PANELS)
def test_border_check_drawing_and_hands_fit_on_every_panel(bench: Bench, panel: str) -> None:
    """The last moment to move the top pieces: show what even means and which figure goes where."""
    screen = screen_of(bench, "lay-top", panel=panel)
    assert [isinstance(each, BorderCheck) for each in walk(screen)].count(True) == 1
    (shown,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
    assert min(shown.platen.w, shown.platen.h) >= screen_scale(panel).mm(10.0)
    assert {"1 LEFT HAND", "3 RIGHT HAND"} <= said(screen)


def screen_scale(panel: str) -> Scale:
    wide, high, inches = PANELS[panel]
    return Scale((wide, high), inches)


def test_a_station_set_to_millimetres_shows_millimetres(bench: Bench) -> None:
    bench.resize(1280, 800)
    view, plan = SCENES["lay-top"]()
    screen = WorkScreen(Words("en"), StationSettings(millimetres=True), lambda line: "KOVA")
    screen.plan = plan
    screen.show(view)
    assert "border 6.3 mm, 1.6 mm off at most" in said(screen)
    assert "collar toward you: seam 25 mm inside this edge" in said(screen)


@pytest.mark.parametrize(
    ("inches", "ruler", "metric"),
    [(4.0, "4", "102"), (9.5, "9 1/2", "241"), (1 / 16, "1/16", "1.6"), (0.0, "0", "0")],
)
def test_lengths_are_written_as_on_a_ruler(inches: float, ruler: str, metric: str) -> None:
    assert (fraction(inches), millimetres(inches)) == (ruler, metric)


@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("practice", [False, True])
def test_the_touch_mark_stays_clear_of_the_border_check(
    bench: Bench, panel: str, language: str, practice: bool
) -> None:
    """The lay drawing's corner is marked; upright, the mark was over the piece to move."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES["lay-top"]()
    settings = StationSettings(screen_inches=inches, language=language)
    screen = WorkScreen(Words(language), settings, lambda line: "KOVA", practice=practice)
    screen.plan = plan
    screen.show(view)
    bench.show(screen)
    scale, picture = screen_scale(panel), bench.pixels()
    side = scale.mm(MARK_MM)
    (shown,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
    mark = Box(shown.box.right - side, shown.box.top - side, side, side)
    beside = [each.box for each in walk(screen) if isinstance(each, BorderCheck)]
    if any(mark.overlaps(box) for box in beside):  # then the platen's own corner is marked
        mark = Box(shown.platen.right - side, shown.platen.top - side, side, side)
    deep = scale.mm(0.62)  # the mark is broader than the platen's frame
    across = {picture.at(mark.right - scale.mm(d), mark.top - deep) for d in (1.0, 1.8, 2.6)}
    assert across == {(INK.red, INK.green, INK.blue)}
