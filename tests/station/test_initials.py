"""Signing on without initials is refused with a notice, wherever they are asked for."""

from __future__ import annotations

from pathlib import Path

from mistakes import said
from station_driver import PIN, Person, lay_out
from station_harness import Bench

from kiosk.run.state.events_station import HandedOver, SignedOn

TOLD = "Sign on with your initials."


def test_empty_initials_sign_nobody_on(bench: Bench, tmp_path: Path) -> None:
    person = Person(bench, lay_out(tmp_path))
    person.choose(*PIN, "Go on with this PIN", *PIN, "Keep this PIN")
    for way in (("New here",), ("back", "Practice", "New here")):
        person.choose(*way)
        assert TOLD not in said(person)
        person.choose("This is me")
        assert TOLD in said(person)
        person.stage.pass_time(30.0)
    person.choose("back", "back")
    assert not [e for e in person.events() if isinstance(e, SignedOn | HandedOver)]
    person.close()
