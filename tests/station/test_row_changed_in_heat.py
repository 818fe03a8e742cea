"""A roster row that changes while its garment is hot stops it as soon as the press opens."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import small
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import Closed, Stopped
from kiosk.run.state.model import TicketStage
from kiosk.station.glass.devices import PRESS_CLOSED


def change_the_roster(place: Path) -> None:
    roster = place / "jobs" / "ice-crew" / "roster.csv"
    head, first, *rest = roster.read_text("utf-8").splitlines()
    cells = first.split(",")
    cells[2] = "ZZ" + cells[2]
    roster.write_text("\n".join([head, ",".join(cells), *rest]) + "\n", "utf-8")


def test_a_row_changed_in_the_pre_press_stops_its_garment_before_the_final(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path)
    person.to_heat()
    change_the_roster(tmp_path)
    person.until_open()
    bench.pass_time(1.0)
    job = person.station.shell.state.job
    assert job is not None
    assert job.tickets["1/1/1"].stage is TicketStage.STOPPED
    stopped = [e for e in person.events() if isinstance(e, Stopped)]
    closings = [e for e in person.events() if isinstance(e, Closed)]
    assert [e.ticket for e in stopped] == ["1/1/1"]
    assert [e.step for e in closings] == [1]
    assert person.view.kind is not ScreenKind.HEAT


def test_a_row_changed_before_the_switch_closes_stops_its_garment_too(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path)
    person.answer()
    change_the_roster(tmp_path)
    bench.typed(PRESS_CLOSED)
    kinds = [type(e).__name__ for e in person.events()]
    assert "Stopped" in kinds
    assert "Closed" not in kinds
    assert kinds[-1] == "UnaskedClosing"


@pytest.mark.parametrize(
    ("now", "added"),
    [
        ("2,AM,SKARNE-DUVAL,62", "4,AS,ORLAND,=1"),  # a formula in another row
        ("2,AM,SKARNE-DUVAL,62", "3,AM,O'FIRNAN,07"),  # another line twice
        ("2,AM,SKARNE-DUVAL,=26", ""),  # the change itself is a fault
    ],
)
def test_a_fault_in_the_roster_hides_no_changed_row(
    bench: Bench, tmp_path: Path, now: str, added: str
) -> None:
    person = small(bench, tmp_path)
    person.to_heat()
    roster = tmp_path / "jobs" / "ice-crew" / "roster.csv"
    head, first, second, third = roster.read_text("utf-8").splitlines()
    assert second == "2,AM,SKARNE-DUVAL,26"
    roster.write_text("\n".join([head, first, now, third, added]) + "\n", "utf-8")
    while person.view.kind is not ScreenKind.DONE:
        person.move_on()
    assert {e.ticket for e in person.events() if isinstance(e, Stopped)} == {"2/1/1"}
    assert {e.ticket for e in person.events() if isinstance(e, Closed)} == {"1/1/1", "3/1/1"}


def test_a_renamed_heading_stops_no_garment(bench: Bench, tmp_path: Path) -> None:
    """The list cannot be read; what the record holds stays as it was."""
    person = small(bench, tmp_path)
    person.to_heat()
    roster = tmp_path / "jobs" / "ice-crew" / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace("number", "shirt no. or so", 1), "utf-8")
    while person.view.kind is not ScreenKind.DONE:
        person.move_on()
    assert not [e for e in person.events() if isinstance(e, Stopped)]


def test_the_screen_says_which_garment_stopped_and_to_lay_it_aside(
    bench: Bench, tmp_path: Path
) -> None:
    """Its pieces lay on the platen; the screen only asked about the next garment."""
    person = small(bench, tmp_path)
    person.to_heat()
    person.until_open()
    number = person.view.number
    change_the_roster(tmp_path)
    bench.pass_time(person.works())
    person.press()
    bench.pass_time(1.0)
    told = f"Number {number} is stopped: its roster row changed. Lay it aside."
    assert person.view.number != number
    assert told in person.texts()
    assert "First read" not in person.texts()  # the tap meant a closing, not an answer
    person.to_heat()
    assert told not in person.texts()  # another garment is in the press
    person.close()
