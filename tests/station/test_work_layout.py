"""Every picture on every panel: nothing clipped, nothing overlapping, everything touchable."""

from __future__ import annotations

from itertools import combinations

import pytest
from station_harness import Bench
from station_scenes import MANY, SCENES, names, racked
from station_screen import PANELS, drawing_of
from station_tree import buttons, targets, texts, walk, written
from view_cases import COLD, Station, one_layer, two_layers

from kiosk.catalog.base import say
from kiosk.catalog.model import StationSettings
from kiosk.plan.model import Plan
from kiosk.run.show import View
from kiosk.run.state import commands as c
from kiosk.station.desk.sheet import HoldOption
from kiosk.station.glass.boxes import DEAD_GAP_MM, TARGET_MM, Box, Scale
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.type import CAPITAL
from kiosk.station.glass.widgets.buttons import PaperButton
from kiosk.station.glass.widgets.marks import Digits, Numeral
from kiosk.station.glass.widgets.text import Text
from kiosk.words import Words

# The least share of the height required by their distance that texts keep. On small panels with the
# longest words some give up a little, so that nothing is clipped.
KEPT = {
    "13 inch": 1.0,
    "10 inch": 1.0,
    "10 inch upright": 1.0,
    "7 inch": 0.79,
    "7 inch upright": 0.85,
}
Drawn = tuple[WorkScreen, str]
# Spanish and longer words: test_every_page.py, which draws these scenes as well.
EVERY = [(panel, scene) for panel in PANELS for scene in SCENES]


@pytest.fixture(scope="module", params=EVERY, ids=lambda each: f"{each[0]}-{each[1]}")
def drawn(request: pytest.FixtureRequest, _bench: Bench) -> Drawn:
    """The screen of every scene on every panel, with the panel's name."""
    panel, scene = request.param
    return drawing_of(_bench, scene, panel), panel


def scale_of(panel: str) -> Scale:
    wide, high, inches = PANELS[panel]
    return Scale((wide, high), inches)


def capital(text: Text) -> float:
    return text.fitted.em * CAPITAL


def free_texts(screen: WorkScreen) -> list[Text | Numeral | Digits]:
    """Return what is written, including the ruler's lengths and the hands beside a lay drawing."""
    return list(written(screen))


def test_every_text_stays_inside_its_box_and_the_window(drawn: Drawn) -> None:
    screen, panel = drawn
    wide, high, _ = PANELS[panel]
    window = Box(-1, -1, wide + 2, high + 2)
    for each in written(screen):
        assert each.texture_size[0] <= each.box.w + 2, each.text
        if isinstance(each, Text) and each.valign == "capitals":
            assert len(each.fitted.rows) <= 1, each.text
        if not (isinstance(each, Text) and each.valign == "capitals"):
            assert each.texture_size[1] <= each.box.h + 2, each.text
        ink = each.ink
        assert window.holds(ink.x, ink.y), each.text
        assert window.holds(ink.right, ink.top), each.text


def test_no_two_texts_overlap(drawn: Drawn) -> None:
    screen, _ = drawn
    for one, other in combinations(free_texts(screen), 2):
        assert not one.ink.overlaps(other.ink, slack=2.0), (one.text, other.text)


def test_every_target_is_large_enough_for_a_glove(drawn: Drawn) -> None:
    screen, panel = drawn
    least = scale_of(panel).mm(TARGET_MM) - 0.5
    for box in targets(screen):
        assert min(box.w, box.h) >= least, box


