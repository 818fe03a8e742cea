"""The process beside a station: it sends, is restarted, ends; the station never waits for it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
import shop_press
from log_station import Station
from shop_press import PATIENCE, until
from shop_server import Postgres, holds_all
from test_ship import copied, hold
from test_shop import recipes

from kiosk.catalog.base import say
from kiosk.shop import server, ship
from kiosk.station.desk.sending_process import SendingProcess, command


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "north.sqlite3")
    made.begin(12)
    yield made
    made.recorder.close()


@pytest.fixture
def beside(station: Station, postgres: Postgres) -> Iterator[SendingProcess]:
    folder = station.path.parent
    where = recipes(folder, json.dumps({"database": postgres.at("north").address}))
    made = SendingProcess(command(station.path, where), pause=0.01)
    made.start()
    yield made
    made.close()


def test_the_sending_process_is_restarted_and_ends_with_the_station(
    station: Station, beside: SendingProcess, postgres: Postgres
) -> None:
    def all_sent() -> bool:
        return (beside.status.state, beside.status.last) == ("sent", station.recorder.last)

    until(all_sent)
    assert beside.process is not None
    first = beside.process
    os.kill(first.pid, signal.SIGKILL)
    hold(station)
    until(lambda: beside.process is not first and all_sent())
    holds_all(postgres, station.path)

    reached = station.recorder.last
    postgres.kill()
    hold(station, 2)
    until(lambda: beside.status.state == "away")
    assert beside.status.last == reached  # four are waiting
    assert beside.status.message is not None
    assert beside.status.message.id == "shop.away"
    second = beside.process
    os.kill(second.pid, signal.SIGKILL)
    until(lambda: beside.status.state == "away" and beside.process is not second)
    assert beside.status.last == reached  # remembered although the process died
    postgres.start()
    until(all_sent)
    holds_all(postgres, station.path)

    beside.close()
    assert beside.process.wait(PATIENCE) is not None


def test_a_frozen_server_is_reported_as_away_until_it_answers(
    station: Station, postgres: Postgres, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its connections stay open, so no error is raised: a hanging disk, a paused container."""
    monkeypatch.setattr(server, "SILENT_SECONDS", 0.2)
    made = shop_press.Beside(station.path, postgres.at("north"))
    made.start()
    until(partial(_stands, made, "sent"))
    with postgres.frozen():
        hold(station)
        until(partial(_stands, made, "away"))
        assert made.status.message is not None
        assert made.status.message.id == "shop.silent"
    until(lambda: (made.status.state, made.status.last) == ("sent", station.recorder.last))
    made.close()


def test_the_process_ends_when_its_station_is_killed(station: Station, postgres: Postgres) -> None:
    """The station is a separate process here: when it ends, the pipe to its helper closes."""
    where = recipes(station.path.parent, json.dumps({"database": postgres.at("north").address}))
    starts = (
        "import sys, time; from pathlib import Path\n"
        "from kiosk.station.desk.sending_process import SendingProcess, command\n"
        "made = SendingProcess(command(Path(sys.argv[1]), Path(sys.argv[2]))); made.start()\n"
        "while made.status.state != 'sent': time.sleep(0.01)\n"
        "print(made.process.pid, flush=True); time.sleep(600)"
    )
    owner = subprocess.Popen(
        [sys.executable, "-c", starts, str(station.path), str(where)],
        stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    with owner:
        assert owner.stdout is not None
        sender = int(owner.stdout.readline())
        assert Path(f"/proc/{sender}/stat").exists()
        owner.kill()
        until(lambda: _has_ended(sender))


def _has_ended(pid: int) -> bool:
    """Whether the process has ended, even if it has not been waited for yet."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] == "Z"
    except OSError:
        return True


def test_a_parted_or_damaged_record_is_reported_and_the_process_goes_on(
    station: Station, postgres: Postgres, tmp_path: Path
) -> None:
    copy, none = tmp_path / "copy.sqlite3", tmp_path / "none.sqlite3"
    copied(station, copy)
    hold(station)
    ship(station.path, postgres.at("north"))
    other = Station(copy, clock=9_000.0)
    hold(other)
    other.recorder.close()
    none.write_text("no record")
    for path, state, why in ((copy, "parted", "shop.parted"), (none, "wrong", "log.not_a_log")):
        made = shop_press.Beside(path, postgres.at("north"))
        made.start()
        until(partial(_stands, made, state))
        assert made.status.message is not None
        assert made.status.message.id == why
        answer = made.ask({"job": "ferry-order"}, PATIENCE)
        assert (answer is None) is (state == "wrong")  # it is answered; a parted one claims too
        shared = {"job": "other-order", "shared": True, "begins": True, "wants": True}
        assert made.ask(shared, PATIENCE) is None  # nobody would learn what it presses
        made.close()


def _stands(beside: SendingProcess, state: str) -> bool:
    return beside.status.state == state


def test_a_process_that_sends_half_a_character_or_nonsense_is_restarted() -> None:
    """A pipe splits long lines: a killed process may have written half a character."""
    for last in (
        '{"state": "\u00e9'.encode()[:-1],
        b'"sent"\n',
        b'{"state": "sent", "message": {}}\n',
    ):
        says = f"import os, sys; os.write(1, {last!r}); sys.exit(7)"
        made = SendingProcess([sys.executable, "-c", says], pause=0.01)
        made.start()
        until(lambda made=made: made.process is not None)  # type: ignore[misc]
        first = made.process
        until(lambda made=made, first=first: made.process is not first)  # type: ignore[misc]
        assert made.status.state == "wrong"
        made.close()


def test_a_station_never_waits_for_a_stuck_or_missing_process(tmp_path: Path) -> None:
    stuck = SendingProcess([sys.executable, "-c", "import time; time.sleep(600)"])
    none = SendingProcess([str(tmp_path / "no such program")], pause=0.01)
    for each in (stuck, none):
        each.start()
    until(lambda: stuck.process is not None)
    for each in (stuck, none):
        for nth in range(50):  # more than an unread pipe holds
            each.wish({"jobs": ["x" * 10_000], "nth": nth})
    assert stuck.process is not None
    assert stuck.process.poll() is None  # a caller waiting for it would have waited until it ended
    until(lambda: none.status.state == "wrong")
    assert stuck.status.state == "starting"
    assert none.status.message == say("shop.beside.stopped", why=say("catalog.why.gone"))
    for each in (stuck, none):
        each.close()
    assert stuck.process.wait(PATIENCE) == -signal.SIGKILL
