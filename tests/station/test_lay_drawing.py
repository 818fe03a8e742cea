"""The lay drawing: what the operator sees, turned and never mirrored, to scale."""

from __future__ import annotations

from dataclasses import replace

import pytest
from kivy.uix.widget import Widget
from station_harness import Bench, Picture
from station_scenes import SCENES
from station_tree import texts
from view_cases import one_layer, two_layers

from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.rules.faces import read_face
from kiosk.run.show.parts import Ink, PieceView, View
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.lay import PanelLay, panel_lay
from kiosk.station.glass.theme import CLOTH, INK, PAPER, WHITE, Colour, from_hex
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.marks import letter
from kiosk.station.glass.widgets.paint import fill

SCALE = Scale((1280, 800), 10.1)
RED = from_hex("#C22329")


def lying(
    number: str = "31", name: str = "KOVA", toward: bool = True, size: str = "AL"
) -> PanelLay:
    view: View = replace(SCENES["lay-one"]()[0], number=number, digits=number, size=size)
    return panel_lay(one_layer(Peel.COLD, collar_toward_operator=toward), view, name)


def box_of(laid_: PanelLay, element: str) -> tuple[float, float]:
    box = next(each for each in laid_.boxes if each.element == element)
    return box.x, -box.y  # the drawing's y grows upwards


def test_a_collar_toward_the_operator_is_at_the_lower_edge() -> None:
    at = lying()
    assert at.platen == (-8.0, -1.0, 16.0, 20.0)  # 16 in x 20 in, the seam 1 in off the edge
    assert box_of(at, "number")[1] > box_of(at, "name")[1] > 0
    assert all(box.turned for box in at.boxes)


def test_with_the_collar_away_nothing_is_turned_and_the_name_is_above() -> None:
    at = lying(toward=False)
    assert at.platen == (-8.0, -19.0, 16.0, 20.0)
    assert box_of(at, "number")[1] < box_of(at, "name")[1] < 0
    assert not any(box.turned for box in at.boxes)


def test_the_outer_figures_are_labelled_with_the_hand_on_their_side() -> None:
    assert (lying().left_hand, lying().right_hand) == ("1", "3")
    away = lying(toward=False)
    assert (away.left_hand, away.right_hand) == ("3", "1")
    assert lying("7").left_hand == ""


def test_a_line_without_a_name_has_only_its_number() -> None:
    assert [box.element for box in lying(name="").boxes] == ["number"]


def test_a_youth_garment_is_drawn_narrower_than_an_adults() -> None:
    width = {size: max(x for x, _ in lying(size=size).garment) for size in ("YM", "AL")}
    assert width["YM"] < width["AL"] <= 8.0


def pixels(bench: Bench, text: str, turned: bool) -> Picture:
    bench.clear()
    widget = Widget()
    with widget.canvas:
        fill(Box(0, 0, 1280, 800), PAPER)
        letter(text, Box(400, 200, 240, 300), read_face(), INK, turned=turned)
    bench.show(widget)
    return bench.pixels()


def test_turned_art_is_rotated_half_a_turn_and_never_mirrored(bench: Bench) -> None:
    upright, turned = pixels(bench, "7", False), pixels(bench, "7", True)
    around = [(x, y) for x in range(404, 636, 4) for y in range(204, 496, 4)]
    assert {upright.at(x, y) for x, y in around} >= {(0x15, 0x17, 0x1C), (0xF7, 0xF4, 0xEC)}

    def differs(change: tuple[int, int]) -> float:
        """Return the share of points that differ from the upright art flipped this way."""
        fx, fy = change
        other = [upright.at(1039 - x if fx < 0 else x, 699 - y if fy < 0 else y) for x, y in around]
        here = [turned.at(x, y) for x, y in around]
        return sum(abs(a[0] - b[0]) > 90 for a, b in zip(here, other, strict=True)) / len(around)

    assert differs((-1, -1)) < 0.02
    assert differs((1, -1)) > 0.1  # upside down in a mirror
    assert differs((-1, 1)) > 0.1  # a mirror
    assert differs((1, 1)) > 0.1  # not turned at all


