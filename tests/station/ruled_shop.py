"""A shop with changed rules, one short job and a PIN; a person signed on there."""

from __future__ import annotations

from pathlib import Path

from station_driver import Person, lay_out, pin_file, shorten
from station_harness import Bench

from kiosk.log.record.recorder import start
from kiosk.run.state import commands as c
from kiosk.run.state.event import Now
from kiosk.run.state.model import ConfirmMode
from kiosk.station.demo.hands import READS, WALL

JOB = "ice-crew"


def shop(place: Path, *changes: tuple[str, str]) -> None:
    """Lay out a shop with changed rules, one short job and a PIN."""
    lay_out(place, JOB)
    shorten(place, JOB, "12")
    path = place / "recipes" / "shop.yaml"
    text = path.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    (place / "supervisor-pin").write_bytes(pin_file())


def signed_on(bench: Bench, place: Path, by: type[Person] = Person) -> Person:
    """Return a person who signed on before the station was restarted, with grouped moves."""
    now = Now("a boot", bench.now, WALL + bench.now)
    recorder, _ = start(place / "log.sqlite3", now)
    recorder.do(c.Start("before"), now)
    recorder.do(c.SignOn("IK", ConfirmMode.GROUPED), now)
    recorder.close()
    return by(bench, place)


def at_the_setting(bench: Bench, place: Path, by: type[Person] = Person) -> Person:
    """Return a person who has begun the job and is asked for the setting."""
    person = signed_on(bench, place, by)
    person.begin("Orsavel")
    bench.pass_time(READS)
    return person
