"""What is no longer shown is freed at once, without a search for reference cycles.

A search takes longer the more there is to free, and at a station it would come between two taps.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from weakref import ref

import pytest
from station_harness import Bench

from kiosk.station.glass.boxes import Box
from kiosk.station.glass.theme import INK
from kiosk.station.glass.type import Style
from kiosk.station.glass.widgets.paint import Drawn
from kiosk.station.glass.widgets.text import Text

WHOLE, PLACE = Box(0.0, 0.0, 400.0, 300.0), Box(10.0, 10.0, 200.0, 40.0)


@pytest.fixture(autouse=True)
def no_search() -> Iterator[None]:
    gc.disable()
    yield
    gc.enable()


def text(words: str = "next garment") -> Text:
    return Text(words, PLACE, Style(20.0, 30.0), INK)


def test_a_removed_text_is_freed(bench: Bench) -> None:
    sheet, shown = Drawn(WHOLE), text()
    sheet.add_widget(shown)
    gone = ref(shown)
    sheet.remove_widget(shown)
    del shown
    assert gone() is None


def test_a_sheet_that_is_not_cleared_is_freed_with_its_texts(bench: Bench) -> None:
    sheet, shown = Drawn(WHOLE), text()
    sheet.add_widget(shown)
    gone = [ref(sheet), ref(shown)]
    del sheet, shown
    assert [each() for each in gone] == [None, None]


def test_a_text_knows_its_parent_only_while_it_has_one(bench: Bench) -> None:
    sheet, shown = Drawn(WHOLE), text()
    assert shown.parent is None
    sheet.add_widget(shown)
    assert shown.parent is sheet
    assert shown.canvas in sheet.canvas.children
    del sheet
    assert shown.parent is None


def test_a_removed_text_is_no_longer_drawn_and_removing_it_again_changes_nothing(
    bench: Bench,
) -> None:
    sheet, shown, other = Drawn(WHOLE), text(), text("hold")
    for each in (shown, other):
        sheet.add_widget(each)
    for _ in range(2):
        sheet.remove_widget(shown)
        assert list(sheet.children) == [other]
        assert shown.canvas not in sheet.canvas.children
