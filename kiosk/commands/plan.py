"""`kiosk plan`: how a job is pressed, for a person or for a program."""

from __future__ import annotations

import json
from argparse import Namespace

from kiosk.commands.codes import CANNOT_BE_PRESSED, DONE, FAULTS
from kiosk.commands.load import load
from kiosk.plan.model import Refusal
from kiosk.plan.procedure import plan_job


def run(asked: Namespace) -> int:
    """Print the plan of the job, or why it cannot be pressed."""
    loaded = load(asked.job, asked.recipes)
    if loaded is None:
        return FAULTS
    answer = plan_job(loaded.job, loaded.catalog)
    if asked.json:
        from kiosk.commands import plan_json

        shown = json.dumps(
            plan_json.of_refusal(answer)
            if isinstance(answer, Refusal)
            else plan_json.of_plan(answer, loaded.job, asked.names),
            ensure_ascii=False,
            indent=1,
        )
    else:
        from kiosk.commands import plan_text

        shown = (
            plan_text.of_refusal(answer, loaded.words)
            if isinstance(answer, Refusal)
            else plan_text.of_plan(answer, loaded, asked.names)
        )
    print(shown)
    return CANNOT_BE_PRESSED if isinstance(answer, Refusal) else DONE
