"""The small widgets: what they show, and what touching them does."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from kivy.core.window import Window
from kivy.uix.widget import Widget
from station_harness import Bench, Picture
from station_scenes import SCENES
from station_tree import button, texts, walk

from kiosk.catalog.base.notes import say
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Phase
from kiosk.run.facts.peels import PeelZone
from kiosk.run.show.parts import Chip, RibbonField, RibbonState, SlabKind, StackSlab
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.theme import AMBER, DARK, INK, LIGHT, PAPER, SNOW, Colour
from kiosk.station.glass.widgets.buttons import NumberPad, arrange_pad
from kiosk.station.glass.widgets.figures import Stack
from kiosk.station.glass.widgets.heading import (
    HeaderWords,
    Heading,
    OpenStrip,
    open_height,
    shortened,
)
from kiosk.station.glass.widgets.marks import Digits, Numeral, PeelMark, Shirt, has_foot
from kiosk.station.glass.widgets.ribbon import ChipBox, Ribbon, places, ribbon_height, rows_of
from kiosk.words import Words

SCALE = Scale((1280, 800), 10.1)
SAY = Words("en").say
KEYS = ("erase", "enter")


def rgb(colour: Colour) -> tuple[int, int, int]:
    return (colour.red, colour.green, colour.blue)


def on_paper(bench: Bench, widget: Widget) -> Picture:
    """Draw a widget alone on paper."""
    bench.clear()
    Window.clearcolor = PAPER.rgba
    bench.show(widget)
    return bench.pixels()


def dark_share(picture: Picture, box: Box) -> float:
    points = [
        picture.at(box.x + box.w * i / 50, box.y + box.h * j / 50)
        for i in range(51)
        for j in range(51)
    ]
    return sum(point[0] < 128 for point in points) / len(points)


# -- peel mark, numbers ----------------------------------------------------


def test_the_fold_is_full_for_hot_half_for_warm_empty_for_cold(bench: Bench) -> None:
    box = Box(200, 200, 200, 200)
    share = {peel: dark_share(on_paper(bench, PeelMark(box, peel, INK)), box) for peel in Peel}
    full = share[Peel.HOT] - share[Peel.COLD]
    assert full > 0.07
    assert 0.15 * full < share[Peel.WARM] - share[Peel.COLD] < 0.6 * full


@pytest.mark.parametrize(
    ("number", "foot"),
    [("6", True), ("9", True), ("16", True), ("91", True), ("68", True), ("8", False),
     ("69", False), ("31", False), ("0", False), ("10", True)],
)  # fmt: skip
def test_a_foot_is_under_every_number_that_reads_as_another(number: str, foot: bool) -> None:
    assert has_foot(number) == foot


def test_the_foot_is_drawn_below_the_figures(bench: Bench) -> None:
    def low(number: str) -> bool:
        numeral = Numeral(Box(200, 200, 300, 300), number, INK, 200)
        picture = on_paper(bench, numeral)
        return picture.at(numeral.ink.centre[0], numeral.ink.y + 4) == rgb(INK)

    assert low("9")
    assert not low("5")


def test_a_shirt_holds_its_number_inside_its_body(bench: Bench) -> None:
    box = Box(200, 200, 120, 100)
    shirt = Shirt(box, "48", INK, PAPER)
    numeral = next(each for each in walk(shirt) if isinstance(each, Numeral))
    assert box.x + 0.2 * box.w <= numeral.ink.x
    assert numeral.ink.right <= box.right - 0.2 * box.w


def test_seconds_keep_their_places(bench: Bench) -> None:
    digits = Digits(Box(100, 100, 700, 400), 2, INK, "s", 1000)
    digits.say("10")
    two = on_paper(bench, digits)
    digits.say("9")
    bench.frames(1)
    one = bench.pixels()
    middle = 100 + digits.em * 0.33
    assert any(two.at(middle, y) == rgb(INK) for y in range(110, 490, 3))
    assert not any(one.at(middle, y) == rgb(INK) for y in range(110, 490, 3))
    unit = 100 + digits.wide - digits.em * 0.1
    column = [two.at(unit, y) for y in range(100, 500)]
    assert column == [one.at(unit, y) for y in range(100, 500)]


# -- ribbon, header --------------------------------------------------------

PHASES = list(Phase)
SHORT = {
    Phase.LOAD: "load", Phase.PRE_PRESS: "pre_press", Phase.LAY: "lay", Phase.TACK: "tack",
    Phase.REMOVE_CARRIER: "carrier", Phase.LAY_TOP: "lay_top", Phase.COVER: "sheet",
    Phase.FINAL: "final", Phase.PEEL: "peel", Phase.INSPECT: "inspect",
}  # fmt: skip


def marks(now: int, count: int = 10) -> list[RibbonField]:
    labels = [SHORT[phase] for phase in PHASES]
    return [
        RibbonField(
            PHASES[i],
            say(f"ribbon.{labels[i]}"),
            RibbonState.NOW if i == now else RibbonState.DONE if i < now else RibbonState.AHEAD,
        )
        for i in range(count)
    ]


def test_a_wide_ribbon_names_every_phase_and_a_narrow_one_the_nearest() -> None:
    wide = Ribbon(Box(0, 0, 1200, 60), SCALE, marks(3), SAY, LIGHT)
    assert len(texts(wide)) == 10
    narrow = Ribbon(Box(0, 0, 420, 60), SCALE, marks(3), SAY, LIGHT)
    said = [text.text for text in texts(narrow)]
    assert said[0] == "tack"
    assert 1 < len(said) < 10
    assert next(text for text in texts(narrow) if text.text == "tack").style.bold


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize(("size", "inches"), [((800, 1280), 10.1), ((600, 1024), 7.0)])
def test_a_portrait_ribbon_names_every_phase(
    size: tuple[int, int], inches: float, tongue: str
) -> None:
    scale, say = Scale(size, inches), Words(tongue).say
    for now in range(10):
        at = marks(now)
        wide = size[0] - 2 * scale.margin
        rows = rows_of(scale, [say(mark.label) for mark in at], wide)
        tall = ribbon_height(scale, rows=rows)
        shown = list(texts(Ribbon(Box(0, 0, wide, tall), scale, at, say, LIGHT)))
        assert len(shown) == 10, now
        for one, other in combinations(shown, 2):
            assert not one.ink.overlaps(other.ink), (one.text, other.text)


STACKED = ["tack", "carrier", "lay_top"] * 2
ENDS = ["tack", "carrier", "lay", "sheet", "final", "peel", "inspect"]
THREE_LAYERS = ["load", "pre_press", "lay", *STACKED, *ENDS]


@pytest.mark.parametrize("tongue", ["en", "es"])
def test_a_portrait_ribbon_of_many_phases_leaves_out_the_farthest_names(tongue: str) -> None:
    scale, words = Scale((600, 1024), 7.0), Words(tongue)
    box = Box(20, 0, 560, ribbon_height(scale, rows=2))
    for now, name in enumerate(THREE_LAYERS):
        done = (
            RibbonState.NOW if i == now else RibbonState.AHEAD for i in range(len(THREE_LAYERS))
        )
        labels = [say(f"ribbon.{each}") for each in THREE_LAYERS]
        at = [
            RibbonField(Phase.LAY, label, state) for label, state in zip(labels, done, strict=True)
        ]
        shown = list(texts(Ribbon(box, scale, at, words.say, LIGHT)))
        assert [text.text for text in shown if text.style.bold] == [words(f"ribbon.{name}")]
        for text in shown:
            assert box.x - 2 <= text.ink.x, text.text
            assert text.ink.right <= box.right + 2, text.text
        for one, other in combinations(shown, 2):
            assert not one.ink.overlaps(other.ink), (one.text, other.text)


def test_a_header_shortens_the_jobs_title_and_nothing_else() -> None:
    title = "Orsavel, the long away set of the second team, spring, goalkeepers and coaches too"
    words = HeaderWords(title, "garment 7 of 18", "heron · 300 °F medium-firm", "done 15:20–15:40")
    heading = Heading(Box(0, 0, 1200, 30), SCALE, words, LIGHT)
    said = [text.text for text in texts(heading)]
    assert "garment 7 of 18 · done 15:20–15:40" in said
    assert "heron · 300 °F medium-firm" in said
    assert any(word.startswith("Orsavel") and word.endswith("…") for word in said)


@pytest.mark.parametrize(("wide", "high", "inches"), [(600, 1024, 7.0), (800, 1280, 10.1)])
def test_no_letter_reaches_the_edge_of_the_open_strip(
    bench: Bench, wide: int, high: int, inches: float
) -> None:
    """The light tail of a p ran into the light paper below; two dark pixels keep them apart."""
    bench.resize(wide, high)
    scale = Scale((wide, high), inches)
    box = Box(0, 100, wide, open_height(scale))
    words = ("ABRIR", "4 s", "desde que sonó · usar la palanca de la plancha, jjj ggg ppp qqq")
    picture = on_paper(bench, OpenStrip(box, scale, words, INK, PAPER))
    rows = range(100, 102)
    assert {picture.at(x, y) for x in range(2, wide - 2) for y in rows} == {rgb(INK)}


def test_a_title_that_fits_is_not_shortened() -> None:
    assert shortened("away set", False, 20, 500) == "away set"
    assert shortened("away set", False, 20, 60).endswith("…")


# -- chips, stack ----------------------------------------------------------


def chip(ready: PeelZone, share: float = 0.5) -> Chip:
    view = SCENES["chips-dark"]()[0]
    return replace(view.chips[0], zone=ready, share=share)


@pytest.mark.parametrize(
    ("ready", "ground"),
    [(PeelZone.SOON, DARK.ground), (PeelZone.NOW, SNOW), (PeelZone.LATE, AMBER)],
)
def test_a_chip_is_filled_when_it_is_time_and_amber_when_late(
    bench: Bench, ready: PeelZone, ground: Colour
) -> None:
    box = Box(300, 300, 300, 95)
    shown = ChipBox(box, SCALE, "31", SAY, DARK, lambda: None)
    shown.show(chip(ready))
    picture = on_paper(bench, shown)
    assert picture.at(box.right - 8, box.top - 8) == rgb(ground)
    assert any("COLD" in text.text for text in texts(shown))


def test_a_chip_draws_again_only_when_its_words_change(bench: Bench) -> None:
    shown = ChipBox(Box(300, 300, 300, 95), SCALE, "31", SAY, DARK, lambda: None)
    shown.show(chip(PeelZone.SOON))
    before = list(walk(shown))
    shown.show(chip(PeelZone.SOON, 0.61))
    assert list(walk(shown)) == before
    assert shown.progress is not None
    assert shown.progress.share == pytest.approx(0.6)
    shown.show(chip(PeelZone.NOW))
    assert list(walk(shown)) != before


def test_a_row_holds_as_many_chips_as_fit() -> None:
    row = Box(0, 0, 700, 90)
    assert len(places(row, SCALE, 2)) == 2
    few = places(row, SCALE, 9)
    assert len(few) < 9
    assert few[-1].right <= 700.5


def test_every_layer_of_a_stack_is_named_and_coming_ones_are_bold() -> None:
    slabs = (
        StackSlab(SlabKind.CARRIER, say("stack.carrier"), coming=True),
        StackSlab(SlabKind.FILM, say("stack.film", colour="BLACK"), "black", coming=True),
        StackSlab(SlabKind.CLOTH, say("stack.cloth")),
    )
    stack = Stack(Box(0, 0, 300, 200), SCALE, slabs, SAY, LIGHT)
    said = {text.text: text.style.bold for text in texts(stack)}
    assert said == {"carrier": True, "BLACK": True, "cloth": False}
    tops = [text.box.top for text in texts(stack)]
    assert tops == sorted(tops, reverse=True)


# -- pads and rows ---------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "height"), [(500, 520), (420, 420), (860, 330), (500, 400), (900, 230)]
)
def test_a_number_pads_keys_are_large_enough_for_a_glove(width: int, height: int) -> None:
    box = Box(0, 0, width, height)
    field, keys, columns = arrange_pad(box, SCALE, SCALE.mm(2))
    for key in keys.grid(columns, 12 // columns, SCALE.mm(2)):
        assert min(key.w, key.h) >= SCALE.target - 0.5
        assert key.right <= box.right + 0.5
        assert not key.overlaps(field)


def test_a_pad_takes_three_figures_and_passes_them_on(bench: Bench) -> None:
    entered: list[str] = []
    pad = NumberPad(Box(200, 100, 500, 560), SCALE, entered.append, KEYS, unit="°F")
    bench.show(pad)
    for key in "3000":
        bench.tap(*button(pad, key).box.centre)
    assert pad.field.text == "300 °F"
    bench.tap(*button(pad, "enter").box.centre)
    assert entered == ["300"]
    assert pad.value == ""


def test_an_empty_pad_passes_nothing_on(bench: Bench) -> None:
    entered: list[str] = []
    pad = NumberPad(Box(200, 100, 500, 560), SCALE, entered.append, KEYS)
    bench.show(pad)
    bench.tap(*button(pad, "enter").box.centre)
    assert entered == []
