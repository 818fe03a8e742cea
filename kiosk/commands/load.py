"""Reads the catalog and a job for a command, or says what is wrong with them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from kiosk.catalog.faces import read_face
from kiosk.catalog.model import Catalog, Fault, Job
from kiosk.catalog.read import JobNotFoundError, find_job, read_catalog, read_job
from kiosk.commands.faults import print_faults, wrong
from kiosk.plan.placement_faults import placement_faults
from kiosk.words import Words

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
