"""Logs with damage of every kind: reported or mended, never falsified, never a traceback."""

from __future__ import annotations

import shutil
import tempfile
from contextlib import suppress
from pathlib import Path
from random import Random

from fuzz_pace import Pace
from log_samples import at
from log_station import unsynced
from run_samples import team
from sim_shop import PLANS

from kiosk.log.record.recorder import Recorder, start
from kiosk.log.store.errors import LogFault
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state.event import Event
from kiosk.run.state.events_station import LogSalvaged
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate

PARTS = ("", "-wal")
LATER = at(500_000.0)


def run(pace: Pace) -> None:
    """Damage one log `times` times."""
    folder = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-"))
    sound = folder / "sound.sqlite3"
    true = frozenset(map(repr, _made(sound)))
    for dice in pace.cases():
        place = folder / "case"
        place.mkdir()
        for part in PARTS:
            if (source := sound.with_name(sound.name + part)).exists():
                shutil.copy(source, place / f"log.sqlite3{part}")
        pace.at = f"{place}: {_damage(place, dice)}"
        _look(place / "log.sqlite3", true)
        shutil.rmtree(place)
    shutil.rmtree(folder)


def _made(path: Path) -> list[Event]:
    """Make a log of a few jobs whose tail is not folded in, as a killed station leaves it."""
    recorder = Recorder(unsynced(Store.open(path, simulated=True)))
    for nth, (job, plan) in enumerate(list(PLANS.items())[:3]):
        simulate(recorder, SimulatedOrder(job, plan, "hash", team(*"123456789")), nth)
    kept = path.with_name("kept")
    kept.mkdir()
    for part in PARTS:
        shutil.copy(path.with_name(path.name + part), kept)
    events = [each.event for each in recorder.store.events()]
    recorder.close()
    for copy in kept.iterdir():
        shutil.copy(copy, path.with_name(copy.name))
    return events


def _damage(place: Path, dice: Random) -> str:
    """Damage the files in one to three ways; return which."""
    told = []
    for _ in range(dice.randint(1, 3)):
        path = dice.choice(sorted(place.iterdir()))
        content = bytearray(path.read_bytes())
        where, size = dice.randrange(len(content) + 1), dice.choice((1, 1, 8, 64, 512, 4096, 9000))
        way = dice.choice(("noise", "zeros", "flip", "cut", "grow", "move", "gone"))
        if way == "noise":
            content[where : where + size] = dice.randbytes(len(content[where : where + size]))
        elif way == "zeros":
            content[where : where + size] = bytes(len(content[where : where + size]))
        elif way == "flip" and where < len(content):
            content[where] ^= 1 << dice.randrange(8)
        elif way == "cut":
            del content[where:]
        elif way == "grow":
            content += dice.randbytes(size)
        elif way == "move":
            content[where : where + size] = content[:size]
        told.append(f"{way} {path.name} {where} {size}")
        if way == "gone" and path.name.endswith("-wal"):
            path.unlink()
        else:
            path.write_bytes(content)
    return ", ".join(told)


def _look(path: Path, true: frozenset[str]) -> None:
    """Verify, start, read: each event shown must be one that was written."""
    with suppress(LogFault):  # a fault with a message
        verify(path)
    try:
        recorder, _ = start(path, LATER, simulated=True)
    except LogFault:
        return
    try:
        found = [each.event for each in recorder.store.events()]
    except LogFault:
        return  # damage found while reading
    finally:
        recorder.close()
    false = [event for event in found if repr(event) not in true]
    assert all(isinstance(event, LogSalvaged) for event in false), false[:2]
