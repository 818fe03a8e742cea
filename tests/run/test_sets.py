"""A garment of another set, as away after home: other cloth, though sizes may be equal."""

from __future__ import annotations

from dataclasses import replace

from view_cases import Station, lines, move, one_layer

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import PlatenPart
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.model import Garment

TEAM = (
    Garment("1", "31", "AL", "a", "home"),
    Garment("2", "48", "AL", "b", "home"),
    Garment("3", "5", "AL", "c", "away"),
)
NO_SETS = tuple(Garment(g.line, g.number, g.size, g.digest) for g in TEAM)


def loads(team: tuple[Garment, ...]) -> dict[str, str]:
    """The first line at each garment's load, by number."""
    station, found = Station(one_layer(Peel.HOT), lines=team), dict[str, str]()
    shown = station.answer()
    while shown.kind is not ScreenKind.DONE:
        if move(shown).startswith("Load"):
            found.setdefault(shown.number, lines(shown)[0])
        if station.state.heat is not None:
            shown = station.wait(20.0)
        else:
            station.tap()
            shown = station.see() if station.state.heat is not None else station.answer()
    return found


def test_another_set_is_shown_first_at_its_load() -> None:
    found = loads(TEAM)
    assert found["31"] == "set: home"
    assert found["48"] == "back up, collar toward you"
    assert found["5"] == "other set now: away"


def test_a_roster_without_sets_shows_none() -> None:
    assert set(loads(NO_SETS).values()) == {"back up, collar toward you"}


PART = PlatenPart(1, 2, ("name", "number"), {"adult": 1.0})


def loaded(part: PlatenPart | None, peel: Peel) -> list[list[str]]:
    """The lines at the load of each garment whose pieces are laid in the same move."""
    plan = one_layer(peel)
    plan = replace(plan, passes=(replace(plan.passes[0], part=part),))
    station, found = Station(plan, lines=TEAM), []
    station.answer()
    for _ in TEAM:
        found.append(lines(station.see()))
        station.press()
        if peel is Peel.HOT:
            station.tap()
        station.answer()
    return found


def test_the_laying_line_is_shown_whatever_else_a_load_needs() -> None:
    """The last garment to the rack, another set, which way it lies: a piece's colour is last."""
    laid, racked = "RED name, then NAVY number", "flat on the rack, carrier on"
    assert loaded(None, Peel.COLD) == [
        ["set: home", "back up, collar toward you", laid],
        [f"31 home {racked}", "back up, collar toward you", laid],
        [f"48 home {racked}", "other set now: away", laid],
    ]
    assert [found[-1] for found in loaded(PART, Peel.COLD)] == [laid] * 3
    assert loaded(PART, Peel.HOT) == [
        ["back up, collar toward you", "collar seam at 1 in on the ruler", laid],
        ["back up, collar toward you", "collar seam at 1 in on the ruler", laid],
        ["other set now: away", "collar seam at 1 in on the ruler", laid],
    ]
