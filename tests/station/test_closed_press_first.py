"""A closed press takes over the screen from any page."""

from __future__ import annotations

from pathlib import Path

from station_driver import PIN, Person, lay_out, small
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import UnaskedClosing
from kiosk.station.desk.sheet import PageKind
from kiosk.station.glass.devices import PRESS_CLOSED, PRESS_OPENED

PLAIN = "swim-school"  # one layer, peeled hot at the press


def test_a_closing_on_hold_takes_over_the_screen_from_any_page(
    bench: Bench, tmp_path: Path
) -> None:
    """The supervisor's pages are up when a switch reports a closing."""
    person = small(bench, tmp_path, PLAIN)
    person.answer()
    person.side()
    person.choose("Supervisor", *PIN, "Enter")
    bench.typed(PRESS_CLOSED)
    assert any(isinstance(event, UnaskedClosing) for event in person.events())
    assert person.station.sheet is None
    assert person.view.kind is ScreenKind.UNASKED
    assert "OPEN" in person.texts()
    bench.pass_time(2.0)
    bench.typed(PRESS_OPENED)
    assert person.station.desk.page is PageKind.SUPERVISOR
    assert person.station.sheet is not None


def test_a_closing_without_a_job_takes_over_the_screen_too(bench: Bench, tmp_path: Path) -> None:
    lay_out(tmp_path, PLAIN)
    person = Person(bench, tmp_path)
    person.first_start()
    bench.typed(PRESS_CLOSED)
    assert person.view.kind is ScreenKind.UNASKED
    assert person.station.sheet is None
    bench.pass_time(2.0)
    person.press()
    assert person.station.desk.page is PageKind.JOBS
    assert person.station.sheet is not None
