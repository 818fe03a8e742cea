"""Three of the shop's jobs pressed from the first start to the last garment."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import Foot, Person, lay_out, taps_of
from station_harness import Bench

from kiosk.log.verify import verify
from kiosk.run.state.events import Finished, JobDone, JobStarted
from kiosk.run.state.model import ENDED

# Job, forward taps per garment: closings with the pre-press, plus one (design.md 3).
JOBS = (
    ("raft-polo", "Orsavel raft polo", 5),
    ("swim-school", "Orsavel swim school", 3),
    ("ice-crew", "Orsavel ice crew", 3),
)


def garments_of(place: Path, job: str) -> int:
    """Return the number of lines in a job's roster, without its header."""
    return len((place / "jobs" / job / "roster.csv").read_text("utf-8").splitlines()) - 1


@pytest.mark.parametrize("by", [Person, Foot], ids=["fingers", "pedal"])
def test_three_of_the_shops_jobs_are_pressed(
    by: type[Person], bench: Bench, tmp_path: Path
) -> None:
    person = by(bench, lay_out(tmp_path))
    touches = bench._touches
    person.touch_first_start()
    person.touch_sign_off()
    pressed = 0
    for key, title, taps in JOBS:
        garments = garments_of(tmp_path, key)
        pressed += garments
        before, presses = len(person.events()), person.presses
        person.begin(title)
        person.press_all()
        job = person.station.shell.state.jobs[key]
        assert {ticket.stage for ticket in job.tickets.values()} <= ENDED
        counted = taps_of(person.events()[before:])
        assert len(counted.forward) == garments
        assert set(counted.forward.values()) == {taps}
        assert person.presses - presses == garments * taps
        assert counted.questions >= 1  # the setting at least
        person.choose("Put the job away")
    assert person.refused <= 3
    assert (bench._touches == touches) is (by is Foot)
    person.close()
    verdict = verify(person.log)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0)
    events = person.events()
    assert sum(isinstance(e, JobDone) for e in events) == len(JOBS)
    assert sum(isinstance(e, Finished) for e in events) == pressed
    assert [e.job for e in events if isinstance(e, JobStarted)] == [job[0] for job in JOBS]
