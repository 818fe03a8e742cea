"""The inset of the shirt as it is worn, beside the lay drawing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from kivy.uix.widget import Widget
from station_harness import Bench
from station_scenes import SCENES
from station_tree import texts, walk
from view_cases import one_layer, piece

from kiosk.catalog.base import say
from kiosk.catalog.model import Peel, RosterLine, StationSettings
from kiosk.catalog.rules import read_face
from kiosk.plan.place import Team, as_operator
from kiosk.plan.procedure import proofs
from kiosk.run.show.parts import Ink, PieceView
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import panel_lay
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.theme import FILMS, LIGHT, PAPER, Colour, contrast, film
from kiosk.station.glass.widgets.figures import AsWorn, PlaceWorn
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.marks import Numeral
from kiosk.station.glass.widgets.paint import fill
from kiosk.words import Words


def worn_of(bench: Bench, panel: str) -> list[Any]:
    bench.resize(1280, 800)
    view, plan = SCENES["lay-one"]()
    pieces = tuple(replace(each, panel=panel) for each in plan.pieces)
    screen = WorkScreen(Words("en"), StationSettings(), lambda line: "KOVA")
    screen.plan = replace(plan, pieces=pieces)
    screen.show(replace(view, panel=panel))
    return [each for each in walk(screen) if isinstance(each, AsWorn | PlaceWorn)]


def test_only_panels_on_the_shirts_body_have_an_inset(bench: Bench) -> None:
    for panel in ("back", "front"):
        assert [type(each) for each in worn_of(bench, panel)] == [AsWorn]
    assert [type(each) for each in worn_of(bench, "left-chest")] == [PlaceWorn]
    for panel in ("left-sleeve", "shorts", "left-leg"):
        assert worn_of(bench, panel) == []


@pytest.mark.parametrize(
    ("elements", "worn"),
    [("name number", ["KOVA", "31"]), ("number", ["31"]), ("name", ["KOVA"]), ("badge", None)],
)
def test_the_inset_shows_only_this_sides_pieces(
    bench: Bench, elements: str, worn: list[str] | None
) -> None:
    """A small number on the front has no name above it: that is on the back."""
    bench.resize(1280, 800)
    view, plan = SCENES["lay-one"]()
    pieces = tuple(piece(f"{each}.1", 1, "red") for each in elements.split())
    screen = WorkScreen(Words("en"), StationSettings(), lambda line: "KOVA")
    screen.plan = replace(plan, pieces=pieces)
    pieces_laid = tuple(PieceView(e.name, e.element, 1, "red", Ink.NEXT) for e in pieces)
    screen.show(replace(view, number="31", digits="31", pieces=pieces_laid))
    shirts = [each for each in walk(screen) if isinstance(each, AsWorn)]
    said = [[n.text for n in walk(each) if isinstance(n, Numeral) and n.text] for each in shirts]
    assert said == ([] if worn is None else [worn])


@pytest.mark.parametrize(("panel", "side"), [("left-chest", 1), ("right-chest", -1)])
def test_the_wearers_left_chest_is_at_the_right_of_the_inset(
    bench: Bench, panel: str, side: int
) -> None:
    (inset,) = worn_of(bench, panel)
    assert isinstance(inset, PlaceWorn)
    bench.clear()
    page = Widget()
    with page.canvas:
        fill(Box(0, 0, 1280, 800), PAPER)
    page.add_widget(inset)
    bench.show(page)
    picture = bench.pixels()
    body = inset.box.inset(0, inset.box.h * 0.2)
    ink = [
        x - inset.box.centre[0]
        for x in range(int(body.x), int(body.right))
        for y in range(int(body.y + body.h * 0.3), int(body.top))
        if sum(picture.at(x, y)) < 150
    ]
    assert ink
    assert all(x * side > 0 for x in ink)


@pytest.mark.parametrize("toward", [True, False])
@pytest.mark.parametrize("number", ["13", "68", "7"])
def test_the_worn_view_turned_for_the_operator_is_the_lay_drawing(
    number: str, toward: bool
) -> None:
    view = replace(SCENES["lay-one"]()[0], number=number, digits=number)
    at = panel_lay(one_layer(Peel.COLD, collar_toward_operator=toward), view, "KOVA")
    letters = [e.character for box in at.worn for e in sorted(box.letters, key=lambda e: e.x)]
    assert "".join(letters) == f"KOVA{number}"
    assert not any(box.turned for box in at.worn)
    assert all(box.y > 0 for box in at.worn)
    again = as_operator(at.worn, toward)
    assert again == at.boxes


@pytest.mark.parametrize("toward", [True, False])
def test_the_customers_proof_places_art_as_the_lay_drawing_does(toward: bool) -> None:
    plan = one_layer(Peel.COLD, collar_toward_operator=toward)
    view = SCENES["lay-one"]()[0]
    line = RosterLine("1", view.size, "KOVA", view.number)
    (garment,) = proofs(plan, [line], read_face())
    panel = next(each for each in garment.panels if each.panel == view.panel)
    team = Team(((line.size, line.name),))
    assert panel.boxes == panel_lay(plan, view, "KOVA", team).worn


UPRIGHT = (600, 1024)
SEEN = {False: {(1024, 600): 0.28, UPRIGHT: 0.155}, True: {(1024, 600): 0.2, UPRIGHT: 0.15}}


@pytest.mark.parametrize("panel", ["back", "right-chest", "shorts"])
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("practice", [False, True])
@pytest.mark.parametrize("size", [(1024, 600), (600, 1024)])
def test_the_platen_stays_large_beside_any_text(
    bench: Bench, size: tuple[int, int], practice: bool, language: str, panel: str
) -> None:
    """Shares of a 7-inch screen's height; with all lines kept it was 0 to 0.12."""
    bench.resize(*size)
    shares = {}
    for scene in ("lay", "lay-one", "lay-top", "sheet"):
        view, plan = SCENES[scene]()
        settings = StationSettings(screen_inches=7.0, language=language)
        screen = WorkScreen(Words(language), settings, lambda line: "KOVA", practice=practice)
        pieces = tuple(replace(each, panel=panel) for each in plan.pieces)
        passes = tuple(replace(each, panel=panel) for each in plan.passes)
        screen.plan = replace(plan, pieces=pieces, passes=passes)
        screen.show(replace(view, panel=panel))
        (drawn,) = (each for each in walk(screen) if isinstance(each, LayDrawing))
        shares[scene] = drawn.whole.h / size[1]
    assert {s: share for s, share in shares.items() if share < SEEN[practice][size]} == {}


