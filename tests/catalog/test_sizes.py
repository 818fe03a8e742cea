"""Sizes and their spellings: common practice, no source."""

from __future__ import annotations

import pytest

from kiosk.catalog.model.orders import BY_CODE, SIZES, SizeClass, size_named
from kiosk.catalog.roster.suggestions import nearest_size, sizes_within


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("YXS", "YXS"), ("YS", "YS"), ("Youth M", "YM"), ("youth-large", "YL"), ("Y XL", "YXL"),
        ("M (Youth)", "YM"), ("AXS", "AXS"), ("Adult L", "AL"), ("L", "AL"), ("l", "AL"),
        ("Large", "AL"), ("XXL", "A2X"), ("2XL", "A2X"), ("A2XL", "A2X"), ("A2X", "A2X"),
        ("Adult 3X", "A3X"), ("4xl", "A4X"), ("X-Large", "AXL"), ("Extra Small", "AXS"),
        ("CH", "AS"), ("Chica", "AS"), ("Mediana", "AM"), ("G", "AL"), ("Grande", "AL"),
        ("EG", "AXL"), ("XG", "AXL"), ("Extra grande", "AXL"), ("Juvenil CH", "YS"),
        ("Pequeña", "AS"), ("Juvenil pequeño", "YS"), ("2X-L", "A2X"), ("XX-Large", "A2X"),
        ("3XLarge", "A3X"), ("Double XL", "A2X"), ("Lrg", "AL"), ("Y/M", "YM"), ("L/G", "AL"),
    ],
)  # fmt: skip
def test_common_spellings_are_known(text: str, code: str) -> None:
    found = size_named(text)
    assert found is not None
    assert found.code == code


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Y2XL",
        "12",
        "M/L",
        "Ladies M",
        "SY",
        "OSFA",
        "Toddler S",
        "S/M",
        "S-M",
        "s m",
        "Youth S/M",
        "A-S/M",
        "S M (adult)",
    ],
)
def test_an_ambiguous_or_unknown_size_is_not_guessed(text: str) -> None:
    assert size_named(text) is None


def test_every_size_code_is_recognised_as_itself() -> None:
    assert [size_named(size.code) for size in SIZES] == list(SIZES)


def test_sizes_are_youth_or_adult() -> None:
    assert BY_CODE["YXL"].size_class is SizeClass.YOUTH
    assert BY_CODE["AXS"].size_class is SizeClass.ADULT


def test_sizes_are_ordered_from_small_to_large() -> None:
    ranks = [size.rank for size in SIZES]
    assert ranks == sorted(ranks)
    assert (SIZES[0].code, SIZES[-1].code) == ("YXS", "A4X")


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("Women's M", ("AM", "YM")), ("MEN’S XL", ("AXL", "YXL")),
        ("S/M", ("AS", "YS", "AM", "YM")),
        ("2XL/3XL", ("A2X", "A3X")),
    ],
)  # fmt: skip
def test_a_longer_text_offers_the_sizes_found_in_it(text: str, sizes: tuple[str, ...]) -> None:
    assert sizes_within(text) == sizes


@pytest.mark.parametrize(
    ("text", "near"), [("5XL", ""), ("1XL", ""), ("YLL", "YL"), ("LT", ""), ("XLT", "")]
)
def test_a_size_with_other_digits_is_not_similar(text: str, near: str) -> None:
    assert nearest_size(text) == near
