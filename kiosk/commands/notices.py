"""Prints what a person confirms at a glance about a roster: no fault, and no question."""

from __future__ import annotations

from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.rules import read_face
from kiosk.commands.plan.supply import twins
from kiosk.plan.place import told_parts
from kiosk.plan.procedure import job_bed
from kiosk.words import Words


def print_notices(job: Job, catalog: Catalog, words: Words) -> None:
    """Print which column was taken for what, unless each is headed so, the twins, and the parts.

    Parts are those of a panel that is too long for the platen.
    """
    columns = [each for each in job.columns if each.header]
    taken = tuple(
        words("command.check.taken", header=each.header, field=each.field)
        for each in columns
        if each.field
    )
    left = tuple(each.header for each in columns if not each.field)
    if left or any(each.header.casefold() != each.field for each in columns):
        print(words("command.check.columns", file=job.folder, taken=taken))
    if left:
        print(words("command.check.columns_left", file=job.folder, left=left))
    pairs = tuple(" / ".join(pair) for pair in twins(job.roster))
    if pairs:
        print(words("command.check.twins", file=job.folder, pairs=pairs))
    for told in told_parts(job_bed(job, catalog), job.roster, read_face()):
        print(f"{job.folder}: {words.say(told)}")
