"""Where each element is, as worn and as the operator sees it."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from place_samples import FACE, back, bed
from plan_samples import single_plan

from kiosk.catalog.model.orders import RosterLine, SizeClass
from kiosk.plan.need import bag, count_picks
from kiosk.plan.place.fitting import ElementBox, as_operator, turn
from kiosk.plan.place.placement import (
    Team,
    UnfitReason,
    bed_of,
    element_cuts,
    element_heights,
    fitted_heights,
    lay_out,
    panel_spans,
)
from kiosk.plan.sizes import EDGE, ClosingPart

LETTERS = [c for c in FACE.glyphs if c.isupper() and ord(c) < 0x180]
NAMES = st.text(st.sampled_from([*LETTERS, " ", "'", "-", "."]), min_size=1, max_size=14)
NUMBERS = st.from_regex(r"[0-9]{1,2}", fullmatch=True)
SIZES = st.sampled_from(["YXS", "YM", "AL", "A4X"])
PANELS = st.sampled_from(
    ["back", "front", "left-sleeve", "right-sleeve", "left-chest", "right-chest", "shorts", "hood"]
)
PLATENS = st.sampled_from([(16.0, 20.0), (15.75, 19.69), (16.0, 16.0), (15.0, 15.0), (12.0, 14.0)])
LAYERS = st.sampled_from([1, 2, 3])


def test_the_name_is_above_the_number_without_touching_it() -> None:
    name, number = back().boxes
    assert (name.element, number.element) == ("name", "number")
    assert name.ink[3] < number.ink[1]


def test_without_a_name_the_number_keeps_its_place() -> None:
    assert back(name="").boxes == back().boxes[1:]


def test_a_youth_garment_has_smaller_figures() -> None:
    (youth,), (adult,) = back("", "8", "YM").boxes, back("", "8", "AL").boxes
    assert (youth.height, adult.height) == (8.0, 10.0)


def test_the_recipes_own_height_wins() -> None:
    (box,) = back("", "8", at=bed(height=7.0, elements=("number",))).boxes
    assert box.height == 7.0


def test_an_unknown_size_is_laid_out_like_an_adult_one() -> None:
    assert back(size="12-14").boxes == back(size="AL").boxes


def test_the_wearers_left_chest_is_on_the_right_as_seen() -> None:
    (left,) = back("", "8", panel="left-chest").boxes
    (right,) = back("", "8", panel="right-chest").boxes
    assert left.x == -right.x > 0


def test_an_element_without_letters_has_its_whole_box_as_ink() -> None:
    """Plain geometry: 4 in wide around 3.5 in, 2 in high around 5 in."""
    assert ElementBox("crest", 3.5, 5.0, 4.0, 2.0).ink == (1.5, 4.0, 5.5, 6.0)


def test_an_unknown_panel_is_laid_out_like_a_front() -> None:
    assert back(panel="hood").boxes == back(panel="front").boxes


def test_a_plan_gives_its_heights_before_names_are_fitted() -> None:
    assert element_heights(single_plan(), "back", "AL") == {"name": 2.5, "number": 10.0}
    assert (bed_of(single_plan()).width, bed_of(single_plan()).height) == (16.0, 20.0)


@given(NAMES, NUMBERS, SIZES, PANELS, PLATENS, LAYERS)
def test_the_ink_of_each_element_is_centred_and_inside_the_usable_area(
    name: str, number: str, size: str, panel: str, platen: tuple[float, float], layers: int
) -> None:
    """Otherwise a person is asked."""
    laid = back(name, number, size, bed(panel, layers=layers, platen=platen), panel=panel)
    too_wide = {each.element for each in laid.unfit if each.why is UnfitReason.TOO_WIDE}
    too_tall = {each.element for each in laid.unfit if each.why is UnfitReason.TOO_TALL}
    for box in laid.boxes:
        left, top, right, low = box.ink
        if box.letters:
            assert (left + right) / 2 == pytest.approx(box.x)
            assert right - left == pytest.approx(box.width)
        part = next(part for part in laid.parts if box.element in part.elements)
        if box.element not in too_wide:
            assert max(-left, right) <= platen[0] / 2 - EDGE + 1e-6
        if box.element not in too_tall:
            assert top + part.seam_ruler >= EDGE - 1e-6
            assert low + part.seam_ruler <= platen[1] - EDGE + 1e-6


@pytest.mark.parametrize("layers", [1, 2, 3])
def test_flat_figures_are_exactly_as_high_as_ordered(layers: int) -> None:
    """By the font's own outlines, 5 and 7 go from the baseline to capital height."""
    (box,) = back("", "57", at=bed(layers=layers, height=8.0)).boxes
    assert (box.ink[1], box.ink[3]) == pytest.approx((box.y - 4.0, box.y + 4.0))


