"""The garment's temperatures as the station draws them: pixels where the curve says."""

from __future__ import annotations

from itertools import combinations

import pytest
from kivy.core.window import Window
from plan_for_pictures import cold, layered, warm
from station_driver import ROOT
from station_harness import Bench, Picture
from station_tree import texts

from kiosk.catalog.base.quantities import Degrees
from kiosk.plan.heat.summary import HeatCurve, heat_curve
from kiosk.plan.model import Pass
from kiosk.station.desk.jobs.library import Library
from kiosk.station.desk.jobs.proofing import heat_picture
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import CLOTH, PAPER, WHITE, Colour
from kiosk.station.glass.widgets.heat_graph import HeatGraph
from kiosk.words import Words

SIZES = [((1280, 800), 10.1), ((800, 1280), 10.1), ((1024, 600), 7.0), ((600, 1024), 7.0)]
WORDS = Words("en")
JOBS = ROOT / "shared" / "jobs"


def curve_of(each: Pass) -> HeatCurve:
    curve = heat_curve(each)
    assert curve is not None
    return curve


def graph(
    each: Pass, size: tuple[int, int] = (1280, 800), inches: float = 10.1, words: Words = WORDS
) -> HeatGraph:
    box = Box(20, size[1] * 0.25, size[0] - 40, size[1] * 0.4)
    picture = heat_picture(curve_of(each), Degrees.F, words)
    return HeatGraph(box, Scale(size, inches), picture)


def drawn(bench: Bench, shown: HeatGraph) -> Picture:
    bench.clear()
    Window.clearcolor = PAPER.rgba
    bench.show(shown)
    return bench.pixels()


def rgb(colour: Colour) -> tuple[int, int, int]:
    return (colour.red, colour.green, colour.blue)


def test_the_bonds_curve_is_drawn_at_its_temperatures(bench: Bench) -> None:
    shown = graph(warm())
    picture = drawn(bench, shown)
    curve = shown.picture.curve
    after = [p for p in curve.points if p.time > curve.opened + 3 and p.bond is not None]
    assert len(after) > 30
    for point in after[:-1]:
        assert point.bond is not None
        x, y = shown.x(point.time), shown.y(point.bond)
        near = [picture.at(x, y + step) for step in range(-2, 3)]
        assert min(pixel[0] for pixel in near) < 90, point


@pytest.mark.usefixtures("_bench")
def test_the_time_and_temperature_axes_are_linear() -> None:
    shown = graph(warm())
    curve, plot = shown.picture.curve, shown.plot
    assert shown.x(0) == pytest.approx(plot.x)
    assert shown.x(curve.end / 2) == pytest.approx(plot.x + plot.w / 2)
    assert shown.x(curve.end) == pytest.approx(plot.right)
    assert plot.y < shown.y(23.0) < shown.y(65.0) < shown.y(curve.highest) < plot.top
    assert shown.y(60.0) - shown.y(40.0) == pytest.approx(shown.y(40.0) - shown.y(20.0))


def test_closed_phases_are_shaded_and_open_ones_are_not(bench: Bench) -> None:
    shown = graph(layered())
    picture = drawn(bench, shown)
    y = shown.plot.y + shown.plot.h * 0.03  # below every curve but the cold cloth's
    for span in shown.picture.curve.phases[1:-1]:
        middle = shown.x((span.start + span.end) / 2)
        expected = CLOTH if span.closed else PAPER
        assert picture.at(middle, y) == rgb(expected), span


def test_the_time_to_peel_is_a_white_band(bench: Bench) -> None:
    shown = graph(warm())
    picture = drawn(bench, shown)
    curve, wait = shown.picture.curve, shown.picture.curve.wait
    assert wait is not None
    y = shown.plot.top - shown.plot.h * 0.2
    inside = shown.x(curve.opened + (wait.from_seconds + wait.to_seconds) / 2)
    assert picture.at(inside, y) == rgb(WHITE)
    for outside in (wait.from_seconds - 3, wait.to_seconds + 3):
        assert picture.at(shown.x(curve.opened + outside), y) == rgb(PAPER)


@pytest.mark.usefixtures("_bench")
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("size", "inches"), SIZES)
def test_no_words_overlap_or_leave_the_picture(
    size: tuple[int, int], inches: float, language: str
) -> None:
    for each in (warm(), layered(), three_layers()):
        shown = graph(each, size, inches, Words(language))
        said = texts(shown)
        assert len(said) >= 8
        for text in said:
            ink = text.ink
            assert ink.x >= shown.box.x - 1, text.text
            assert ink.right <= shown.box.right + 1, text.text
            assert ink.y >= shown.box.y - shown.row / 2, text.text
            assert ink.top <= shown.box.top + 1, text.text
        for one, other in combinations(said, 2):
            assert not _meet(one.ink, other.ink), (one.text, other.text)


def three_layers() -> Pass:
    """The shipped job with the most closings."""
    plan = Library(ROOT / "recipes", JOBS).offer(JOBS / "night-regatta").plan
    assert plan is not None
    return plan.passes[0]


@pytest.mark.usefixtures("_bench")
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("size", "inches"), SIZES)
def test_the_seconds_after_opening_are_numbered(
    size: tuple[int, int], inches: float, language: str
) -> None:
    for each in (warm(), layered(), three_layers()):
        shown = graph(each, size, inches, Words(language))
        foot = [text for text in texts(shown) if text.ink.top < shown.plot.y]
        seconds = [text for text in foot if text.text.isdecimal()]
        assert len(seconds) >= 2
        assert seconds[0].text == "0"


@pytest.mark.usefixtures("_bench")
@pytest.mark.parametrize(("size", "inches"), SIZES)
def test_a_levels_label_stays_clear_of_the_bonds_curve(
    size: tuple[int, int], inches: float
) -> None:
    shown = graph(cold(), size, inches)
    (level,) = [text for text in texts(shown) if text.text.startswith("cold at ")]
    points = [p for p in shown.picture.curve.points if p.bond is not None]
    under = [shown.y(p.bond or 0.0) for p in points if shown.x(p.time) >= level.ink.x]
    assert under
    assert max(under) < level.ink.y


def _meet(one: Box, other: Box) -> bool:
    across = min(one.right, other.right) - max(one.x, other.x)
    up = min(one.top, other.top) - max(one.y, other.y)
    return across > 1 and up > 1


def test_every_closing_is_named() -> None:
    names = [text.text for text in texts(graph(layered()))]
    assert [name for name in names if name in {"pre-press", "tack", "final press"}] == [
        "pre-press", "tack", "tack", "final press",
    ]  # fmt: skip
