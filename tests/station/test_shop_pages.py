"""The shop's server on the glass: only where a supervisor looks, with room on every screen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mistakes import PLAIN, at, hands
from station_driver import Person
from station_harness import Bench
from station_tour import SIZES, TONGUES
from test_report_pages import wrong_with
from test_supervisor_pages import all_choices, headline, to_the_supervisor

from kiosk.plan.model import Phase
from kiosk.station.desk.beside import Beside
from kiosk.station.desk.pages import SHEETS
from kiosk.station.desk.sheet import Page

WALL = 1_800_000_000.0
PARTED = {"id": "shop.parted", "values": {"last": 91, "shop": 80, "seq": 64}}
AWAY = {"id": "shop.away", "values": {"why": "connection to server at 192.0.2.7 timed out"}}
CASES: list[tuple[dict[str, Any], int | None, str]] = [
    ({"state": "starting"}, None, "the shop's server is not reached yet"),
    ({"state": "away", "message": AWAY}, None, "the shop's server is away"),
    ({"state": "sent"}, 0, "everything is at the shop's server"),
    ({"state": "sent"}, 1, "1 event to send to the shop's server"),
    ({"state": "away", "message": AWAY}, 214, "the shop's server is away: 214 events to send"),
    ({"state": "wrong", "message": AWAY}, 0, "nothing is sent to the shop's server"),
    (
        {"state": "parted", "message": PARTED}, 3,
        "this record has parted from the shop's: nothing is sent",
    ),
]  # fmt: skip


def says(person: Person, behind: int | None = 0, **told: Any) -> None:
    """The process says this of a server that is so many events behind."""
    beside = person.station.desk.beside
    assert beside is not None
    if behind is not None:
        told |= {"last": person.station.shell.recorder.last - behind, "at": WALL}
    beside._say(told)
    person.stage.pass_time(1.1)


def test_a_supervisor_sees_what_waits_and_why_and_nobody_else_does(
    bench: Bench, tmp_path: Path
) -> None:
    person = hands(at(bench, tmp_path, job=PLAIN), Phase.LOAD)
    desk = person.station.desk
    assert desk.beside is None  # a shop without a server
    desk.beside = Beside(("nobody starts it",))
    for told, behind, _ in CASES:
        says(person, behind, **told)
        assert "server" not in person.texts()
        assert "parted" not in person.texts()
    to_the_supervisor(person)
    headline(person, CASES[-1][2])
    desk.beside = Beside(("nobody starts it",))
    looks = [(look, tongue) for look in SIZES for tongue in TONGUES]
    drawn = []
    for nth, (told, behind, line) in enumerate(CASES):
        says(person, behind, **told)
        assert all_choices(person)["The shop's server"] == line
        person.choose("This shift")
        assert line in person.texts().replace("\n", " ")
        person.choose("back")
        desk.go(Page.SHOP)
        person.station.refresh()
        headline(person, line)
        said = person.texts().replace("\n", " ")
        assert ("192.0.2.7" in said) is (told.get("message") is AWAY)
        assert ("same up to event 64" in said) is (told["state"] == "parted")
        for look, tongue in looks[nth :: len(CASES)]:
            drawn.append((look, tongue, line, SHEETS[Page.SHOP](desk, TONGUES[tongue]())))
        person.choose("back")
    person.close()
    faults: list[str] = []
    for look, tongue, line, sheet in drawn:
        bench.resize(look.width, look.height)
        faults += wrong_with(look, tongue, f"{look.name} {tongue} {line}", sheet, bench)
    assert faults == []