@given(NAMES, NUMBERS, SIZES, PANELS, LAYERS)
def test_the_films_of_neighbouring_letters_never_overlap(
    name: str, number: str, size: str, panel: str, layers: int
) -> None:
    laid = back(name, number, size, bed(panel, layers=layers), panel=panel)
    for box in laid.boxes:
        for one, other in pairwise(box.letters):
            gap = other.x - other.width / 2 - (one.x + one.width / 2)
            assert gap >= 2 * box.growth


@pytest.mark.parametrize(("platen", "height"), [(20.0, 2.75), (24.0, 3.0), (17.0, 0.5)])
def test_an_element_without_a_height_takes_the_space_left_on_the_platen(
    platen: float, height: float
) -> None:
    """19 of 20 in are usable: 2.5, 10, two gaps of 1.5 and a name's accents (0.75) leave 2.75."""
    plan = bed(elements=("name", "number", "badge"), platen=(16.0, platen))
    (cut,) = (c for c in element_cuts(plan, "back", "AL") if c.element == "badge")
    (span,) = (s for s in panel_spans(plan, "back", "AL", FACE, Team()) if s.element == "badge")
    assert cut.height == height
    assert (span.top, span.low) == pytest.approx((19.5, 19.5 + height))  # made art has no accents


def test_a_panel_that_fits_is_loaded_with_its_seam_one_inch_inside() -> None:
    assert back().parts == (ClosingPart(("name", "number"), 1.0),)


def test_on_a_shorter_platen_the_garment_moves_until_the_number_fits() -> None:
    (part,) = back(at=bed(platen=(16.0, 18.0))).parts
    assert part.seam_ruler == pytest.approx(18.0 - EDGE - 18.0 - 10.0 * 17 / 1500, abs=0.02)
    assert part.seam_ruler < 0  # beyond the collar edge
    assert back(at=bed(platen=(16.0, 18.0))).seam_ruler == part.seam_ruler


def test_a_panel_too_long_for_the_platen_is_pressed_in_two_parts() -> None:
    laid = back(at=bed(platen=(16.0, 15.0)))
    assert [part.elements for part in laid.parts] == [("name",), ("number",)]
    name, number = laid.parts
    assert name.seam_ruler == laid.seam_ruler == 1.0
    assert number.seam_ruler == pytest.approx(15.0 - EDGE - 18.0, abs=0.15)


def test_an_element_longer_than_the_platen_is_reported() -> None:
    laid = back(at=bed(platen=(16.0, 10.0)))
    (unfit,) = (each for each in laid.unfit if each.why is UnfitReason.TOO_TALL)
    assert (unfit.element, unfit.most) == ("number", 9.0)
    assert unfit.inches > 10.0


@pytest.mark.parametrize("panel", ["left-chest", "right-sleeve", "shorts", "back"])
@pytest.mark.parametrize("height", [None, 5.0])
def test_the_word_drawn_for_ready_made_art_stays_on_the_platen(
    panel: str, height: float | None
) -> None:
    """Its width is unknown; drawn past the platen's edge it would look like an error."""
    laid = lay_out(
        bed(panel, ("crest",), platen=(12.0, 20.0), height=height),
        panel,
        "AL",
        {"crest": "crest"},
        FACE,
    )
    (box,) = laid.boxes
    assert laid.unfit == ()
    assert max(-box.ink[0], box.ink[2]) <= 6.0 - EDGE
    assert box.height == (height or 3.0)


def test_an_element_exactly_as_long_as_the_usable_platen_fits() -> None:
    """10 in minus half an inch at each end."""
    at = bed(elements=("crest",), platen=(16.0, 10.0), height=9.0)
    assert back("", "", at=at).unfit == ()


def test_an_element_beyond_a_narrow_platen_has_zero_room() -> None:
    """A chest element is centred 3.5 in off the centre line: a 6 in platen ends before it."""
    (unfit,) = back(
        "", "8", at=bed("left-chest", ("number",), platen=(6.0, 20.0)), panel="left-chest"
    ).unfit
    assert (unfit.why, unfit.most) == (UnfitReason.TOO_WIDE, 0.0)


