"""A station is killed with six cold-peel garments on the rack: every card comes back as it was."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest
from cooling_shop import Presser, open_again
from forks import ENVIRONMENT, HERE
from station_driver import ROOT, events_of
from station_harness import Bench

from kiosk.run.facts.peels import PeelZone
from kiosk.run.show.parts import Chip
from kiosk.run.state.event import Now
from kiosk.run.state.events_station import PeelEstimated
from kiosk.station.demo.hands import WALL

SIX = 6


class Told(NamedTuple):
    """What a chip showed on the killed station's screen."""

    clock: float
    due_in: float
    ready: str


@pytest.fixture(scope="module")
def killed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Told]]:
    """A shop whose station was killed with six garments on the rack, and what its chips showed."""
    place = tmp_path_factory.mktemp("shop")
    child = subprocess.Popen(
        [sys.executable, str(HERE / "cooling_child.py"), str(place), str(SIX)],
        stdout=subprocess.PIPE, text=True, cwd=ROOT, env=ENVIRONMENT,
    )  # fmt: skip
    assert child.stdout is not None
    lines = list(iter(child.stdout.readline, "full\n"))
    child.kill()  # SIGKILL: nothing is tidied up
    child.communicate()
    parts = [line.split() for line in lines if line.startswith("chip")]
    return place, {p[1]: Told(float(p[2]), float(p[3]), p[4]) for p in parts}


def by_the_log(place: Path, name: str, seconds_after: float) -> float:
    """Return the seconds until a ticket is due, from the log alone.

    `seconds_after` is the clock, or the wall time since WALL.
    """
    own = [e for e in events_of(place / "log.sqlite3") if isinstance(e, PeelEstimated)]
    estimate = next(e.estimate for e in reversed(own) if e.ticket == name)
    lifted = estimate.lifted[-1]
    assert lifted is not None
    return lifted.from_seconds - (seconds_after - estimate.opened.clock)


def resume(bench: Bench, place: Path, now: Now) -> tuple[Presser, tuple[Chip, ...]]:
    person = open_again(bench, place, now)
    return person, person.view.chips


def test_in_the_same_boot_every_card_keeps_its_time_and_zone(
    bench: Bench, killed: tuple[Path, dict[str, Told]]
) -> None:
    place, told = killed
    second = list(told.values())[1]
    then = second.clock + second.due_in + 4.0  # two of them are due then
    person, chips = resume(bench, place, Now("a boot", then, WALL + then))
    assert [chip.ticket for chip in chips] == list(told)
    assert len(chips) == SIX
    at = person.now().clock
    for chip in chips:
        before = told[chip.ticket]
        assert chip.from_seconds == pytest.approx(before.due_in - (at - before.clock), abs=0.1)
        assert chip.from_seconds == pytest.approx(by_the_log(place, chip.ticket, at), abs=0.1)
        assert chip.zone is (PeelZone.SOON if chip.from_seconds > 0 else PeelZone.NOW)
        assert not chip.uncertain
    assert [chip.zone for chip in chips] == [PeelZone.NOW] * 2 + [PeelZone.SOON] * 4
    assert len({round(chip.from_seconds) for chip in chips}) == SIX
    assert "NEXT COLD" in person.texts()


def test_after_a_reboot_times_come_from_the_wall_clock_and_are_marked_uncertain(
    bench: Bench, killed: tuple[Path, dict[str, Told]]
) -> None:
    place, told = killed
    since = next(iter(told.values())).clock + 60.0
    person, chips = resume(bench, place, Now("another boot", 20.0, WALL + since))
    assert [chip.ticket for chip in chips] == list(told)
    past = person.now().wall - WALL
    for chip in chips:
        assert chip.from_seconds == pytest.approx(by_the_log(place, chip.ticket, past), abs=0.1)
        assert chip.uncertain
        assert "about" in person.station.words.say(chip.line)
