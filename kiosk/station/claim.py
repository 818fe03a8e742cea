"""Which station works on a shared job: a file made exclusively in the job's folder.

On a folder that a service only copies between machines this is not atomic: two stations can
then both believe that they were first. The set-up screen says so.
"""

from __future__ import annotations

import contextlib
import json
import os
from dataclasses import dataclass
from pathlib import Path

NAME = ".claimed"


@dataclass(frozen=True, slots=True)
class Claim:
    """Who has a job, since when (seconds since 1970)."""

    station: str
    since: float


class CannotClaim(Exception):
    """The job's folder does not take the file: read-only, full, gone."""


def claim(folder: Path, station: str, wall: float) -> Claim:
    """Claim the job for `station` and return whose it is: ours, or the one that came first.

    Raises CannotClaim when the folder cannot be written or read.
    """
    path = folder / NAME
    text = json.dumps({"station": station, "since": wall})
    try:
        descriptor = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644)
    except FileExistsError:
        return holder(folder) or Claim("?", wall)
    except OSError as problem:
        raise CannotClaim(str(problem)) from problem
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    return Claim(station, wall)


def holder(folder: Path) -> Claim | None:
    """Return who has claimed the job, None for nobody; a damaged claim is somebody's: `?`."""
    path = folder / NAME
    try:
        held = json.loads(path.read_text("utf-8"))
        return Claim(str(held["station"]), float(held["since"]))
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError):
        return Claim("?", 0.0)


def release(folder: Path, station: str) -> None:
    """Give the job back, if it is ours."""
    held = holder(folder)
    if held is not None and held.station == station:
        with contextlib.suppress(OSError):
            (folder / NAME).unlink()


def take_over(folder: Path, station: str, wall: float) -> Claim:
    """Claim the job although another has it: a supervisor knows that it no longer works on it.

    Raises CannotClaim when the folder cannot be written.
    """
    try:
        (folder / NAME).unlink(missing_ok=True)
    except OSError as problem:
        raise CannotClaim(str(problem)) from problem
    return claim(folder, station, wall)
