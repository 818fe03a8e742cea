"""Cut cloth has neither liner nor carrier: no line mentions them."""

from __future__ import annotations

from view_cases import HOT, Station, hand, hot, piece, plan_of

from kiosk.plan.model import Phase, Plan

PIECES = (piece("name.1", 1, "red"), piece("number.1", 1, "navy"))
NAMES = ("name.1", "number.1")


def letters(carried: bool) -> Plan:
    """Name and number in one piece each, with a carrier that is peeled hot, or without one."""
    return plan_of(
        (
            hand(Phase.LOAD),
            hot(Phase.PRE_PRESS, 5, most=20),
            hand(Phase.LAY, *NAMES),
            hot(Phase.FINAL, 15, *NAMES),
            *((hand(Phase.PEEL, *NAMES, peel=HOT),) if carried else ()),
            hand(Phase.INSPECT),
        ),
        PIECES,
    )


def lines_to_the_end(plan: Plan) -> set[str]:
    station = Station(plan)
    station.answer()
    found = {line.id for line in station.press().lines}
    return found | {line.id for line in station.press().lines}


def test_no_liner_or_carrier_is_named_where_there_is_none() -> None:
    found = lines_to_the_end(letters(carried=False))
    assert {"line.edges", "line.inspect.bare"} <= found
    assert not {"line.liner", "line.inspect.whole"} & found


def test_liner_and_carrier_are_named_where_there_are_some() -> None:
    found = lines_to_the_end(letters(carried=True))
    assert {"line.liner", "line.inspect.whole"} <= found
    assert not {"line.edges", "line.inspect.bare"} & found
