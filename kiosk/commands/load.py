"""Prints faults, every one, without a player's name."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from kiosk.catalog.base import Fault
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.read import JobNotFoundError, find_job, read_catalog, read_job
from kiosk.catalog.rules import read_face
from kiosk.plan.procedure import placement_faults
from kiosk.words import Words
from kiosk.words.faults import fault_text


def print_faults(faults: Iterable[Fault], words: Words) -> None:
    """Print each fault on stderr in a line of its own; what stands in a name's cell is left out."""
    for fault in faults:
        print(fault_text(nameless(fault), words), file=sys.stderr)


def nameless(fault: Fault) -> Fault:
    """Return `fault` without what stands in a name's cell, and what it could be instead."""
    if fault.key != "name":
        return fault
    return replace(fault, found="", nearest="", doubt=None)


def wrong(faults: Iterable[Fault]) -> bool:
    """Whether any of `faults` is wrong, not merely a question for a person."""
    return any(not fault.question for fault in faults)


JOBS = Path("shared") / "jobs"


@dataclass(frozen=True, slots=True)
class Loaded:
    """A job that can be planned; `questions` stay open until a person answers them."""

    catalog: Catalog
    job: Job
    questions: tuple[Fault, ...]
    words: Words


def load(name: str, recipes: Path) -> Loaded | None:
    """Return the job called `name` with its catalog; None once its faults are on stderr.

    Questions are printed as well and do not stop a plan: only heat waits for their answer.
    """
    catalog, faults = read_catalog(recipes)
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    try:
        job, job_faults = read_job(find_job(name, JOBS), catalog)
    except JobNotFoundError as error:
        job, job_faults = None, (error.fault,)
    faults = (*faults, *job_faults)
    if job is not None and not wrong(faults):
        faults = (*faults, *placement_faults(job, catalog, read_face()))
    print_faults(faults, words)
    if job is None or wrong(faults):
        return None
    return Loaded(catalog, job, faults, words)
