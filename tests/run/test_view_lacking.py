"""A garment without a number or name: nobody is asked to lay what it does not have."""

from __future__ import annotations

import pytest
from test_view_parts import two_parts
from view_cases import (
    COLD,
    HOT,
    WORDS,
    Station,
    label,
    lines,
    messages,
    move,
    one_layer,
    two_layers,
)

from kiosk.run.show.parts import Ink, SlabKind, View
from kiosk.run.show.view import view
from kiosk.run.state.model import ConfirmMode, Garment

LINES = (Garment("1", "", "AL", "a"), Garment("2", "48", "AL", "b"))
NAMELESS = frozenset({"2"})


class Known(Station):
    """A station that knows whose name is missing, as the screen does from the roster's file."""

    def see(self, focus: str = "") -> View:
        return view(self.state, self.now, focus, NAMELESS)


def laid_elements(shown: View) -> set[str]:
    return {piece.element for piece in shown.pieces if piece.ink is Ink.NEXT}


def asks_to_handle(shown: View, word: str) -> bool:
    """Whether a sentence asks the hands to handle it; naming it as missing does not count."""
    sentences = [WORDS.say(m) for m in messages((shown.move, shown.lines, shown.peel_line))]
    return any(word in each and f"no {word}" not in each for each in sentences)


def test_in_one_layer_its_own_pieces_are_laid_and_missing_ones_named() -> None:
    station = Known(one_layer(HOT), lines=LINES)
    station.answer()
    shown = station.see()
    assert lines(shown)[-2:] == ["RED, name", "#1 has no number"]
    assert laid_elements(shown) == {"name"}
    shown = station.press()
    assert not asks_to_handle(shown, "navy")
    station.tap()
    station.answer()
    shown = station.see()
    assert lines(shown)[-2:] == ["NAVY, number", "48 has no name"]
    assert laid_elements(shown) == {"number"}


def test_the_pieces_to_fetch_for_it_are_its_own() -> None:
    station = Known(one_layer(HOT), lines=LINES)
    station.answer()
    shown = station.tap()
    assert shown.upcoming is not None
    assert WORDS.say(shown.upcoming.pull) == "pull number: NAVY"


def test_a_stack_it_does_not_have_lays_nothing_and_frees_no_carrier() -> None:
    """Neither the words nor the cross-section: the press closes on cloth alone."""
    station = Known(two_layers(), lines=(Garment("2", "", "AL", "a"),))
    station.answer()
    shown = station.press()
    assert move(shown) == "Check it, then close"
    assert lines(shown) == ["#2 has no name, number"]
    assert label(shown) == "All as it was: close 2 s"
    dark = station.tap()
    assert label(dark) == "Then: nothing to lay"
    assert {slab.kind for slab in dark.stack}.isdisjoint({SlabKind.FILM, SlabKind.CARRIER})
    station.wait(10.0)
    assert not asks_to_handle(station.see(), "carrier")


@pytest.mark.parametrize("confirm", [ConfirmMode.GROUPED, ConfirmMode.EACH])
def test_a_hot_peel_it_does_not_have_is_not_asked_for_before_the_rack(confirm: ConfirmMode) -> None:
    """The name is the hot piece: a garment without one goes to the rack as it is."""
    garments = (Garment("2", "48", "AL", "a"), Garment("3", "5", "AL", "b"))
    station = Known(one_layer(HOT, COLD), lines=garments, confirm=confirm)
    station.answer()
    while station.see().countdown is None:
        station.tap()
    shown = station.wait(30.0)
    assert not asks_to_handle(shown, "HOT")
    assert not asks_to_handle(shown, "hot")
    assert not asks_to_handle(shown, "name")


def test_a_part_with_nothing_to_lay_is_inspected_for_its_cloth_only() -> None:
    """As in a record from before such a pass was left out."""
    station = Known(two_parts(), lines=(Garment("2", "48", "AL", "b"),))
    shown = station.answer()
    while not shown.inspecting:
        shown = station.wait(30.0) if shown.countdown is not None else station.tap()
    assert [each for each in lines(shown) if ": ," in each or "digits" in each] == []
    assert lines(shown)
