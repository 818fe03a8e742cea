"""Boxes: a strip cut off and the rest make up the whole."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.theme import film, from_hex

WHOLE = Box(10, 20, 300, 200)
PARTS = st.floats(1, 90)


@given(PARTS, st.floats(0, 20))
def test_a_strip_and_the_rest_fill_the_box_without_overlap(part: float, gap: float) -> None:
    for cut in (WHOLE.from_top, WHOLE.from_bottom, WHOLE.from_left, WHOLE.from_right):
        strip, rest = cut(part, gap)
        assert not strip.overlaps(rest, slack=1e-6)
        area = strip.w * strip.h + rest.w * rest.h
        assert area == pytest.approx(300 * 200 - gap * (200 if strip.h == 200 else 300))


def test_a_strip_is_cut_from_the_named_side() -> None:
    assert WHOLE.from_top(50)[0] == Box(10, 170, 300, 50)
    assert WHOLE.from_bottom(50)[0] == Box(10, 20, 300, 50)
    assert WHOLE.from_right(50, 5) == (Box(260, 20, 50, 200), Box(10, 20, 245, 200))


def test_a_grid_fills_its_box_row_by_row_from_the_top_left() -> None:
    boxes = WHOLE.grid(3, 2, 10)
    assert (boxes[0].x, boxes[0].top) == (10, 220)
    assert boxes[5].right == pytest.approx(310)
    assert boxes[5].y == pytest.approx(20)
    assert not any(boxes[0].overlaps(other) for other in boxes[1:])


def test_the_largest_box_of_an_aspect_ratio_is_centred() -> None:
    fitted = WHOLE.fitted(0.8)
    assert fitted.h == 200
    assert fitted.w == pytest.approx(160)
    assert fitted.centre == WHOLE.centre


def test_a_known_film_has_a_colour_and_an_unknown_one_has_none() -> None:
    assert film("Black") == from_hex("#101010")
    assert film("  vegas   gold ") is not None
    assert film("mother of pearl") is None
