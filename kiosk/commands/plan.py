"""`kiosk plan`: how a job is pressed, for a person or for a program."""

from __future__ import annotations

import json
import sys
from argparse import Namespace

from kiosk.catalog.faces import read_face
from kiosk.commands.codes import CANNOT_BE_PRESSED, DONE, FAULTS
from kiosk.commands.files import write_whole
from kiosk.commands.load import Loaded, load
from kiosk.commands.own_past import PastByRun, own_past
from kiosk.commands.plan_supply import Supply, supply
from kiosk.plan.model import Plan, Refusal
from kiosk.plan.procedure import plan_job


def run(asked: Namespace) -> int:
    """Print the plan of the job, or why it cannot be pressed; write its pick list if asked for."""
    loaded = load(asked.job, asked.recipes)
    if loaded is None:
        return FAULTS
    answer = plan_job(loaded.job, loaded.catalog, read_face())
    if isinstance(answer, Refusal):
        print(_refusal(answer, asked, loaded))
        return CANNOT_BE_PRESSED
    past = own_past(answer, asked.log, loaded.words)
    if past is None:
        return FAULTS
    taken = supply(answer, loaded.job, loaded.catalog)
    if asked.picks is not None and not _written(answer, taken, asked, loaded):
        return FAULTS
    print(_plan(answer, past, taken, asked, loaded))
    return DONE


def _plan(plan: Plan, past: PastByRun, taken: Supply, asked: Namespace, loaded: Loaded) -> str:
    if asked.json:
        from kiosk.commands import plan_json

        return _dumped(plan_json.of_plan(plan, loaded.job, past, taken, asked.names))
    from kiosk.commands import plan_text

    return plan_text.of_plan(plan, loaded, past, taken, asked.names)


def _refusal(refusal: Refusal, asked: Namespace, loaded: Loaded) -> str:
    if asked.json:
        from kiosk.commands import plan_json

        return _dumped(plan_json.of_refusal(refusal))
    from kiosk.commands import plan_text

    return plan_text.of_refusal(refusal, loaded.words)


def _dumped(content: object) -> str:
    return json.dumps(content, ensure_ascii=False, indent=1)


def _written(plan: Plan, taken: Supply, asked: Namespace, loaded: Loaded) -> bool:
    """Write the pick list; False once it was said that it cannot be."""
    from kiosk.commands.pick_page import pick_page

    try:
        write_whole(asked.picks, pick_page(plan, loaded, taken, asked.names))
    except OSError as error:
        why = error.strerror or type(error).__name__
        said = loaded.words("command.cannot_write", path=str(asked.picks), why=why)
        print(said, file=sys.stderr)
        return False
    said = loaded.words("command.plan.picks_written", path=str(asked.picks))
    print(said, file=sys.stderr)
    return True
