"""Things side by side have one size, what matters is not hidden, letters stay in their box."""

from __future__ import annotations

import pytest
from station_harness import Bench
from station_scenes import SCENES, names
from station_screen import PANELS
from station_tree import buttons, texts, walk

from kiosk.catalog.model.house import StationSettings
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.screens.ask import ChoiceButton
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.theme import INK, PAPER
from kiosk.station.glass.type import CAPITAL, Style, breadth, wrap
from kiosk.station.glass.widgets.buttons import PaperButton, SideButton
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.marks import Numeral
from kiosk.station.glass.widgets.paint import fill
from kiosk.station.glass.widgets.ribbon import Tag
from kiosk.station.glass.widgets.text import Text
from kiosk.words import Words

TOUCHED_MM = 4.19  # 16' from 0.9 m: 6.283 * 900 mm * 16 / 21600 (NUREG-0700)
SHOWN_MM = 2.79  # 16' from 0.6 m


def shown(bench: Bench, scene: str, panel: str, language: str) -> tuple[WorkScreen, Scale]:
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES[scene]()
    settings = StationSettings(screen_inches=inches, language=language)
    screen = WorkScreen(Words(language), settings, names, clock=bench.clock)
    screen.plan = plan
    screen.show(view)
    return screen, Scale((wide, high), inches)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_results_side_by_side_have_letters_of_one_size(
    bench: Bench, panel: str, language: str
) -> None:
    """Five results while a garment cools: a long word had smaller letters than a short one."""
    screen, scale = shown(bench, "guess-waits", panel, language)
    sizes = {b.label: texts(b)[0].fitted.em for b in buttons(screen)}
    assert len(sizes) == 5
    assert max(sizes.values()) - min(sizes.values()) <= 1, sizes
    assert min(sizes.values()) * CAPITAL >= 0.85 * scale.mm(SHOWN_MM), sizes


@pytest.mark.parametrize("share", [0.8, 1.0])
def test_the_line_below_a_label_is_no_larger_than_the_label(share: float) -> None:
    """*Which job is behind?* was smaller than "None is behind plan": labels shrink to be alike."""
    scale = Scale((1280, 800), 10.1)
    most = scale.label * share
    told = ("Which job is behind?", lambda: None, "None is behind plan")
    label, line = texts(PaperButton(Box(0, 0, 400, 160), scale, *told, most=most))
    assert line.fitted.em <= label.fitted.em + 1


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_a_full_row_still_shows_that_a_garment_waits_for_a_supervisor(
    bench: Bench, panel: str, language: str
) -> None:
    """A stopped garment was hidden in "+4"."""
    screen, _ = shown(bench, "stopped-behind", panel, language)
    said = " ".join(text.text for text in texts(screen))
    assert "supervisor" in said or "+4 !" in said


@pytest.mark.parametrize("panel", PANELS)
def test_a_stopped_garment_keeps_its_chip_in_the_row_while_viewed(bench: Bench, panel: str) -> None:
    """The page is about it, and a touch on its chip leaves the page: it was behind "+2"."""
    screen, _ = shown(bench, "stopped", panel, "en")
    view = screen.view
    assert view is not None
    assert view.number in [each.number for each in walk(screen) if isinstance(each, Tag)]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_a_questions_line_and_foot_are_large_enough_to_read(
    bench: Bench, panel: str, language: str
) -> None:
    """While OPEN takes a strip of the screen these lines were half that size on 7 inches."""
    screen, scale = shown(bench, "ask-number-racked", panel, language)
    assert screen.view is not None
    assert screen.view.ask is not None
    told = {screen.words.brief(m) for m in (screen.view.ask.line, screen.view.ask.foot)}
    told |= {screen.words.say(m) for m in (screen.view.ask.line, screen.view.ask.foot)}
    lines = [text for text in texts(screen) if text.text in told]
    assert len(lines) == 2
    assert min(text.fitted.em for text in lines) * CAPITAL >= 0.9 * scale.mm(TOUCHED_MM)