def drawing(at: PanelLay, pieces: tuple[PieceView, ...], hands: bool = False) -> LayDrawing:
    words = ("1 LEFT HAND", "3 RIGHT HAND") if hands else None
    return LayDrawing(Box(300, 100, 560, 700), SCALE, at, pieces, words)


def piece(element: str, layer: int, colour: str, ink: Ink) -> PieceView:
    return PieceView(f"{element}.{layer}", element, layer, colour, ink)


def colours(bench: Bench, shown: LayDrawing, element: str) -> set[tuple[int, int, int]]:
    """Return the colours inside the box of an element."""
    bench.clear()
    bench.show(shown)
    picture = bench.pixels()
    placed = next(each for each in shown.lay.boxes if each.element == element)
    box = shown.place(placed)
    xs = [box.x + box.w * i / 60 for i in range(1, 60)]
    ys = [box.y + box.h * i / 60 for i in range(1, 60)]
    return {picture.at(x, y) for x in xs for y in ys}


def rgb(colour: Colour) -> tuple[int, int, int]:
    return (colour.red, colour.green, colour.blue)


@pytest.mark.parametrize(
    ("ink", "filled"), [(Ink.NEXT, True), (Ink.LAID, False), (Ink.AHEAD, False)]
)
def test_next_pieces_are_filled_laid_ones_outlined_later_ones_absent(
    bench: Bench, ink: Ink, filled: bool
) -> None:
    at = lying()
    found = colours(bench, drawing(at, (piece("number", 1, "red", ink),)), "number")
    assert (rgb(RED) in found) == (filled or ink is Ink.LAID)
    inside = colours(bench, drawing(at, (piece("number", 1, "red", ink),)), "number")
    if ink is Ink.AHEAD:
        assert rgb(RED) not in inside
    placed = next(each for each in at.boxes if each.element == "number")
    box = drawing(at, ()).place(placed)
    # The upright stroke of the turned 1 is at the left of the box; its middle is film or cloth.
    picture = bench.pixels()
    across = [picture.at(box.x + box.w * i / 100, box.centre[1]) for i in range(2, 45)]
    assert (across.count(rgb(RED)) > across.count(rgb(CLOTH)) / 3) == filled


def test_a_top_piece_leaves_a_border_of_the_one_below(bench: Bench) -> None:
    view: View = SCENES["lay-top"]()[0]
    at = panel_lay(two_layers(), view, "KOVA")
    found = colours(bench, drawing(at, view.pieces), "number")
    assert rgb(WHITE) in found
    assert (0x10, 0x10, 0x10) in found


def test_a_look_alike_number_has_a_bar_under_its_foot(bench: Bench) -> None:
    def foot(number: str) -> bool:
        at = lying(number)
        shown = drawing(at, (piece("number", 1, "red", Ink.NEXT),))
        bench.clear()
        bench.show(shown)
        picture = bench.pixels()
        placed = next(each for each in at.boxes if each.element == "number")
        box = shown.place(placed)
        return picture.at(box.centre[0] + box.w / 4, box.top + 0.06 * box.h) == rgb(INK)

    assert foot("6")
    assert foot("9")
    assert foot("16")
    assert not foot("7")
    assert not foot("8")


def test_the_drawing_is_to_scale(bench: Bench) -> None:
    shown = drawing(lying(), ())
    assert shown.platen.w / shown.platen.h == pytest.approx(16 / 20)
    number = next(each for each in shown.lay.boxes if each.element == "number")
    assert shown.place(number).h / shown.platen.h == pytest.approx(10 / 20)  # 10 in of 20 in


def test_the_hands_are_named_upright_beside_the_platen(bench: Bench) -> None:
    shown = drawing(lying(), (piece("number", 1, "red", Ink.NEXT),), hands=True)
    words = [child.text.replace("\n", " ") for child in texts(shown)]
    assert sorted(words) == ["1 LEFT HAND", "3 RIGHT HAND"]
    for child in texts(shown):
        assert not child.ink.overlaps(shown.whole, slack=0.0)
    left, right = sorted(texts(shown), key=lambda child: child.box.x)
    assert left.text.startswith("1")
    assert right.text.startswith("3")
