"""`kiosk proof`: every garment of an order as worn, for the customer to look over and sign."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path

from kiosk.catalog.base import PROOF_PAGE
from kiosk.catalog.rules import read_face
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS
from kiosk.commands.load import Loaded, Output, load, looked_at, written
from kiosk.commands.proof_page import proof_page, size_and_doubts
from kiosk.plan.model import Refusal
from kiosk.plan.procedure import plan_job
from kiosk.plan.proof import GarmentProof, proofs


def run(asked: Namespace) -> int:
    """Print a line for each garment; write the page to be signed where one is asked for."""
    loaded = load(asked.job, asked.recipes)
    if loaded is None:
        return FAULTS
    page = [] if asked.html is None else [Output(asked.html, PROOF_PAGE, Path(loaded.job.folder))]
    if refused := looked_at(page, loaded.words):
        return refused
    plan = plan_job(loaded.job, loaded.catalog, read_face())
    if isinstance(plan, Refusal):
        print(loaded.words("command.proof.cannot", panel=plan.panel), file=sys.stderr)
        return CANNOT_BE_PRESSED
    garments = proofs(plan, loaded.job.roster, read_face())
    for output in page:
        if failed := written(output, lambda: proof_page(plan, garments, loaded), loaded.words):
            return failed
        print(loaded.words("command.proof.written", path=str(output.path)), file=sys.stderr)
    print("\n".join(_lines(garments, loaded)))
    return DONE


def _lines(garments: tuple[GarmentProof, ...], loaded: Loaded) -> Iterator[str]:
    words = loaded.words
    yield words("proof.title", title=loaded.job.title)
    yield words("proof.count", garments=len(garments))
    for each in garments:
        line = each.line
        said = (words("picks.label.line", line=line.line), line.set, line.number, line.name)
        yield " · ".join((*(text for text in said if text), *size_and_doubts(each, loaded)))
