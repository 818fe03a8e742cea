"""Typing on a portrait screen: the field below the words, all of them large."""

from __future__ import annotations

import pytest
from station_harness import Bench
from station_tree import buttons, texts

from kiosk.station.desk.sheet import Button, Sheet
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.sheet_page import SheetPage
from kiosk.station.glass.type import CAPITAL

# 16' from 0.9 m: 6.283 * 900 mm * 16 / 21600 (NUREG-0700)
TOUCHED_MM = 4.19
FAULT = 'the low end may not be above the high end; found "150 C, 99 C"'
UPRIGHT = {"7 inch": (600, 1024, 7.0), "10 inch": (800, 1280, 10.1)}


def page_of(bench: Bench, panel: str, keys: tuple[str, ...], line: str = FAULT) -> SheetPage:
    wide, high, inches = UPRIGHT[panel]
    bench.resize(wide, high)
    choices = tuple(Button(key, lambda: None) for key in keys)
    sheet = Sheet("Temperature, to", (line,), entry="99 C", choices=choices, columns=5)
    return SheetPage(
        sheet, (wide, high), Scale((wide, high), inches), "more", lambda: 0.0, lambda: None
    )


@pytest.mark.parametrize("panel", UPRIGHT)
def test_an_input_error_is_large_enough_to_read_at_the_keys(bench: Bench, panel: str) -> None:
    """It was beside the field, at half of that height, above an empty half screen."""
    page = page_of(bench, panel, (*"1234567890", "erase", ".", "F", "C"))
    (fault,) = (text for text in texts(page) if text.text == FAULT)
    assert fault.fitted.em * CAPITAL >= page.scale.mm(TOUCHED_MM) - 1


@pytest.mark.parametrize("panel", UPRIGHT)
def test_a_notice_or_another_line_moves_no_key(bench: Bench, panel: str) -> None:
    page = page_of(bench, panel, (*"1234567890", "erase"))
    keys = [button.box for button in buttons(page)]
    page.notice(("The battery is low.",))
    assert [button.box for button in buttons(page)] == keys
    other = page_of(bench, panel, (*"1234567890", "erase"), line="")
    assert [button.box for button in buttons(other)] == keys


@pytest.mark.parametrize("panel", UPRIGHT)
def test_a_word_key_takes_the_free_space_in_the_last_row(bench: Bench, panel: str) -> None:
    """*erase* alone in its row was as narrow as a figure, in the smallest letters of the page."""
    page = page_of(bench, panel, (*"1234567890", "erase"))
    figure, *_, word = buttons(page)
    assert word.label == "erase"
    assert word.box.w >= 2 * figure.box.w
    assert max(button.box.right for button in buttons(page)) <= page.width - page.scale.margin + 1


def test_nearly_all_letter_keys_fit_on_a_7_inch_portrait_screen(bench: Bench) -> None:
    letters = tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    page = page_of(bench, "7 inch", letters)
    shown = [button for button in buttons(page) if button.label in letters]
    assert len(shown) >= 24
