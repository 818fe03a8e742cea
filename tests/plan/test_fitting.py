"""Texts fitted into a width, by the ink of the font's own outlines."""

from __future__ import annotations

import runpy
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st
from place_samples import FACE, back, bed

from kiosk.catalog.rules.faces import FACES, OUR_FACE, SPARE_FACE
from kiosk.plan.place.fitting import (
    AS_CUT,
    ElementBox,
    ElementCut,
    TextFit,
    breadth,
    can_fit,
    fit,
    letters,
    team_height,
)
from kiosk.plan.place.placement import Team, UnfitReason
from kiosk.plan.sizes import NARROWEST, spacing

FONT = Path(__file__).resolve().parents[2] / "assets" / "fonts" / "b612" / "B612-Bold.otf"
NAME = ElementCut("name", 2.5, 1, 14.0)
NUMBER = ElementCut("number", 10.0, 1, 14.0)
WITHIN = 0.02  # inches


@lru_cache(maxsize=1)
def font() -> TTFont:
    return TTFont(FONT)


def outline(character: str) -> tuple[float, float, float, float, float]:
    """Return left, bottom, right, top and advance as shares of a capital, by fontTools."""
    name, glyphs = font().getBestCmap()[ord(character)], font().getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    capital = font()["OS/2"].sCapHeight
    left, bottom, right, top = (value / capital for value in pen.bounds)
    return left, bottom, right, top, glyphs[name].width / capital


CHARACTERS = [c for c in FACE.glyphs if c.isalnum() and ord(c) < 0x180]


@pytest.mark.parametrize("height", [1.0, 2.5, 10.0])
def test_every_letters_ink_matches_the_fonts_outline(height: float) -> None:
    assert {*"0123456789", "A", "Z", "Ñ", "ß"} <= set(CHARACTERS)
    for character in CHARACTERS:
        (ink,) = letters(character, FACE, ElementCut("name", height, 1, 99.0), AS_CUT)
        left, bottom, right, top, _ = outline(character)
        assert ink.width == pytest.approx((right - left) * FACE.width * height, abs=WITHIN)
        assert ink.height == pytest.approx((top - bottom) * height, abs=WITHIN), character
        assert ink.y == pytest.approx((top + bottom) / 2 * height, abs=WITHIN), character
        assert ink.x == pytest.approx(0.0)


@given(st.text(st.sampled_from("0123456789"), min_size=2, max_size=2))
def test_two_figures_are_centred_on_their_ink_and_not_on_their_gap(number: str) -> None:
    """Figures are spaced by their advance, or further apart if carriers would overlap."""
    first, second = letters(number, FACE, NUMBER, AS_CUT)
    a, b = outline(number[0]), outline(number[1])
    scale = FACE.width * NUMBER.height
    gap = (a[4] - a[2] + b[0]) * scale
    gap = max(gap, 2 * spacing("number").carrier)
    whole = (a[2] - a[0] + b[2] - b[0]) * scale + gap
    assert first.x - first.width / 2 == pytest.approx(-whole / 2, abs=WITHIN)
    assert second.x + second.width / 2 == pytest.approx(whole / 2, abs=WITHIN)


@pytest.mark.parametrize("height", [1.0, 2.5])
def test_letter_spacing_scales_with_the_letters_height(height: float) -> None:
    cut = ElementCut("name", height, 1, 99.0)
    close, wide = (letters("HH", FACE, cut, TextFit(share, 1.0)) for share in (0.1, 0.3))
    apart = (wide[1].x - wide[0].x) - (close[1].x - close[0].x)
    assert apart == pytest.approx(0.2 * height)


def test_the_gap_of_17_is_not_in_the_middle() -> None:
    """The ink of 1 is narrower than that of 7: centring the gap would put the number off centre."""
    one, seven = letters("17", FACE, NUMBER, AS_CUT)
    gap = (one.x + one.width / 2 + seven.x - seven.width / 2) / 2
    assert abs(gap) > 0.01


def test_a_separate_accent_gives_the_same_letter() -> None:
    assert letters("N\u0303", FACE, NAME, AS_CUT) == letters("\u00d1", FACE, NAME, AS_CUT)


def test_a_character_missing_from_the_face_is_as_wide_as_an_h() -> None:
    (lacking,), (other,) = (letters(c, FACE, NAME, AS_CUT) for c in ("\u6c34", "H"))
    assert lacking.width == other.width


def test_a_space_has_width_but_no_ink() -> None:
    assert letters(" ", FACE, NAME, AS_CUT) == ()
    assert breadth("A B", FACE, NAME, AS_CUT) > breadth("AB", FACE, NAME, AS_CUT)


def test_each_layer_stands_out_evenly_around_the_one_above() -> None:
    """Plain arithmetic: three layers with 0.4 in around the top one, even borders of 0.2 in."""
    box = ElementBox("number", 0.0, 0.0, 8.0, 10.0, growth=0.4)
    assert [box.growth_of(n, 3) for n in (1, 2, 3)] == pytest.approx([0.4, 0.2, 0.0])
    assert [box.growth_of(n, 2) for n in (1, 2)] == pytest.approx([0.4, 0.0])
    assert box.growth_of(1, 1) == 0.0


