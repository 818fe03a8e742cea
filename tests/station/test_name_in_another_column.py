"""A player's name typed as a number, a size or a line's id: it does not get into the record."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import lay_out, small
from station_harness import Bench

from kiosk.run.state.events import Stopped
from kiosk.station.desk.jobs.library import Library

HEAD = "line,size,name,number\n"
ROWS = ("1,AL,BORISOV,Liskova", "Liskova,AL,BORISOV,31")


@pytest.mark.parametrize("row", ROWS)
def test_no_pin_begins_a_job_whose_record_could_hold_a_name(tmp_path: Path, row: str) -> None:
    lay_out(tmp_path, "swim-school")
    folder = tmp_path / "jobs" / "swim-school"
    (folder / "roster.csv").write_text(f"{HEAD}{row}\n2,AM,OKORO,13\n", "utf-8")
    offer = Library(tmp_path / "recipes", tmp_path / "jobs").offer(folder)
    assert offer.plan is None
    assert [fault.found for fault in offer.faults] == ["Liskova"]


def test_a_supervisor_decides_whether_an_unknown_word_is_a_size(tmp_path: Path) -> None:
    lay_out(tmp_path, "swim-school")
    folder = tmp_path / "jobs" / "swim-school"
    (folder / "roster.csv").write_text(f"{HEAD}1,Liskova,BORISOV,31\n2,AM,OKORO,13\n", "utf-8")
    offer = Library(tmp_path / "recipes", tmp_path / "jobs").offer(folder)
    assert (offer.plan is not None, offer.faults) == (True, ())
    assert [fault.found for fault in offer.questions] == ["Liskova"]


@pytest.mark.parametrize("column", [1, 3])
def test_a_name_put_into_a_row_of_the_job_at_the_press_is_not_recorded(
    bench: Bench, tmp_path: Path, column: int
) -> None:
    person = small(bench, tmp_path)
    person.to_heat()
    roster = tmp_path / "jobs" / "ice-crew" / "roster.csv"
    head, first, *rest = roster.read_text("utf-8").splitlines()
    cells = first.split(",")
    cells[column] = "Liskova"
    roster.write_text("\n".join([head, ",".join(cells), *rest]) + "\n", "utf-8")
    person.until_open()
    bench.pass_time(1.0)
    kept = [path.read_bytes() for path in tmp_path.glob(f"{person.log.name}*")]  # with its WAL
    assert kept
    assert not [each for each in kept if b"Liskova" in each]
    stopped = [each for each in person.events() if isinstance(each, Stopped)]
    assert [(each.ticket, each.row) for each in stopped] == [("1/1/1", None)]
    person.close()
