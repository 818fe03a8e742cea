"""A job's sizes and places as questions of its files: before heat, a person answers them."""

from __future__ import annotations

from kiosk.catalog.base import Fault
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.rules import Face
from kiosk.plan.place.questions import place_questions, size_faults
from kiosk.plan.procedure import job_bed


def placement_faults(job: Job, catalog: Catalog, face: Face) -> tuple[Fault, ...]:
    """Return what does not fit, and what breaks the rule on heights that the job names."""
    bed = job_bed(job, catalog)
    asked = [("recipe", each) for each in place_questions(bed, job.roster, face)]
    rule = catalog.size_rules.get(job.size_rule)
    if rule is not None:
        broken = size_faults(bed, (line.size for line in job.roster), rule)
        asked += [("size_rule", each) for each in broken]
    return tuple(Fault(job.folder, 0, key, message, question=True) for key, message in asked)
