"""A touch on the lay drawing enlarges it over the page; its letters are measured in the picture."""

from __future__ import annotations

from dataclasses import replace

import pytest
from station_harness import Bench, Picture
from station_scenes import SCENES
from station_screen import PANELS
from station_tree import texts, walk

from kiosk.catalog.base import say
from kiosk.catalog.model.house import StationSettings
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.type import CAPITAL
from kiosk.station.glass.widgets.buttons import SIDE_FRAME_MM, SIDE_LINE_MM, ForwardBar, SideButton
from kiosk.station.glass.widgets.heading import Heading, OpenStrip
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.ribbon import Ribbon, Tag
from kiosk.station.glass.widgets.text import Text
from kiosk.words import Words

# 16' from 2 m: 6.283 * 2000 mm * 16 / 21600 (NUREG-0700); a 7-inch screen is read from 1.2 m.
FAR_MM = {10.1: 9.31, 13.3: 9.31, 7.0: 5.59}
AROUND = (Heading, OpenStrip, Ribbon, ForwardBar, SideButton)


def screen_on(bench: Bench, scene: str, panel: str, tongue: str, toward: bool = True) -> WorkScreen:
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    bench.clear()
    view, plan = SCENES[scene]()
    settings = StationSettings(screen_inches=inches)
    screen = WorkScreen(Words(tongue), settings, lambda line: "KOVA", clock=bench.clock)
    screen.plan = replace(plan, collar_toward_operator=toward)
    screen.show(view)
    bench.show(screen)
    bench.pass_time(0.6)
    return screen