def test_a_border_makes_the_figure_smaller_and_not_the_number_taller() -> None:
    two = replace(NUMBER, layers=2)
    assert (two.growth, two.figure) == (0.25, 9.5)
    assert NUMBER.figure == 10.0


# -- what is reduced, in order --------------------------------------------------


def widths(text: str) -> tuple[float, float, float]:
    """Return the width of a name as normally spaced, without spacing, and narrowed as well."""
    normal = TextFit(spacing("name").normal, 1.0)
    return (
        breadth(text, FACE, NAME, normal),
        breadth(text, FACE, NAME, TextFit(0.0, 1.0)),
        breadth(text, FACE, NAME, TextFit(0.0, NARROWEST)),
    )


def fitted(text: str, widest: float) -> TextFit:
    return fit(text, FACE, replace(NAME, widest=widest))


def test_a_name_with_enough_room_keeps_its_normal_spacing() -> None:
    assert fitted("LARKSPUR", widths("LARKSPUR")[0]) == TextFit(spacing("name").normal, 1.0)


def test_a_tight_name_loses_spacing_first() -> None:
    normal, close, _ = widths("LARKSPUR")
    found = fitted("LARKSPUR", (normal + close) / 2)
    assert 0 < found.tracking < spacing("name").normal
    assert found.condense == 1.0


def test_without_spacing_left_letters_narrow_to_four_fifths() -> None:
    _, close, narrow = widths("LARKSPUR")
    found = fitted("LARKSPUR", (close + narrow) / 2)
    assert found.tracking == 0.0
    assert NARROWEST < found.condense < 1.0
    least = fitted("LARKSPUR", narrow)
    assert (least.tracking, least.fits) == (0.0, True)
    assert least.condense == pytest.approx(NARROWEST, abs=0.002)


def test_a_name_too_wide_at_its_narrowest_does_not_fit() -> None:
    assert fitted("LARKSPUR", widths("LARKSPUR")[2] - 0.1) == TextFit(0.0, NARROWEST, False)


def test_a_name_that_just_fits_keeps_its_height() -> None:
    tight = replace(NAME, widest=widths("LARKSPUR")[2])
    assert can_fit("LARKSPUR", FACE, tight)
    assert team_height(("LARKSPUR",), FACE, tight, 1.5) == NAME.height


@given(st.text(st.sampled_from("AEIMNTVW' -"), min_size=1, max_size=16), st.floats(3.0, 14.0))
def test_a_text_reported_to_fit_does(text: str, widest: float) -> None:
    cut = replace(NAME, widest=widest)
    found = fit(text, FACE, cut)
    assert NARROWEST <= found.condense <= 1.0
    assert found.tracking == 0.0 or found.condense == 1.0
    assert found.fits == (breadth(text, FACE, cut, found) <= widest)


def test_the_widest_name_decides_the_height_of_the_whole_team() -> None:
    names = ("KOVA", "LÓPERA-VANCE", "FENN")
    height = team_height(names, FACE, NAME, 1.5)
    assert 1.5 < height < 2.5
    lower = replace(NAME, height=height)
    assert all(fit(name, FACE, lower).fits for name in names)
    higher = replace(NAME, height=height + 1 / 8)
    assert not fit(names[1], FACE, higher).fits
    assert team_height(names[::2], FACE, NAME, 1.5) == 2.5


def test_a_short_name_gets_the_same_height_as_the_teams_longest() -> None:
    team = Team((("AL", "KOVA"), ("AS", "LÓPERA-VANCE"), ("YM", "FENN")))
    (short, _), (long, _) = back("KOVA", team=team).boxes, back("LÓPERA-VANCE").boxes
    assert short.height == long.height < 2.5
    assert back("FENN", size="YM", team=team).boxes[0].height == 2.0  # another class of sizes


def test_a_name_too_wide_at_the_least_height_is_reported() -> None:
    laid = back("VANDERWOUDE-MONTGOMERY-HOLM")
    (unfit,) = laid.unfit
    assert (unfit.element, unfit.why, unfit.height) == ("name", UnfitReason.TOO_WIDE, 1.5)
    assert unfit.inches > unfit.most == 14.0


def test_wide_numbers_get_narrower_but_never_shorter() -> None:
    (wide,) = back("", "888", at=bed(elements=("number",))).boxes
    assert wide.height == 10.0
    assert not wide.fitted.fits
    (pair,) = back("", "88", at=bed(elements=("number",), platen=(12.0, 20.0))).boxes
    assert pair.height == 10.0
    assert NARROWEST < pair.fitted.condense < 1.0


@pytest.mark.parametrize("key", [OUR_FACE, SPARE_FACE])
def test_the_shipped_face_file_matches_what_its_script_makes(key: str) -> None:
    script = runpy.run_path(str(FONT.parents[2] / "faces" / "make.py"))
    title, file = script["FACES"][key]
    shipped = (FACES / f"{key}.json").read_text(encoding="utf-8")
    assert script["text"](script["face"](title, file)) == shipped
