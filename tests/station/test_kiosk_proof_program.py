"""The whole program, as `kiosk run` opens it, in its own processes in real time."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from forks import ENVIRONMENT, HERE
from station_driver import PIN, ROOT, events_of, lay_out, small
from station_harness import Bench

from kiosk.log.verify import verify
from kiosk.run.state.events import Closed, TimeUp
from kiosk.run.state.events_station import LogSalvaged, SignedOn
from kiosk.station.desk.side_files import PinFile


@dataclass(frozen=True)
class Ran:
    """A program that has ended: where it ran, what its script saw, and its exit code."""

    place: Path
    saw: dict[str, Any]
    code: int


def program(script: str, place: Path) -> Ran:
    """Run the program with a script."""
    command = [sys.executable, str(HERE / "station_program.py"), script, str(place)]
    ran = subprocess.run(
        command, stdin=subprocess.DEVNULL, capture_output=True, text=True, cwd=ROOT,
        env=ENVIRONMENT, timeout=300, check=False,
    )  # fmt: skip
    said = ran.stdout.splitlines()
    assert said, ran.stderr
    return Ran(place, json.loads(said[-1]), ran.returncode)


def a_shop(place: Path) -> Path:
    """Lay out a shop whose supervisor has a PIN."""
    lay_out(place, "ice-crew")
    PinFile(place / "supervisor-pin").set(PIN)
    return place


def spoiled(place: Path) -> Path:
    """Lay out a shop where the program has run, and then the log was damaged."""
    program("a_look", a_shop(place))
    log = place / "log.sqlite3"
    bytes_ = bytearray(log.read_bytes())
    bytes_[20:90] = b"\xff" * 70
    log.write_bytes(bytes_)
    return place


@pytest.fixture(scope="module")
def ran(_bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Ran]:
    """All scripts, run in parallel: they wait most of the time."""
    person = small(_bench, tmp_path_factory.mktemp("broken"))
    person.answer()
    person.close()
    _bench.clear()
    plain, damaged = (tmp_path_factory.mktemp(name) for name in ("plain", "damaged"))
    in_its_place = tmp_path_factory.mktemp("in its place")
    (a_shop(in_its_place) / "log.sqlite3").mkdir()
    full, first = (tmp_path_factory.mktemp(name) for name in ("full", "first"))
    with ThreadPoolExecutor(4) as pool:
        found = {
            "not opened": pool.submit(lambda: program("not_opened", in_its_place)),
            "full": pool.submit(lambda: program("room_again", a_shop(full))),
            "first": pool.submit(lambda: program("first_shop", first)),
            "broken": pool.submit(lambda: program("broken_tones", person.place)),
            "plain": pool.submit(lambda: program("keys_and_buttons", a_shop(plain))),
            "damaged": pool.submit(lambda: program("a_look", spoiled(damaged))),
        }
        return {name: each.result() for name, each in found.items()}


def test_only_the_supervisors_pin_lets_an_operator_leave(ran: dict[str, Ran]) -> None:
    """Escape, F1, a back key, a closed window, a request to quit and Ctrl-C change nothing."""
    plain = ran["plain"]
    assert plain.code == 0, plain.saw
    assert plain.saw["page"] == "JOBS"
    assert plain.saw["in the window"] == ["StationWidget"]
    assert "Something went wrong" not in plain.saw["texts"]  # whatever it is doing
    log = plain.place / "log.sqlite3"
    assert verify(log).ok
    # Left, middle and right button of a mouse are a finger each.
    assert [e.operator for e in events_of(log) if isinstance(e, SignedOn)] == ["IK"]


def test_a_damaged_log_is_mended_and_reported_on_the_screen(ran: dict[str, Ran]) -> None:
    damaged = ran["damaged"]
    assert damaged.code == 0, damaged.saw
    assert damaged.saw["mended"]
    assert "The record was damaged." in damaged.saw["texts"]
    assert any(isinstance(e, LogSalvaged) for e in events_of(damaged.place / "log.sqlite3"))
    assert list(damaged.place.glob("*/log.sqlite3"))  # set aside whole


def test_a_record_that_cannot_be_opened_is_reported_on_the_screen(ran: dict[str, Ran]) -> None:
    """Started by its icon, nothing else would be visible (assets/package/press-station)."""
    told = ran["not opened"]
    assert told.code == 1
    said = " ".join(told.saw["texts"].split())
    assert "The station cannot start" in said
    log = told.place / "log.sqlite3"
    assert f"{log} is not a file, so the record {log} cannot be opened." in said
    assert "restart the tablet once." in said


def test_a_station_that_started_on_a_full_disk_opens_by_itself_once_there_is_room(
    ran: dict[str, Ran],
) -> None:
    """It once asked for a restart of the tablet, which makes no room."""
    told = ran["full"]
    before = " ".join(told.saw["before"].split())
    assert "The station cannot start" in before
    assert "The station starts by itself once this is put right" in before
    assert "New here" in told.saw["texts"]
    assert told.code == 0
    assert verify(told.place / "log.sqlite3").ok


def test_a_first_start_on_a_full_disk_says_so_and_makes_the_shop_once_there_is_room(
    ran: dict[str, Ran],
) -> None:
    """Started by its icon it copied the examples first, failed, and showed nothing at all."""
    told = ran["first"]
    before = " ".join(told.saw["before"].split())
    shop = told.place / "shop"
    assert f"The disk is full: there is no room for the shop's folder {shop}." in before
    assert "Delete what is not needed on this tablet" in before
    assert "The station starts by itself once this is put right" in before
    assert "PIN" in told.saw["texts"]  # of a new shop's supervisor
    assert {each.name for each in shop.iterdir()} >= {"recipes", "shared"}
    assert not told.place.joinpath("shop.new").exists()


def test_an_error_in_a_handler_is_reported_and_the_clock_runs_on(ran: dict[str, Ran]) -> None:
    broken = ran["broken"]
    assert broken.saw["heat"]
    assert "Something went wrong inside (RuntimeError). The clock runs on." in broken.saw["texts"]
    closed, time_up = events_of(broken.place / "log.sqlite3")[-2:]
    assert isinstance(closed, Closed)
    assert isinstance(time_up, TimeUp)
    assert time_up.due == closed.at.clock + closed.starts_in + closed.dwell_seconds
    assert time_up.at.clock - time_up.due < 2.0  # of true time, on a busy machine


def test_shutting_down_the_machine_ends_the_program(ran: dict[str, Ran]) -> None:
    assert ran["broken"].code == -signal.SIGTERM
    assert verify(ran["broken"].place / "log.sqlite3").ok


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals")
def test_ctrl_c_in_a_terminal_ends_the_program_cleanly(tmp_path: Path) -> None:
    """A terminal beside the window is already a way out; a service and a console have none."""
    place = a_shop(tmp_path)
    keys, terminal = os.openpty()
    command = [sys.executable, str(HERE / "station_program.py"), "stays", str(place)]
    ran = subprocess.Popen(
        command, stdin=terminal, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        cwd=ROOT, env=ENVIRONMENT,
    )  # fmt: skip
    assert ran.stdout is not None
    assert ran.stdout.readline() == "there\n"
    ran.send_signal(signal.SIGINT)  # what a terminal sends for Ctrl-C
    try:
        said, wrong = ran.communicate(timeout=120)
    finally:
        ran.kill()
        os.close(keys)
        os.close(terminal)
    assert (ran.returncode, json.loads(said)) == (0, {"mended": False}), wrong
    assert "Traceback" not in wrong
    assert verify(place / "log.sqlite3").ok
