"""`kiosk plan`: how a job is pressed, for a person or for a program."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path

from kiosk.catalog.faces import read_face
from kiosk.commands.codes import CANNOT_BE_PRESSED, DONE, FAULTS, USAGE
from kiosk.commands.files import write_whole
from kiosk.commands.load import Loaded, load
from kiosk.commands.own_past import PastByRun, own_past
from kiosk.commands.plan_supply import Supply, supply
from kiosk.plan.model import Plan, Refusal
from kiosk.plan.procedure import plan_job
from kiosk.words import Words


def run(asked: Namespace) -> int:
    """Print the plan of the job, or why it cannot be pressed; write the files asked for."""
    if (asked.html or asked.png) and not find_spec("matplotlib"):
        print(Words()("command.plan.no_pictures"), file=sys.stderr)
        return USAGE
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
    for path, made, said in _files(answer, past, taken, asked, loaded):
        if not _written(path, made, said, loaded.words):
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


Made = Callable[[], str | bytes]


def _files(
    plan: Plan, past: PastByRun, taken: Supply, asked: Namespace, loaded: Loaded
) -> Iterator[tuple[Path, Made, str]]:
    """Yield the files asked for: where, what makes its content, and what is said of it."""
    if asked.picks is not None:
        from kiosk.commands.pick_page import pick_page

        yield asked.picks, lambda: pick_page(plan, loaded, taken, asked.names), "picks"
    if asked.html is not None:
        from kiosk.commands.plan_page import plan_page

        yield asked.html, lambda: plan_page(plan, loaded, past, taken), "page"
    if asked.png is not None:
        from kiosk.commands.plan_picture import png

        yield asked.png, lambda: png(plan, loaded.words), "picture"


def _written(path: Path, made: Made, said: str, words: Words) -> bool:
    """Write a file; False once it was said that it cannot be."""
    try:
        write_whole(path, made())
    except OSError as error:
        why = error.strerror or type(error).__name__
        print(words("command.cannot_write", path=str(path), why=why), file=sys.stderr)
        return False
    print(words(f"command.plan.{said}_written", path=str(path)), file=sys.stderr)
    return True
