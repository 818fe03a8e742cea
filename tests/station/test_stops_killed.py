"""Killed at 200 random moments over a shift: nothing acknowledged is missing, and work goes on."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

from forks import Forks
from station_driver import PIN, lay_out, shorten
from station_kills import (
    SIMULATE,
    STATION,
    simulation,
    started_again,
    state_in,
    station,
    wrong_start,
)

from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state.event import Event
from kiosk.station.desk.side_files import PinFile

ROUNDS = int(os.environ.get("KIOSK_KILL_ROUNDS", "1"))  # more for a night run
STATIONS, SIMULATIONS = 50 * ROUNDS, 150 * ROUNDS
CHAINS = 2  # logs that are killed again and again, in parallel
OF_EACH_JOB = 3


def a_shop(place: Path) -> Path:
    """Lay out recipes, a PIN, and each of the three jobs a few times, shortened."""
    place.mkdir()
    lay_out(place)
    for folder in sorted((place / "jobs").iterdir()):
        shorten(place, folder.name, "123456")
        text = (folder / "job.yaml").read_text("utf-8")
        for nth in range(1, OF_EACH_JOB * ROUNDS):
            copy = shutil.copytree(folder, place / "jobs" / f"{folder.name}-{nth}")
            named = text.replace("title: ", f"title: {nth} ", 1)
            (copy / "job.yaml").write_text(named, "utf-8")
    PinFile(place / "supervisor-pin").set(PIN)
    return place


def chains(count: int) -> Iterator[tuple[int, int]]:
    """Yield number and kills of each chain."""
    return ((nth, count // CHAINS) for nth in range(CHAINS))


def kill_stations(folder: Path, nth: int, kills: int) -> int:
    """Kill one station again and again; return how many times it had begun to work."""
    shop, dice, worked = a_shop(folder / str(nth)), random.Random(nth), 0
    with closing(Forks(*STATION)) as stations:
        for _ in range(kills):
            worked += kill_station(stations, shop, shop / "log.sqlite3", dice)
    return worked


def kill_station(stations: Forks, shop: Path, log: Path, dice: random.Random) -> bool:
    before, was = state_in(log), last_in(log)
    now = started_again(before, dice)
    lines, seconds = dice.randint(1, 16), dice.uniform(0.0, 0.15)
    said = stations.killed(station(shop, log.stem, now), lines, seconds)
    found = events_after(log, was)
    for number, kind in said.events.items():
        assert type(found[number - was - 1]).__name__ == kind
    assert wrong_start(before, now, found, said.screen) == ""
    verdict = verify(log)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0), verdict.faults
    return len(said.events) > 1


def last_in(log: Path) -> int:
    """Return the number of the last event of a log verified when its station was killed."""
    if not log.exists():
        return 0
    with Store.read_only(log) as store:
        return store.last


def events_after(log: Path, number: int) -> list[Event]:
    """Return the events of a log after `number`."""
    if not log.exists():
        return []
    with Store.read_only(log) as store:
        return [each.event for each in store.events(number + 1)]


def test_a_station_killed_50_times_goes_on_and_loses_nothing(tmp_path: Path) -> None:
    with ThreadPoolExecutor(CHAINS) as pool:
        worked = list(pool.map(lambda chain: kill_stations(tmp_path, *chain), chains(STATIONS)))
    assert sum(worked) > STATIONS / 2


def kill_simulations(folder: Path, nth: int, kills: int) -> None:
    """Kill a made-up shift again and again."""
    with closing(Forks(*SIMULATE)) as simulations:
        kill_each(simulations, folder / f"{nth}.sqlite3", random.Random(nth), kills)


def kill_each(simulations: Forks, log: Path, dice: random.Random, kills: int) -> None:
    for seed in range(kills):
        lines, seconds = dice.randint(1, 40), dice.uniform(0.0, 0.01)
        said = simulations.killed([simulation(log, seed)], lines, seconds)
        with Store.read_only(log) as store:
            assert store.last >= said.last
        if seed % 25 == 24 or seed == kills - 1:
            verdict = verify(log)
            assert (verdict.ok, verdict.pressed_twice) == (True, 0), verdict.faults


def test_a_shift_killed_150_times_loses_nothing(tmp_path: Path) -> None:
    with ThreadPoolExecutor(CHAINS) as pool:
        list(pool.map(lambda chain: kill_simulations(tmp_path, *chain), chains(SIMULATIONS)))
