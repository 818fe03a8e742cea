"""Text into boxes: shrunk to its least size first, then wrapped, then narrower, then smaller."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from kiosk.station.glass.type import (
    CAPITAL,
    NARROWEST,
    Style,
    TextBlock,
    breadth,
    column,
    fit,
    wrap,
)

STYLE = Style(least=20, most=60, bold=True)
SENTENCE = "Lay the lower pieces"


def test_a_text_that_fits_has_its_largest_size_on_one_row() -> None:
    fitted = fit(SENTENCE, STYLE, 5000, 500)
    assert fitted.rows == (SENTENCE,)
    assert fitted.em == int(60 / CAPITAL)


def test_a_text_is_shrunk_before_it_is_wrapped() -> None:
    ems = breadth(SENTENCE, True)
    fitted = fit(SENTENCE, STYLE, ems * 21 / CAPITAL, 500)
    assert len(fitted.rows) == 1
    assert fitted.em * CAPITAL < 22


def test_a_text_that_would_be_too_small_is_wrapped_instead() -> None:
    ems = breadth(SENTENCE, True)
    fitted = fit(SENTENCE, STYLE, ems * 15 / CAPITAL, 500)
    assert len(fitted.rows) == 2
    assert fitted.em * CAPITAL >= 20 - 1
    assert fitted.share == 1.0


def test_letters_are_set_narrower_before_their_height_gives_way() -> None:
    word = "Harbour"
    fitted = fit(word, STYLE, breadth(word, True) * 18 / CAPITAL, 500)
    assert fitted.narrow == NARROWEST
    assert fitted.share == 1.0
    assert fit(word, STYLE, breadth(word, True) * 10 / CAPITAL, 500).share < 0.7


def test_rows_are_balanced() -> None:
    fitted = fit("the sheet over all of it, without a crease", STYLE, 400, 500)
    widths = [breadth(row, True) for row in fitted.rows]
    assert len(widths) > 1
    assert min(widths) > 0.6 * max(widths)


def test_texts_in_a_column_grow_alike_and_keep_their_gaps() -> None:
    blocks = [TextBlock("Load the garment", STYLE, 10), TextBlock("lint off", Style(10, 30), 0)]
    fitted, kept = column(blocks, 900, 400)
    assert kept == 1.0
    assert sum(each.height for each in fitted) + 10 <= 400
    assert fitted[0].em / (60 / CAPITAL) > 0.9
    assert fitted[1].em / (30 / CAPITAL) > 0.9


def test_a_column_that_does_not_fit_returns_the_share_it_kept() -> None:
    blocks = [TextBlock(SENTENCE, STYLE), TextBlock(SENTENCE, STYLE)]
    _, kept = column(blocks, 200, 60)
    assert kept < 1.0


@given(
    st.text("abc defg ÑÉ9", min_size=1, max_size=60).filter(str.strip),
    st.floats(60, 900),
    st.floats(30, 400),
)
def test_no_text_ever_leaves_its_box(text: str, width: float, room: float) -> None:
    fitted = fit(text, STYLE, width, room)
    assert fitted.width <= width + 1
    assert fitted.height <= room + 1
    assert " ".join(fitted.rows).split() == text.split()


@given(st.text("ab cd", min_size=1, max_size=40).filter(str.strip), st.floats(1, 20))
def test_wrapping_keeps_every_word_in_its_order(text: str, ems: float) -> None:
    assert " ".join(wrap(text, False, ems)).split() == text.split()


def test_no_row_ends_within_a_figure_or_begins_with_a_dot() -> None:
    """A figure without its unit, or "3" without "of 11", means nothing at the end of a row."""
    text = "asked 312 °F · shown 9 of 14 · set 8 s · in order 3 of 11 · kept"
    whole = ("312\xa0°F\xa0·", "9\xa0of\xa014\xa0·", "8\xa0s\xa0·", "3\xa0of\xa011\xa0·")
    for ems in (6.0, 8.0, 10.0, 12.0, 15.0, 20.0):
        rows = wrap(text, False, ems)
        assert len(rows) > 1
        assert all(any(figure in row for row in rows) for figure in whole), rows
