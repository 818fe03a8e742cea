"""Opens the station: its record, its recipes, its window."""

from __future__ import annotations

import socket
from pathlib import Path

import kiosk
from kiosk.log.record import start
from kiosk.log.rescue import Mended
from kiosk.log.store import now
from kiosk.station import header


def run_station(recipes: Path, jobs: Path, log: Path, job: Path | None = None) -> Mended | None:
    """Open the station full screen and return when the supervisor leaves it.

    `jobs` holds the job folders, `job` is the one to set up first. Returns what became of a
    damaged log. Raises LogFault when the record cannot be opened.
    """
    recorder, mended = start(log, now())
    header.prepare()
    from kiosk.station.app import Parts
    from kiosk.station.desk import Identity
    from kiosk.station.library import Library
    from kiosk.station.pin import PinFile
    from kiosk.station.program import StationApp

    parts = Parts(
        recorder,
        Library(recipes, job.parent if job is not None else jobs),
        PinFile(log.with_name("supervisor-pin")),
        Identity(f"{socket.gethostname()}/{log.stem}", kiosk.__version__),
        now,
    )
    StationApp(parts, job, mended).run()
    return mended
