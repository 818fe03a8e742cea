"""Digits and letters to pull, without any name of a person."""

from __future__ import annotations

from collections import Counter

from plan_samples import ROSTER, closing, element, plan_of, settings, single_plan, stack_plan

from kiosk.catalog.base import characters
from kiosk.catalog.model.orders import RosterLine
from kiosk.catalog.model.recipes import Panel
from kiosk.plan.need import Pick, count_picks


def digits(counts: object) -> Counter[str]:
    found: Counter[str] = Counter()
    assert isinstance(counts, Counter)
    for pick, count in counts.items():
        if pick.element == "number":
            found[pick.character] += count
    return found


def test_every_digit_of_the_roster_is_counted() -> None:
    # 31, 13, 00
    assert digits(count_picks(single_plan(), ROSTER)) == {"3": 2, "1": 2, "0": 2}


def test_a_second_layer_needs_as_many_in_its_own_colour() -> None:
    counts = count_picks(stack_plan(), ROSTER)
    for colour, layer in (("black", 1), ("white", 2)):
        pick = Pick("back", "number", layer, colour, "film", 10.0, "3")
        assert counts[pick] == 1  # one adult garment has a 3; the other is a youth size
    assert len({pick.layer for pick in counts}) == 2


def test_youth_and_adult_heights_are_counted_separately() -> None:
    counts = count_picks(single_plan(), ROSTER)
    heights = {p.height_inches for p in counts if p.element == "number" and p.character == "1"}
    assert heights == {8.0, 10.0}


def test_no_pick_contains_a_name() -> None:
    counts = count_picks(single_plan(), ROSTER)
    assert {len(pick.character) for pick in counts} == {1}


def test_an_element_without_roster_text_is_one_piece_per_garment() -> None:
    back = Panel("back", (element("crest", "red"),))
    plan = plan_of(settings(closing("crest.1")), panels=(back,))
    assert sum(count_picks(plan, ROSTER).values()) == len(ROSTER)


def test_a_roster_line_without_a_name_needs_no_letters() -> None:
    counts = count_picks(single_plan(), (RosterLine("1", "AL", "", "7"),))
    assert {pick.element for pick in counts} == {"number"}


def test_an_accent_stays_on_its_letter_and_spaces_are_skipped() -> None:
    assert characters("Pen\u0303a Ru\u0301iz") == ["P", "e", "ñ", "a", "R", "ú", "i", "z"]
    assert characters("X\u0323\u0301") == ["X\u0323\u0301"]