def unknown_aside(closings: int | None) -> tuple[View, Plan]:
    """Return a garment with a closing whose end nobody saw, put aside and touched later.

    It had `closings` before that one; None for a touched garment on the rack.
    """
    plan = one_layer(COLD) if closings is None else two_layers()
    station = racked(1, plan) if closings is None else Station(plan, lines=MANY)
    station.answer()
    for _ in range(closings or 0):
        station.press()
        station.clock += 3
    station.tap()
    station.clock += 60
    station.do(c.Start("0.1"))
    station.tap()  # the press is open
    if closings is not None:
        station.do(c.PutAside("later"))
        station.answer()
    return station.see("1/1/1"), plan


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("practice", [False, True])
@pytest.mark.parametrize("closings", [None, 0, 3])
@pytest.mark.parametrize("panel", PANELS)
def test_result_buttons_of_an_unknown_outcome_are_large_enough_for_a_glove(
    bench: Bench, panel: str, closings: int | None, practice: bool, language: str
) -> None:
    """15 mm (design.md, section 7), beside a chip of the rack or of what was put aside."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = unknown_aside(closings)
    settings = StationSettings(screen_inches=inches, language=language)
    screen = WorkScreen(Words(language), settings, names, practice=practice)
    screen.plan = plan
    screen.show(view)
    assert view.inspecting
    least = TARGET_MM * scale_of(panel).px_per_mm - 0.5
    assert [b.label for b in buttons(screen) if min(b.box.w, b.box.h) < least] == []
    # before its final: scrap or a supervisor's decision; on the rack: also how it cools
    assert len(buttons(screen)) == {None: 5, 0: 1, 3: 4}[closings]


def test_no_two_targets_overlap_and_the_bar_has_its_dead_gap(drawn: Drawn) -> None:
    screen, panel = drawn
    for one, other in combinations(targets(screen), 2):
        assert not one.overlaps(other), (one, other)
    assert screen._painted is not None
    foot, gap = screen._painted.foot, scale_of(panel).mm(DEAD_GAP_MM) - 0.5
    assert foot.bar.h == pytest.approx(PANELS[panel][1] / 5)
    if foot.back is not None:
        assert foot.bar.x - foot.back.right >= gap
    if foot.right is not None:
        assert foot.right.x - foot.bar.right >= gap


def test_texts_keep_their_height(drawn: Drawn) -> None:
    screen, panel = drawn
    assert screen.share >= KEPT[panel]


@pytest.mark.parametrize("panel", PANELS)
def test_number_time_move_sheet_and_peel_can_be_read_from_afar(bench: Bench, panel: str) -> None:
    """The sizes of design.md section 7: 22' from 2 m, on 7 inches from 1.2 m."""
    least = scale_of(panel).big - 1.5  # type is set in whole pixels of the em
    light = drawing_of(bench, "sheet", panel)
    sizes = {text.text: capital(text) for text in texts(light)}
    assert sizes["SHEET ON"] >= least
    assert max(size for text, size in sizes.items() if text.startswith("HOT")) >= least
    assert sizes["Carriers off, sheet on"] >= least * KEPT[panel]
    numbers = [each.em * CAPITAL for each in walk(light) if isinstance(each, Numeral)]
    assert max(numbers) >= max(sizes.values())  # the number is the largest on a light screen
    dark = drawing_of(bench, "final-cold", panel)
    times = [each.em * CAPITAL for each in walk(dark) if isinstance(each, Digits)]
    assert times[0] > max(
        capital(text) for text in texts(dark)
    )  # the time is the largest on a dark one
    assert times[0] >= least
    shown = [each for each in walk(dark) if isinstance(each, Numeral) and each.text == "31"]
    assert shown[0].em * CAPITAL >= least


@pytest.mark.parametrize("panel", PANELS)
def test_header_and_ribbon_can_be_read_at_arms_length(bench: Bench, panel: str) -> None:
    screen = drawing_of(bench, "load", panel)
    least = scale_of(panel).small - 1.0
    for word in ("garment 1 of 4", "load"):
        assert capital(next(t for t in texts(screen) if t.text == word)) >= least


@pytest.mark.parametrize("panel", PANELS)
def test_the_sheet_line_is_at_the_same_place_light_or_dark(bench: Bench, panel: str) -> None:
    places = set()
    for scene in ("load", "lay-one", "final-cold", "tack", "final-stack"):
        screen = drawing_of(bench, scene, panel)
        words = ("SHEET ON", "NO SHEET")
        sheet = next(text for text in texts(screen) if text.text in words)
        places.add((round(sheet.box.right), round(sheet.box.top)))
    assert len({right for right, _ in places}) == 1
    tops = [top for _, top in places]
    assert max(tops) - min(tops) <= scale_of(panel).mm(6)  # a header of one row or of two


def test_no_sentence_repeats_and_how_to_open_takes_two_rows_at_most(drawn: Drawn) -> None:
    screen, _ = drawn
    said = [each.text for each in written(screen) if each.text.count(" ") > 2]
    assert sorted(said) == sorted(set(said))
    how = [each for each in written(screen) if each.text.startswith("since the tone")]
    assert all(len(each.fitted.rows) <= 2 for each in how)


@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("scene", ["inspect", "peel-hot", "guess-waits", "guess-hot"])
def test_result_labels_have_one_size_and_leave_no_gap(bench: Bench, panel: str, scene: str) -> None:
    """None should draw the eye first: *Scrap* was the largest word on the page."""
    screen, scale = drawing_of(bench, scene, panel), scale_of(panel)
    named = ("Good", "Rework", "Scrap", "Accept", "Cooling")
    shown = [b for b in walk(screen) if isinstance(b, PaperButton) and b.label in named]
    sizes = [capital(text) for b in shown for text in texts(b) if text.text == b.label]
    assert len(sizes) == len(shown) > 2
    assert max(sizes) <= 1.15 * max(scale.label, min(sizes))  # lines below them take whole rows
    right = max(b.box.right for b in shown)
    for low in {round(b.box.y) for b in shown}:
        assert max(b.box.right for b in shown if round(b.box.y) == low) == pytest.approx(right)


@pytest.mark.parametrize("panel", ["7 inch", "10 inch", "13 inch"])
@pytest.mark.parametrize("name", ["KOVA", "ÑANDORI"])
def test_on_hold_the_number_does_not_shrink_the_wearers_name(
    bench: Bench, panel: str, name: str
) -> None:
    """The name tells twins apart; the number grew until its letters were those of a caption."""
    plan = two_layers(opens_itself=False)
    held = Station(plan)
    held.answer()
    held.do(c.PutOnHold(""))
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    settings = StationSettings(screen_inches=inches, language="es")
    offers = [
        HoldOption(say(f"work.{each}"), lambda: None) for each in ("rework", "scrap", "accept")
    ]
    screen = WorkScreen(
        Words("es"), settings, lambda line: name, options=lambda view: offers, clock=bench.clock
    )
    screen.plan = plan
    screen.show(held.see())
    (told,) = (text for text in texts(screen) if text.text == name)
    assert capital(told) >= scale_of(panel).line * 0.97