def touch(bench: Bench, screen: WorkScreen) -> None:
    (lay,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
    bench.tap(*lay.box.centre)
    bench.frames(2)


def first_letter(picture: Picture, text: Text) -> int:
    """Return the height of the first letter's ink in the picture, px."""
    ink = text.ink.inset(-3)
    row = text.ink.h / max(1, len(text.fitted.rows))
    top = range(int(ink.top - row - 3), int(ink.top))

    def column(x: int) -> list[int]:
        begin, end = (3 * (y * picture.wide + x) for y in (top.start, top.stop))
        reds = picture.data[begin : end : 3 * picture.wide]
        return [top.start + row for row, red in enumerate(reds) if red < 130]

    xs = range(int(ink.x), int(ink.right))
    start = next(x for x in xs if column(x))
    end = next(x for x in range(start, int(ink.right)) if not column(x))
    rows = [y for x in range(start, end) for y in column(x)]
    return max(rows) - min(rows) + 1


@pytest.mark.parametrize("toward", [True, False])
@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("scene", ["lay", "lay-one", "lay-top", "chips-light"])
def test_after_a_touch_the_drawings_words_can_be_read_from_afar(
    bench: Bench, scene: str, panel: str, tongue: str, toward: bool
) -> None:
    screen = screen_on(bench, scene, panel, tongue, toward)
    touch(bench, screen)
    wide, high, inches = PANELS[panel]
    least = Scale((wide, high), inches).mm(FAR_MM[inches])
    around = [each for each in walk(screen) if isinstance(each, AROUND)]
    beside = {id(text) for each in around for text in texts(each)}
    shown = [each for each in texts(screen) if id(each) not in beside]
    hands = [each for each in shown if each.text[:1].isdigit() and each.text[-1] != "n"]
    colours = [each for each in shown if "name" in each.text or "nombre" in each.text]
    assert len(hands) == 2
    assert len(colours) == 1
    assert any(each.text.startswith(("close ", "cerrar ")) for each in shown) == bool(
        screen.view and screen.view.bar.label.values.get("seconds")
    )
    for each in shown:
        assert each.fitted.em * CAPITAL >= least - 1, each.text
    picture = bench.pixels()
    for each in (*hands, *colours):
        if each.text[0].isdigit() or each.text[0].isupper():
            assert first_letter(picture, each) >= least - 1.5, each.text


def test_a_second_touch_or_the_next_move_restores_the_page(bench: Bench) -> None:
    screen = screen_on(bench, "lay", "10 inch", "en")
    before = bench.pixels()
    touch(bench, screen)
    large = {each.text for each in texts(screen)}
    assert "Lay the lower pieces" not in large
    touch(bench, screen)
    assert bench.pixels().data == before.data
    touch(bench, screen)
    assert {each.text for each in texts(screen)} == large
    screen.show(SCENES["lay-top"]()[0])
    screen.show(SCENES["lay"]()[0])
    bench.frames(2)
    assert bench.pixels().data == before.data


def test_the_bar_works_while_the_drawing_is_large(bench: Bench) -> None:
    asked: list[object] = []
    screen = screen_on(bench, "lay", "10 inch", "en")
    screen.on_action = asked.append
    touch(bench, screen)
    assert screen.painted is not None
    bench.tap(*screen.painted.foot.bar.centre)
    assert len(asked) == 1


@pytest.mark.parametrize("word", ["let pass", "back one", "uno atrás", "dejar pasar"])
def test_a_side_buttons_word_stays_clear_of_its_frame(bench: Bench, word: str) -> None:
    for panel in PANELS:
        screen = screen_on(bench, "lay", panel, "en")
        (one, *_) = (each for each in walk(screen) if isinstance(each, SideButton))
        scale = Scale(PANELS[panel][:2], PANELS[panel][2])
        made = SideButton(one.box, scale, word, screen._page(SCENES["lay"]()[0], scale).shade.text,
                          screen._page(SCENES["lay"]()[0], scale).shade.ground)  # fmt: skip
        (text,) = texts(made)
        off = scale.mm(SIDE_FRAME_MM + SIDE_LINE_MM + 0.9)
        assert text.ink.x - made.box.x >= off
        assert made.box.right - text.ink.right >= off


def beside(screen: WorkScreen) -> tuple[float, float]:
    """Return a point on the page where nothing acts: between the last chip and the bar."""
    assert screen.painted is not None
    tags = [each for each in walk(screen) if isinstance(each, Tag)]
    bar = screen.painted.foot.bar
    return bar.centre[0], (bar.top + min(each.box.y for each in tags)) / 2


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("scene", ["chips-light", "chips-dark", "chips-due", "chips-late"])
def test_a_touch_beside_the_chips_enlarges_their_seconds(
    bench: Bench, scene: str, panel: str, tongue: str
) -> None:
    screen = screen_on(bench, scene, panel, tongue)
    view = screen.view
    assert view is not None
    before = bench.pixels()
    bench.tap(*beside(screen))
    bench.frames(2)
    wide, high, inches = PANELS[panel]
    least = Scale((wide, high), inches).mm(FAR_MM[inches])
    words = Words(tongue)
    told = {f"{chip.number} · {words.say(chip.line)}" for chip in view.chips}
    shown = [each for each in texts(screen) if each.text in told]
    more = [each for each in texts(screen) if each.text == f"+{len(told) - len(shown)}"]
    assert shown
    assert len(shown) == len(told) or more
    following = next((chip for chip in view.chips if chip.following), view.chips[0])
    assert any(each.text.startswith(f"{following.number} ·") for each in shown)
    picture = bench.pixels()
    for each in shown:
        assert each.fitted.em * CAPITAL >= least - 1, each.text
        if screen.view is not None and scene == "chips-light":
            assert first_letter(picture, each) >= least - 1.5, each.text
    bench.tap(*beside(screen) if scene != "chips-light" else (wide / 2, high / 2))
    bench.frames(2)
    assert bench.pixels().data == before.data


def test_the_seconds_keep_running_while_the_rack_is_large(bench: Bench) -> None:
    screen = screen_on(bench, "chips-dark", "10 inch", "en")
    bench.tap(*beside(screen))
    view = screen.view
    assert view is not None
    first = view.chips[0]
    later = replace(first, line=say("chip.from", low=9))
    screen.show(replace(view, chips=(later, *view.chips[1:])))
    bench.frames(2)
    assert f"{first.number} · in 9 s" in {each.text for each in texts(screen)}


@pytest.mark.parametrize("scene", ["lay", "chips-dark"])
def test_anything_that_enlarges_has_a_mark_in_its_corner(bench: Bench, scene: str) -> None:
    screen = screen_on(bench, scene, "10 inch", "en")
    kind = LayDrawing if scene == "lay" else Tag
    lay = [each.box for each in walk(screen) if isinstance(each, kind)]
    scale = Scale(PANELS["10 inch"][:2], 10.1)
    margin = PANELS["10 inch"][0] - scale.margin
    box = lay[0] if scene == "lay" else lay[0]._replace(w=margin - lay[0].x)
    picture = bench.pixels()
    text = screen._page(screen.view, scale).shade.text  # type: ignore[arg-type]
    wanted = (text.red, text.green, text.blue)
    across = [picture.at(box.right - scale.mm(d), box.top - 2) for d in (0.5, 1.5, 2.5)]
    down = [picture.at(box.right - 2, box.top - scale.mm(d)) for d in (0.5, 1.5, 2.5)]
    assert {*across, *down} == {wanted}


@pytest.mark.parametrize("scene", ["held", "guess-waits", "aside"])
def test_chips_that_do_not_enlarge_have_no_mark(bench: Bench, scene: str) -> None:
    screen = screen_on(bench, scene, "10 inch", "en")
    before = bench.pixels()
    scale = Scale(PANELS["10 inch"][:2], 10.1)
    tags = [each.box for each in walk(screen) if isinstance(each, Tag)]
    assert tags
    right, top = PANELS["10 inch"][0] - scale.margin, max(box.top for box in tags)
    if max(box.right for box in tags) < right - scale.mm(4.0):
        paper = before.at(right - scale.mm(6.0), top - 2)
        assert all(before.at(right - scale.mm(d), top - 2) == paper for d in (0.5, 1.5, 2.5))
    if scene != "aside":
        bench.tap(*beside(screen))
        bench.frames(2)
        assert bench.pixels().data == before.data
