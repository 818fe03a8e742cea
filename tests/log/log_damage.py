"""Deliberate damage to a log, and reading what is left."""

from __future__ import annotations

import random
import resource
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from log_samples import at

from kiosk.log.record.recorder import Recorder, start
from kiosk.log.rescue import pages
from kiosk.log.rescue.mend import Salvage
from kiosk.log.store.store import Store
from kiosk.run.state.event import Event

PAGE = 4096
LATER = at(500_000.0)


@contextmanager
def no_file_grows_beyond(size: int) -> Iterator[None]:
    """Make the kernel refuse longer files, as a full disk would."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def spoil(path: Path, place: int, count: int, seed: int = 1) -> None:
    """Overwrite `count` bytes at `place` with noise, as a failing disk would."""
    content = bytearray(path.read_bytes())
    noise = random.Random(seed).randbytes(count)
    content[place : place + count] = noise
    path.write_bytes(content)


def events_of(path: Path) -> list[Event]:
    with Store.read_only(path) as store:
        return [event for _, event in store.events()]


def pages_of_events(path: Path) -> list[int]:
    """Return the numbers, from 0, of the pages that hold events."""
    content = path.read_bytes()
    found = []
    for number in range(len(content) // PAGE):
        page = content[number * PAGE : (number + 1) * PAGE]
        if number and list(pages._rows_on(page, pages._pages(path), 0)):
            found.append(number)
    return found


def mended(path: Path) -> tuple[Recorder, Salvage]:
    recorder, mending = start(path, LATER, simulated=True)
    assert mending is not None
    return recorder, mending
