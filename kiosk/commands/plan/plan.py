"""`kiosk plan`: how a job is pressed, for people or other programs."""

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from importlib.util import find_spec
from pathlib import Path

from kiosk.catalog.base import PICK_PAGE, PICTURE, PLAN_PAGE
from kiosk.catalog.rules import read_face
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS, USAGE
from kiosk.commands.load import LoadedJob, Output, check_outputs, load, written
from kiosk.commands.plan.supply import PastByRun, Supply, supply
from kiosk.log import default_log
from kiosk.plan.model import PanelRefusal, Plan
from kiosk.plan.procedure import plan_job
from kiosk.plan.time import past_by_run
from kiosk.words import Words


def run(asked: Namespace) -> int:
    """Print the job's plan, or why it cannot be pressed; write the files asked for."""
    if (asked.html or asked.png) and not find_spec("matplotlib"):
        print(Words()("command.plan.no_pictures"), file=sys.stderr)
        return USAGE
    loaded = load(asked.job, asked.recipes)
    if loaded is None:
        return FAULTS
    if refused := check_outputs((output for output, _ in _wanted(asked, loaded)), loaded.words):
        return refused
    answer = plan_job(loaded.job, loaded.catalog, read_face())
    if isinstance(answer, PanelRefusal):
        print(_refusal(answer, asked, loaded))
        return CANNOT_BE_PRESSED
    past = own_past(answer, asked.log, loaded.words)
    if past is None:
        return FAULTS
    taken = supply(answer, loaded.job, loaded.catalog)
    for output, said in _wanted(asked, loaded):
        made = partial(MAKERS[said], answer, loaded, past, taken, asked.names)
        if failed := written(output, made, loaded.words):
            return failed
        print(loaded.words(f"command.plan.{said}_written", path=str(output.path)), file=sys.stderr)
    print(_plan(answer, past, taken, asked, loaded))
    return DONE


def _plan(plan: Plan, past: PastByRun, taken: Supply, asked: Namespace, loaded: LoadedJob) -> str:
    if asked.json:
        from kiosk.commands.plan import as_json as plan_json

        return _dumped(plan_json.of_plan(plan, loaded.job, past, taken, asked.names))
    from kiosk.commands.plan import text as plan_text

    return plan_text.of_plan(plan, loaded, past, taken, asked.names)


def _refusal(refusal: PanelRefusal, asked: Namespace, loaded: LoadedJob) -> str:
    if asked.json:
        from kiosk.commands.plan import as_json as plan_json

        return _dumped(plan_json.of_refusal(refusal))
    from kiosk.commands.plan import text as plan_text

    return plan_text.of_refusal(refusal, loaded.words)


def _dumped(content: object) -> str:
    return json.dumps(content, ensure_ascii=False, indent=1)


def _wanted(asked: Namespace, loaded: LoadedJob) -> Iterator[tuple[Output, str]]:
    """Yield the files asked for, each with the key of its maker and message."""
    if asked.picks is not None:
        names_of = Path(loaded.job.folder) if asked.names else None
        yield Output(asked.picks, PICK_PAGE, names_of), "picks"
    if asked.html is not None:
        yield Output(asked.html, PLAN_PAGE), "page"
    if asked.png is not None:
        yield Output(asked.png, PICTURE), "picture"


def _picks(plan: Plan, loaded: LoadedJob, _: PastByRun, taken: Supply, names: bool) -> str:
    from kiosk.commands.plan.page import pick_page

    return pick_page(plan, loaded, taken, names)


def _page(plan: Plan, loaded: LoadedJob, past: PastByRun, taken: Supply, _: bool) -> str:
    from kiosk.commands.plan.page import plan_page

    return plan_page(plan, loaded, past, taken)


def _picture(plan: Plan, loaded: LoadedJob, _: PastByRun, __: Supply, ___: bool) -> bytes:
    from kiosk.commands.plan.picture import png

    return png(plan, loaded.words)


Maker = Callable[[Plan, LoadedJob, PastByRun, Supply, bool], str | bytes]
MAKERS: Mapping[str, Maker] = {"picks": _picks, "page": _page, "picture": _picture}


def own_past(plan: Plan, log: Path | None, words: Words) -> PastByRun | None:
    """Return the shop's own cycles by run of `plan`, empty if there is no record yet.

    If a record cannot be read, stderr says why; None if it is the record that was asked for.
    """
    path = log or default_log()
    if log is None and not path.exists():
        return {}
    from kiosk.log.facts import cycles  # slow to import
    from kiosk.log.store import LogFault, Store

    try:
        with Store.read_only(path) as store:
            return past_by_run(plan, cycles(store))
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return None if log is not None else {}
