"""Who has a job: a file in its folder, created exclusively.

A folder that is only synced cannot guarantee that; a row at the shop's server can (`at_server`).
"""

import contextlib
import json
import os
from dataclasses import asdict
from pathlib import Path

from kiosk.catalog.base import Message, dataclass, one_line, read_side_file, why_of
from kiosk.log.store import LogFault, LogHead, NoHead, Store
from kiosk.station.desk.desk import Desk

NAME = ".claimed"
NOBODY_KNOWN = "?"


@dataclass(frozen=True, slots=True)
class Claim:
    """Who has a job, since when (seconds since 1970), and the id of that station's log.

    `head` is the end of that log at the time; `id` and `head` are "" in a claim of an older
    program. For a `shared` job it is the first of several stations.
    """

    station: str
    since: float
    id: str = ""
    head: str = ""
    shared: bool = False


@dataclass(frozen=True, slots=True)
class Claimant:
    """A station that asks for jobs: its name for people, and its log."""

    name: str
    store: Store

    def owns(self, held: Claim) -> bool:
        """Return whether this log made the claim: same id, and it contains the claim's head.

        A claim without an id is known by the station's name.
        """
        if not held.id:
            return held.station == self.name != NOBODY_KNOWN
        return held.id == self.store.station and self._holds(held.head)

    def is_copied_from(self, held: Claim) -> bool:
        """Return whether a copy of this log made the claim after they parted: a cloned tablet."""
        return held.id == self.store.station and not self.owns(held)

    def _holds(self, head: str) -> bool:
        try:
            written = LogHead.read(head)
        except NoHead:
            return False
        try:
            found = self.store.head_at(written.seq)
        except LogFault:
            return False
        return found is not None and found.is_as(written)


class CannotClaim(Exception):
    """The claim file cannot be written: folder read-only, full or gone; `why` is the reason."""

    def __init__(self, why: Message | str) -> None:
        super().__init__(why)
        self.why = why


def claim(folder: Path, station: Claimant, wall: float, shared: bool = False) -> Claim:
    """Claim the job for `station` and return the claim that holds: ours, or an earlier one.

    Raises CannotClaim if the folder cannot be written or read.
    """
    path = folder / NAME
    ours = Claim(station.name, wall, station.store.station, station.store.head.full, shared)
    try:
        descriptor = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644)
    except FileExistsError:
        return holder(folder) or Claim(NOBODY_KNOWN, wall)
    except OSError as problem:
        raise CannotClaim(why_of(problem)) from problem
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            json.dump(asdict(ours), file)
            file.flush()
            os.fsync(file.fileno())
    except OSError as problem:
        with contextlib.suppress(OSError):
            path.unlink()  # a half-written claim would block the job for good
        raise CannotClaim(why_of(problem)) from problem
    return ours


def holder(folder: Path) -> Claim | None:
    """Return who has claimed the job, or None; a damaged claim belongs to `?`."""
    path = folder / NAME
    try:
        held = read_side_file(path)
        return Claim(
            one_line(str(held["station"])),
            float(held["since"]),
            str(held.get("id", "")),
            str(held.get("head", "")),
            held.get("shared") is True,
        )
    except FileNotFoundError:
        return None
    except (ValueError, KeyError, TypeError, OverflowError):
        return Claim(NOBODY_KNOWN, 0.0)


def release(folder: Path, station: Claimant) -> None:
    """Give the job back if it is ours; a shared job is not one station's to give back."""
    held = holder(folder)
    if held is not None and station.owns(held) and not held.shared:
        with contextlib.suppress(OSError):
            (folder / NAME).unlink()


def take_over(folder: Path, station: Claimant, wall: float, shared: bool = False) -> Claim:
    """Take the claim on a job from its holder, on a supervisor's decision; raises CannotClaim."""
    try:
        (folder / NAME).unlink(missing_ok=True)
    except OSError as problem:
        raise CannotClaim(why_of(problem)) from problem
    return claim(folder, station, wall, shared)


def claimant(desk: Desk) -> Claimant:
    """Return this station as one that asks for jobs."""
    return Claimant(desk.identity.station, desk.shell.recorder.store)