@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("scene", ["ask-size", "ask-number-by-pedal", "ask-size-racked"])
def test_the_line_under_the_choices_is_close_to_them(bench: Bench, panel: str, scene: str) -> None:
    """On large screens it was half a screen away, beside the bar."""
    screen, scale = shown(bench, scene, panel, "en")
    assert screen.view is not None
    assert screen.view.ask is not None
    ask = screen.view.ask
    told = {screen.words.brief(ask.foot), screen.words.say(ask.foot)}
    (foot,) = (text for text in texts(screen) if text.text in told)
    lowest = min(each.box.y for each in walk(screen) if isinstance(each, ChoiceButton))
    assert 0 < lowest - foot.box.top <= scale.mm(3.0)


@pytest.mark.parametrize("language", ["en", "es"])
def test_on_ten_inches_upright_reminders_give_way_to_a_small_platen(
    bench: Bench, language: str
) -> None:
    """Share of the screen's height; with a reminder beside every garment it was less."""
    screen, _ = shown(bench, "lay-top", "10 inch upright", language)
    (drawn,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
    assert drawn.whole.h / 1280 >= 0.16


@pytest.mark.parametrize("scene", ["guess-waits", "peel-hot", "stopped", "aside"])
@pytest.mark.parametrize("size", [(600, 1024, 7.0), (800, 1280, 10.1), (1200, 1920, 13.3)])
def test_upright_the_name_is_beside_the_number_or_right_below_it(
    bench: Bench, size: tuple[int, int, float], scene: str
) -> None:
    """On 13 inches it was lower than the number and right of it, as if it belonged to neither."""
    bench.resize(*size[:2])
    view, plan = SCENES[scene]()
    screen = WorkScreen(Words("en"), StationSettings(screen_inches=size[2]), names)
    screen.plan = plan
    screen.show(view)
    numbers = (each for each in walk(screen) if isinstance(each, Numeral))
    number = max(numbers, key=lambda each: each.ink.top)
    name = next(text for text in texts(screen) if text.text == names(view.line))
    under = abs(name.ink.x - number.ink.x) <= 5 and name.ink.top <= number.ink.y
    beside = number.ink.y <= name.ink.centre[1] <= number.ink.top
    assert under or beside, (number.ink, name.ink)


@pytest.mark.parametrize("word", ["back one", "paso atrás", "let pass"])
def test_two_words_on_a_side_button_are_stacked_before_they_shrink(word: str) -> None:
    wide, high, inches = PANELS["7 inch"]
    scale = Scale((wide, high), inches)
    box = Box(0, 0, wide * 0.135, high * 0.2)
    (text,) = texts(SideButton(box, scale, word, INK, PAPER))
    assert text.fitted.em * CAPITAL >= scale.mm(TOUCHED_MM) - 1


@pytest.mark.parametrize("em", [16, 22, 25, 30])
def test_no_letter_is_drawn_outside_its_computed_box(bench: Bench, em: int) -> None:
    """The font's own widths at these sizes are up to 2 % more than those of its outlines."""
    said = "It can still burn. Hold the back of your hand near it first."
    bench.resize(1280, 800)
    bench.clear()
    wide = breadth(said, True) * em
    text = Text(said, Box(100, 400, wide, em * 1.5), Style(em * CAPITAL, em * CAPITAL, True), INK)
    with text.canvas.before:
        fill(Box(0, 0, 1280, 800), PAPER)
    bench.show(text)
    picture = bench.pixels()
    inked = [x for x in range(1280) for y in range(380, 440) if picture.at(x, y)[0] < 128]
    assert min(inked) >= 99
    assert max(inked) <= 100 + wide + 1.5


def test_a_bold_row_ends_without_a_dot_and_a_number_stays_with_its_word() -> None:
    assert wrap("Number 34 · rework", True, 7.0) == ("Number\xa034", "rework")
    assert wrap("Number 34 · rework", False, 7.0) == ("Number\xa034\xa0·", "rework")
    for ems in (8.0, 10.0, 12.0):
        rows = wrap("accepted: 0, scrap: 12. Then: number 31, cold peel at 312 °F", False, ems)
        for figure in ("accepted:\xa00,", "scrap:\xa012.", "number\xa031,"):
            assert any(figure in row for row in rows), rows
