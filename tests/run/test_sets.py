"""A garment of another set, as away after home: its cloth is another, its size may be the same."""

from __future__ import annotations

from view_cases import Station, lines, move, one_layer

from kiosk.catalog.model.sheets import Peel
from kiosk.run.facts.questions import Kind
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
    while shown.kind is not Kind.DONE:
        if move(shown).startswith("Load"):
            found.setdefault(shown.number, lines(shown)[0])
        if station.state.heat is not None:
            shown = station.wait(20.0)
        else:
            station.tap()
            shown = station.see() if station.state.heat is not None else station.answer()
    return found


def test_another_set_is_told_first_where_it_is_loaded() -> None:
    found = loads(TEAM)
    assert found["31"] == "set: home"
    assert found["48"] == "back up, collar toward you"
    assert found["5"] == "other set now: away"


def test_a_roster_without_sets_tells_of_none() -> None:
    assert set(loads(NO_SETS).values()) == {"back up, collar toward you"}
