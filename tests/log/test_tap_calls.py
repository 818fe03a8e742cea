"""How much happens between a tap and its picture, counted: it only ever goes down.

Counted are calls of the functions, methods and properties that are defined under `kiosk/`, and
the files that they stand in, from `Recorder.do(Forward(...))` with its row on disk to the end of
the `view(...)` that the station then asks for. What telling the facts takes, in the transaction
of the tap's events, is counted by itself. A generator counts once however often it is
resumed, comprehensions count as their function, and what `dataclass` writes is not counted. The
same tap came once before: what is only done at the first (a writer of a class) is not counted.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

import pytest
from log_station import Station

import kiosk
from kiosk.run.decide.decide import bar_meaning
from kiosk.run.show.view import view
from kiosk.run.state import commands as c

KIOSK = str(Path(kiosk.__file__).resolve().parent)
FACTS = str(Path(KIOSK) / "log" / "facts")
WRITES = str(Path(KIOSK) / "catalog" / "base" / "frozen.py")  # what `dataclass` writes
CLOSING_CALLS, CLOSING_FILES, CLOSING_FACTS = 178, 20, 14
PEELED_CALLS, PEELED_FILES, PEELED_FACTS = 362, 32, 12


def tap(station: Station) -> Counter[str]:
    """Press forward and look: how many calls there were in each file."""
    station.clock += 5.0
    meaning = bar_meaning(station.recorder.state, station.now).meaning
    assert meaning is not None
    calls: Counter[str] = Counter()
    seen: set[FrameType] = set()

    def count(frame: FrameType, event: str, _: object) -> None:
        code = frame.f_code
        own = code.co_filename.startswith(KIOSK) and code.co_filename != WRITES
        if event != "call" or not own or frame in seen:
            return
        if not code.co_name.startswith("<"):
            seen.add(frame)
            calls[code.co_filename] += 1

    sys.setprofile(count)
    try:
        done = station.recorder.do(c.Forward(meaning, station.clock), station.now)
        view(station.recorder.state, station.now)
    finally:
        sys.setprofile(None)
    assert done.refusal is None
    assert done.events
    return calls


def of_facts(calls: Counter[str]) -> int:
    """Take the calls that tell facts out of `calls`; return how many they were."""
    return sum(calls.pop(file) for file in list(calls) if file.startswith(FACTS))


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    before, made = (Station(tmp_path / f"{name}.sqlite3") for name in ("before", "station"))
    for each in (before, made):
        each.begin(count=2)
    tap(before)
    yield made
    for each in (before, made):
        each.recorder.close()


def test_a_tap_that_closes_the_press_stays_within_its_calls(station: Station) -> None:
    calls = tap(station)
    assert station.recorder.state.heat is not None
    assert of_facts(calls) <= CLOSING_FACTS
    assert calls.total() <= CLOSING_CALLS, calls
    assert len(calls) <= CLOSING_FILES, calls


def test_a_tap_that_peels_while_the_press_is_closed_stays_within_its_calls(
    station: Station,
) -> None:
    while (job := station.recorder.state.job) is not None and len(job.tickets) > len(job.rack):
        station.press_to_rack()
    station.clock += 20.0
    calls = tap(station)
    assert of_facts(calls) <= PEELED_FACTS
    assert calls.total() <= PEELED_CALLS, calls
    assert len(calls) <= PEELED_FILES, calls
