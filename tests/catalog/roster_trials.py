"""Helpers that put rosters in job folders and read them."""

from __future__ import annotations

from pathlib import Path

from catalog_folders import ids, only, read_roster

from kiosk.catalog.base.notes import Fault
from kiosk.catalog.model.orders import Job, RosterLine

HEADER = "line,size,name,number\n"


def sound(tmp_path: Path, roster: bytes | str) -> tuple[RosterLine, ...]:
    """Return the lines of a roster without faults or questions."""
    job, faults = read_roster(tmp_path, roster)
    assert not faults, ids(faults)
    assert job is not None
    return job.roster


def one_question(tmp_path: Path, roster: bytes | str) -> tuple[Job, Fault]:
    """Return the job and the one question about it."""
    job, faults = read_roster(tmp_path, roster)
    assert only(faults).question
    assert job is not None
    return job, faults[0]


def refused(tmp_path: Path, roster: bytes | str) -> Fault:
    """Return the only fault, because of which there is no job."""
    job, faults = read_roster(tmp_path, roster)
    assert not only(faults).question
    assert job is None
    return faults[0]
