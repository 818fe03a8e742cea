"""Texts into quantities. Units by their SI definitions: 1 in = 25.4 mm, °C = (°F - 32)/1.8."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kiosk.catalog.base import quantities as amounts
from kiosk.catalog.base.notes import say
from kiosk.catalog.base.quantities import Degrees, WrongAmountError


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(230, 110), (275, 135), (320, 160), (356, 180), (392, 200)]
)  # SI definitions
def test_a_temperature_is_the_same_on_both_scales(fahrenheit: int, celsius: int) -> None:
    assert amounts.temperature(f"{fahrenheit} F").exact_in(Degrees.C) == celsius
    assert amounts.temperature(f"{celsius} C").exact_in(Degrees.F) == fahrenheit


def test_300_f_is_148_889_c() -> None:  # SI definitions
    assert float(amounts.temperature("300 F").exact_in(Degrees.C)) == pytest.approx(
        148.889, abs=5e-4
    )


def test_a_tolerance_is_a_difference() -> None:  # SI definitions: 10 °F is 5.556 K
    assert float(amounts.step("10 F").exact_in(Degrees.C)) == pytest.approx(5.556, abs=5e-4)


def test_lengths_are_exact_in_inches() -> None:  # SI definition of the inch
    assert amounts.length("63 mm").inches * Fraction(254, 10) == 63
    assert amounts.length("2.5 in").inches == Fraction(5, 2)


@pytest.mark.parametrize(("typed", "value"), [("2,5", 2.5), ("2.5", 2.5), ("0,75", 0.75), ("3", 3)])
def test_a_decimal_comma_reads_as_a_point(typed: str, value: float) -> None:
    assert amounts.length(f"{typed} in").inches == value
    assert amounts.decimal(f" {typed}") == value


@pytest.mark.parametrize("typed", ["1,500", "1.5.0", "", "2,", "two", "1,5,0"])
def test_possible_thousands_and_non_numbers_are_not_guessed(typed: str) -> None:
    assert amounts.decimal(typed) is None


def test_a_platen_is_read_as_width_and_height() -> None:
    width, height = amounts.rectangle("16 in x 20 in")
    assert [width.inches, height.inches] == [16, 20]
    assert amounts.rectangle("400 mm × 500 mm")[1].text == "500 mm"


def test_an_amount_keeps_the_text_as_written() -> None:
    assert amounts.temperature(" 148.9  C ").text == "148.9  C"
    assert amounts.seconds("15s").text == "15s"


@pytest.mark.parametrize("text", ["300F", "300 f", "300 °F", "300.0 F"])
def test_small_spelling_differences_do_not_matter(text: str) -> None:
    assert amounts.temperature(text).value == 300


@pytest.mark.parametrize(
    ("reader", "text", "problem"),
    [
        ("temperature", "300", "catalog.amount.no_unit"),
        ("temperature", "300 s", "catalog.amount.wrong_unit"),
        ("temperature", "300 K", "catalog.amount.wrong_unit"),
        ("temperature", "hot", "catalog.amount.no_number"),
        ("temperature", "", "catalog.amount.no_number"),
        ("temperature", "F 300", "catalog.amount.no_number"),
        ("temperature", "3000 F", "catalog.amount.range"),
        ("temperature", "-1 F", "catalog.amount.range"),
        ("temperature", "٣٠٠ F", "catalog.amount.no_number"),
        ("temperature", "451 F", "catalog.amount.range"),  # 451 C is out of range too
        ("setting", "40 C", "catalog.amount.range"),  # so is 40 F
        ("setting", "300", "catalog.amount.no_unit"),
        ("step", "5", "catalog.amount.no_unit"),
        ("step", "500 F", "catalog.amount.range"),
        ("seconds", "15", "catalog.amount.no_unit"),
        ("seconds", "15 min", "catalog.amount.wrong_unit"),
        ("seconds", "1e3 s", "catalog.amount.wrong_unit"),
        ("seconds", "0:15", "catalog.amount.no_number"),
        ("seconds", "3601 s", "catalog.amount.range"),
        ("seconds", "-1 s", "catalog.amount.range"),
        ("seconds", "1" * 5000 + " s", "catalog.amount.no_number"),
        ("length", "1,500 in", "catalog.amount.no_number"),  # a point, or thousands?
        ("length", "2,5,1 in", "catalog.amount.no_number"),
        ("length", "6 cm", "catalog.amount.wrong_unit"),
        ("length", "0 in", "catalog.amount.range"),
        ("rectangle", "16 x 20 in", "catalog.amount.no_unit"),
        ("rectangle", "16 in", "catalog.amount.no_rectangle"),
        ("rectangle", "16 in x 20 in x 2 in", "catalog.amount.no_rectangle"),
    ],
)
def test_an_invalid_quantity_is_refused(reader: str, text: str, problem: str) -> None:
    with pytest.raises(WrongAmountError) as refused:
        getattr(amounts, reader)(text)
    assert refused.value.problem.id == problem


@pytest.mark.parametrize(
    ("reader", "text", "problem", "suggested", "same"),
    [
        ("temperature", "284 C", "hotter", "284 F", "140 C"),
        ("setting", "302 °C", "hotter", "302 F", "150 C"),
        ("setting", "356,0 C", "hotter", "356 F", "180 C"),
        ("setting", "150 F", "colder", "150 C", "302 F"),
        ("setting", "160.5 f", "colder", "160.5 C", "321 F"),
    ],
)  # limits: common practice, no source; the same on both scales: SI definitions
def test_a_setting_out_of_range_suggests_the_other_scale(
    reader: str, text: str, problem: str, suggested: str, same: str
) -> None:
    with pytest.raises(WrongAmountError) as refused:
        getattr(amounts, reader)(text)
    assert refused.value.problem == say(f"catalog.amount.{problem}", meant=suggested, same=same)
    assert refused.value.nearest == suggested
    assert getattr(amounts, reader)(suggested).text == suggested


def test_a_wrong_unit_is_named() -> None:
    with pytest.raises(WrongAmountError) as refused:
        amounts.temperature("300 bananas")
    assert refused.value.problem.values["unit"] == '"bananas"'


@pytest.mark.parametrize(
    ("reader", "text"),
    [
        ("temperature", "0 F"), ("temperature", "0 C"), ("temperature", "450 F"), ("step", "0 F"),
        ("setting", "175 F"), ("setting", "450 F"),
        ("step", "100 F"), ("seconds", "0 s"), ("seconds", "3600 s"), ("length", "100 in"),
    ],
)  # fmt: skip
def test_both_ends_of_each_range_are_allowed(reader: str, text: str) -> None:
    assert getattr(amounts, reader)(text).text == text
