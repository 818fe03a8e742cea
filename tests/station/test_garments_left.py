"""A garment begun and then taken off is reported to the next operator."""

from __future__ import annotations

from pathlib import Path

from station_driver import Person, small
from station_harness import Bench

from kiosk.run.facts import ScreenKind


def left_tacked(bench: Bench, tmp_path: Path) -> Person:
    """Return a person whose first garment was tacked when the job was put back."""
    person = small(bench, tmp_path, "raft-polo", lines="123")
    person.to_heat(2)  # the pre-press, then the first tack
    person.until_open()
    person.side()
    person.choose("Put the job back", "The platen is clear")
    return person


def test_an_unfinished_garment_of_a_job_put_back_is_listed_at_the_hand_over(
    bench: Bench, tmp_path: Path
) -> None:
    person = left_tacked(bench, tmp_path)
    number = the_first(person)
    person.choose("hand over")
    assert "No job at the press" in person.texts()
    told = "Orsavel raft polo, league shirts, put back; begun, not finished: " + number
    assert told in person.texts()


def test_resuming_a_job_lists_the_garments_already_begun(bench: Bench, tmp_path: Path) -> None:
    person = left_tacked(bench, tmp_path)
    number = the_first(person)
    person.choose("Orsavel raft polo")
    assert f"started: 0 of 3 done; begun, not finished: {number}" in person.texts()
    assert "3 garments" not in person.texts()  # it would be fetched a second time
    person.choose("Read the cautions")
    person.press_all()
    assert person.view.kind is ScreenKind.DONE
    person.choose("hand over")
    assert "not finished" not in person.texts()


def test_a_garment_put_aside_after_a_tack_is_listed_at_the_hand_over(
    bench: Bench, tmp_path: Path
) -> None:
    person = small(bench, tmp_path, "raft-polo", lines="123")
    person.to_heat(2)
    person.until_open()
    number = person.view.number
    person.side()
    person.choose("Put this garment aside")
    person.choose("later")
    person.side()
    person.choose("more", "hand over")
    assert f"begun, not finished: {number}" in person.texts()


def test_ending_the_shift_shows_how_to_leave_the_press(bench: Bench, tmp_path: Path) -> None:
    """A hot press is not left alone: a leaving operator sees the set-up's caution again."""
    person = left_tacked(bench, tmp_path)
    person.choose("hand over", "Next: what is open?", "Next: who comes?")
    assert "Nobody comes? Leave the press open and switched off." in person.texts()


def the_first(person: Person) -> str:
    (job,) = person.station.shell.state.jobs.values()
    return next(t for t in job.tickets.values() if t.opened is not None).garment.number