GUIDED = {
    (1024, 600, 7.0): 0.18,
    (600, 1024, 7.0): 0.14,
    (1280, 800, 10.1): 0.2,
    (800, 1280, 10.1): 0.13,
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("screen", GUIDED)
def test_a_reason_shown_in_practice_leaves_the_platen_large_enough(
    bench: Bench, screen: tuple[int, int, float], language: str
) -> None:
    """Share of the screen's height, the reason whole; on 10 inches it was 0.08 to 0.2 in es."""
    wide, high, inches = screen
    bench.resize(wide, high)
    settings = StationSettings(screen_inches=inches, language=language)
    whys = {"lay": say("plan.why.lay_under", layers=2), "lay-top": say("plan.why.lay_top", layer=2)}
    for scene, why in whys.items():
        view, plan = SCENES[scene]()
        view = replace(view, lines=(view.lines[0], why), peel=None, peel_line=None)
        shown = WorkScreen(Words(language), settings, lambda line: "KOVA", practice=True)
        shown.plan = plan
        shown.show(view)
        (drawn,) = (each for each in walk(shown) if isinstance(each, LayDrawing))
        assert drawn.whole.h / high >= GUIDED[screen], scene
        told = " ".join(each.text.replace("\n", " ") for each in texts(shown))
        assert Words(language).say(why) in told


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("size", [(1280, 800), (800, 1280)])
def test_on_ten_inches_the_liner_reminder_is_not_dropped(
    bench: Bench, size: tuple[int, int], language: str
) -> None:
    bench.resize(*size)
    view, plan = SCENES["lay"]()
    screen = WorkScreen(Words(language), StationSettings(language=language), lambda line: "KOVA")
    screen.plan = plan
    screen.show(view)
    liner = {"en": "liner off", "es": "sin respaldo"}[language]
    assert any(liner in text.text for text in texts(screen))


@pytest.mark.parametrize("name", FILMS)
def test_a_name_of_any_film_shows_on_the_cloth_chosen_for_a_light_number(
    bench: Bench, name: str
) -> None:
    """A burgundy name above a sky-blue number was drawn in ink on dark cloth: nobody saw it."""
    bench.resize(1280, 800)
    number = ("31", film("sky"))
    box = Box(200, 200, 400, 440)
    inset = AsWorn(box, Scale((1280, 800), 10.1), ("KOVA", film(name)), number, "", LIGHT)
    (drawn,) = [each for each in walk(inset) if isinstance(each, Numeral) and each.text == "KOVA"]
    bench.show(inset)
    picture = bench.pixels()
    cloth = picture.at(drawn.box.centre[0], drawn.box.top + 2)
    ink = {
        picture.at(x, drawn.box.centre[1]) for x in range(int(drawn.box.x), int(drawn.box.right))
    }
    apart = max(contrast(Colour(*each), Colour(*cloth)) for each in ink)
    assert apart >= 2.0  # a large number from its cloth: our choice