def test_accents_of_the_second_face_lie_inside_the_usable_area_too() -> None:
    """Its Ổ rises half a capital above a capital; letters of the first face at most 0.29."""
    at = bed(platen=(16.0, 16.0))
    low, high = back("KOVA", at=at), back("KỔVA", at=at)
    assert [len(laid.parts) for laid in (low, high)] == [1, 2]
    assert high.boxes[0].ink[1] + high.parts[0].seam_ruler >= EDGE


def test_a_team_lists_each_name_of_a_size_class_once() -> None:
    team = Team((("AL", "KOVA"), ("YM", "FENN"), ("AS", "KOVA"), ("AS", ""), ("odd", "BRACK")))
    assert team.names("A2X") == ("KOVA",)
    assert team.names("YS") == ("FENN",)


# -- as the operator sees it --------------------------------------------------


@given(NAMES, NUMBERS, SIZES)
def test_turning_twice_changes_nothing(name: str, number: str, size: str) -> None:
    for box in back(name, number, size).boxes:
        assert turn(turn(box)) == box


@given(NAMES, NUMBERS)
def test_turning_reverses_both_directions_so_it_never_mirrors(name: str, number: str) -> None:
    for box in back(name, number).boxes:
        turned = turn(box)
        pairs = zip(turned.letters, box.letters, strict=True)
        assert [(a.x, a.y) for a, _ in pairs] == [(-b.x, -b.y) for b in box.letters]
        assert [a.character for a in turned.letters] == [b.character for b in box.letters]
        assert (turned.width, turned.height) == (box.width, box.height)


@pytest.mark.parametrize("panel", ["left-chest", "right-chest"])
def test_an_element_beside_the_centre_line_changes_sides_with_the_collar(panel: str) -> None:
    """design.md, section 7: turned 180°, never mirrored; the box moves with its letters."""
    (worn,) = back("", "8", panel=panel).boxes
    (turned,) = as_operator((worn,), collar_toward_operator=True)
    assert (turned.x, turned.y) == (-worn.x, -worn.y)
    assert turned.ink == pytest.approx(tuple(-worn.ink[n] for n in (2, 3, 0, 1)))
    assert turned.ink[0] < turned.x < turned.ink[2]


def middles(boxes: tuple[ElementBox, ...]) -> list[tuple[str, float]]:
    return [(letter.character, letter.x) for box in boxes for letter in box.letters]


@given(NUMBERS, SIZES)
def test_left_to_right_as_worn_is_right_to_left_for_the_operator(number: str, size: str) -> None:
    worn = back("", number, size).boxes
    turned = as_operator(worn, collar_toward_operator=True)
    left_to_right = [c for c, _ in sorted(middles(worn), key=lambda each: each[1])]
    assert "".join(left_to_right) == number
    assert [c for c, _ in sorted(middles(turned), key=lambda each: -each[1])] == left_to_right


def test_art_is_turned_only_when_the_collar_is_toward_the_operator() -> None:
    boxes = back().boxes
    assert as_operator(boxes, collar_toward_operator=False) == boxes
    assert all(box.turned and box.y < 0 for box in as_operator(boxes, True))


def test_the_pick_list_uses_the_name_height_of_the_whole_team() -> None:
    """Otherwise the pick list would ask for letters that are not in the drawing."""
    roster = (RosterLine("1", "AL", "LÓPERA-VANCE", "8"), RosterLine("2", "AS", "FENN", "9"))
    plan = single_plan()
    heights = fitted_heights(plan, roster, FACE)
    (fitted,) = heights.values()
    assert set(heights) == {("back", "name", SizeClass.ADULT)}
    picked = count_picks(plan, roster, heights)
    assert {p.height_inches for p in picked if p.element == "name"} == {fitted}
    assert {p.height_inches for p in picked if p.element == "number"} == {10.0}
    in_bag = {piece.piece.element: piece.height_inches for piece in bag(plan, roster[1], heights)}
    assert in_bag == {"name": fitted, "number": 10.0}
    team = Team(tuple((line.size, line.name) for line in roster))
    assert back("FENN", at=bed_of(plan), team=team).boxes[0].height == fitted < 2.5


def test_a_team_of_short_names_keeps_the_normal_height() -> None:
    assert fitted_heights(single_plan(), (RosterLine("1", "AL", "FENN", "9"),), FACE) == {}
    odd = RosterLine("1", "odd", "LÓPERA-VANCE", "8")  # an unknown size is asked about
    assert fitted_heights(single_plan(), (odd,), FACE) == {}


def test_a_panel_with_nothing_to_lay_is_loaded_like_any_other() -> None:
    assert back(at=bed("front")).seam_ruler == 1.0
