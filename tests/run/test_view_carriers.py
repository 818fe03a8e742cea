"""How the carriers of one tack come off: all at once, or some only after cooling."""

from __future__ import annotations

import pytest
from view_cases import COLD, HOT, LOWER, STACKED, UPPER, WARM, WORDS, Station, hand, hot, plan_of

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Phase, Plan
from kiosk.run.show.parts import View
from kiosk.run.state.model import ConfirmMode


def tacked(name: Peel, number: Peel) -> Plan:
    """A plan whose lower name and number are peeled this way after one tack, the hotter first."""
    off = sorted(((name, "name.1"), (number, "number.1")))
    each = [hand(Phase.REMOVE_CARRIER, piece, peel=peel) for peel, piece in off]
    together = [hand(Phase.REMOVE_CARRIER, *LOWER, peel=name)]
    return plan_of(
        (
            hand(Phase.LOAD),
            hand(Phase.LAY, *LOWER),
            hot(Phase.TACK, 2, *LOWER, most=3),
            *(together if name is number else each),
            hand(Phase.LAY_TOP, *UPPER),
            hot(Phase.TACK, 2, *UPPER, most=3),
            hand(Phase.REMOVE_CARRIER, *UPPER, peel=HOT),
            hot(Phase.FINAL, 15, *LOWER, *UPPER),
            hand(Phase.INSPECT),
        ),
        STACKED,
    )


def mark_and_text(shown: View) -> tuple[Peel | None, str]:
    """The peel mark and the text beside it, or else the first line."""
    return shown.peel, WORDS.say(shown.peel_line or shown.lines[0])


@pytest.mark.parametrize(
    ("name", "number", "mark", "line"),
    [
        (HOT, HOT, HOT, "2 carriers off, at once"),
        (COLD, COLD, COLD, "2 carriers off, when cold"),
        (HOT, COLD, HOT, "carriers off: name at once, number when cold"),
        (WARM, HOT, HOT, "carriers off: number at once, name when warm"),
    ],
)
def test_no_carrier_that_must_wait_is_shown_as_coming_off_at_once(
    name: Peel, number: Peel, mark: Peel, line: str
) -> None:
    station = Station(tacked(name, number))
    station.answer()
    assert mark_and_text(station.press()) == (mark, line)


def test_a_trainee_takes_the_carriers_off_one_after_the_other() -> None:
    station = Station(tacked(HOT, COLD), ConfirmMode.EACH)
    station.answer()
    station.tap()
    assert mark_and_text(station.press()) == (HOT, "1 carrier off, at once")
    assert mark_and_text(station.tap()) == (COLD, "1 carrier off, when cold")


def test_only_carriers_that_need_not_be_cold_count_as_cooled() -> None:
    """After a while on the open press nothing is hot any more, but it need not be cold."""
    for plan, line in (
        (tacked(HOT, WARM), "carriers no longer hot: peel low and slow"),
        (tacked(HOT, COLD), "carriers off: name at once, number when cold"),
    ):
        station = Station(plan)
        station.answer()
        station.press()
        assert mark_and_text(station.wait(200.0))[1] == line
