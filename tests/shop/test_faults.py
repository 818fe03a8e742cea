"""Faults made at a real server; three statements hold after each.

Every event is at the server exactly once and in order; the facts are those of a fresh fold; no
garment is pressed twice. `python -m tests.shop.long` runs all the faults sampled here.
"""

from __future__ import annotations

import os
import random
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from itertools import pairwise
from pathlib import Path

import pytest
from log_station import Station
from shop_floor import Steps, story
from shop_server import OTHER, Postgres, holds_a_part, holds_all
from test_ship import hold

from kiosk.shop import ShopFault, ship

DAY = 86_400.0
SAMPLES = 6
FILL = "filled"


@pytest.fixture(scope="module")
def floor(postgres: Postgres) -> str:
    return postgres.shop("floor")


def test_a_station_killed_at_any_step_of_claiming_and_sending_presses_nothing_twice(
    postgres: Postgres, floor: str, tmp_path: Path
) -> None:
    whole = Steps()
    for _ in story(tmp_path, postgres, floor, "whole", whole):
        pass
    assert whole.count > 500
    for nth, fatal in enumerate(sampled(whole.count)):
        killed(postgres, floor, tmp_path, f"killed-{nth}", fatal)


def sampled(steps: int) -> list[int]:
    """Return one random step from each of several equal parts."""
    chance = random.Random(11)
    ends = [steps * nth // SAMPLES for nth in range(SAMPLES + 1)]
    return [chance.randint(first + 1, last) for first, last in pairwise(ends)]


def killed(postgres: Postgres, name: str, place: Path, job: str, fatal: int) -> None:
    """Play the story with one station killed at that step."""
    steps = Steps(fatal)
    for _ in story(place, postgres, name, job, steps):
        pass
    assert steps.count > fatal


def test_clocks_wrong_by_a_day_change_nothing(
    postgres: Postgres, floor: str, tmp_path: Path
) -> None:
    """One is a day ahead, the other a day behind: the server uses its own time."""
    for _ in story(tmp_path, postgres, floor, "clocks", Steps(), ahead=DAY):
        pass
    with postgres.sql(name=floor) as connection:
        claims = (
            "SELECT count(*) FROM shop.claims WHERE abs(extract(epoch FROM now() - since)) > 3600"
        )
        assert connection.execute(claims).fetchone() == (0,)
        taken = "SELECT count(*) FROM shop.batches WHERE taken > done OR done > now()"
        assert connection.execute(taken).fetchone() == (0,)


@pytest.fixture
def small(postgres: Postgres, floor: str) -> Iterator[Path]:
    """A file system of a few megabytes with a database `tight`, a copy of the floor's.

    It is in the server's folder, because the server's user loses access to the tests' own folders
    whenever another test run starts. The database is dropped with it, as the server cannot restart
    without it.
    """
    place = postgres.folder / "small"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=24m,mode=777", "tmpfs", str(place)]
    if os.geteuid() or subprocess.run(mount, check=False, capture_output=True).returncode:
        pytest.skip("no small file system can be mounted here")
    subprocess.run(["chown", OTHER, str(place)], check=True)
    try:
        with postgres.sql(name="postgres") as connection:
            connection.execute(f"CREATE TABLESPACE small LOCATION '{place}'")
            connection.execute(f"CREATE DATABASE tight TABLESPACE small TEMPLATE {floor}")
            # Until then a new database is sparse files: the server keeps in memory what it cannot
            # write there later, and stops serving as soon as it needs that memory.
            connection.execute("CHECKPOINT")
        yield place
    finally:
        (place / FILL).unlink(missing_ok=True)
        try:
            with postgres.sql(name="postgres") as connection:
                connection.execute("DROP DATABASE IF EXISTS tight WITH (FORCE)")
                connection.execute("DROP TABLESPACE IF EXISTS small")
        finally:
            subprocess.run(["umount", "--lazy", str(place)], check=True)


def filled(file: Path) -> None:
    """Write until the disk is full."""
    with suppress(OSError), file.open("wb", buffering=0) as to:
        while True:
            to.write(b"\0" * 65_536)


def test_a_server_with_a_full_disk_takes_all_of_a_batch_or_nothing(
    postgres: Postgres, small: Path, tmp_path: Path
) -> None:
    north = postgres.at("north", "tight")
    station = Station(tmp_path / "north.sqlite3")
    station.begin(12)
    station.press_to_rack()
    ship(station.path, north)
    fill = small / FILL
    filled(fill)
    hold(station, 400)
    with pytest.raises(ShopFault) as caught:
        ship(station.path, north)
    assert caught.value.message.id == "shop.disk_full"
    assert "No space left on device" in str(caught.value.message.values)
    assert holds_a_part(postgres, station.path, "tight") < station.recorder.last
    hold(station, 2)  # the station works on
    fill.unlink()
    ship(station.path, north)
    holds_all(postgres, station.path, "tight")
    station.recorder.close()
