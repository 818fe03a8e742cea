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
from kiosk.commands.load import LoadedJob, Output, check_outputs, load, write_output
from kiosk.commands.plan.supply import PastByRun, Supply, supply_of
from kiosk.log import default_log
from kiosk.plan.model import PanelRefusal, Plan
from kiosk.plan.procedure import plan_job
from kiosk.plan.time import past_by_run
from kiosk.words import Words


def run(options: Namespace) -> int:
    """Print the job's plan, or why it cannot be pressed; write the files asked for."""
    if (options.html or options.png) and not find_spec("matplotlib"):
        print(Words()("command.plan.no_pictures"), file=sys.stderr)
        return USAGE
    loaded = load(options.job, options.recipes)
    if loaded is None:
        return FAULTS
    if refused := check_outputs((output for output, _ in _outputs(options, loaded)), loaded.words):
        return refused
    answer = plan_job(loaded.job, loaded.catalog, read_face())
    if isinstance(answer, PanelRefusal):
        print(_refusal(answer, options, loaded))
        return CANNOT_BE_PRESSED
    past = own_past(answer, options.log, loaded.words)
    if past is None:
        return FAULTS
    supply = supply_of(answer, loaded.job, loaded.catalog)
    for output, kind in _outputs(options, loaded):
        make = partial(MAKERS[kind], answer, loaded, past, supply, options.names)
        if failed := write_output(output, make, loaded.words):
            return failed
        print(loaded.words(f"command.plan.{kind}_written", path=str(output.path)), file=sys.stderr)
    print(_plan(answer, past, supply, options, loaded))
    return DONE


def _plan(
    plan: Plan, past: PastByRun, supply: Supply, options: Namespace, loaded: LoadedJob
) -> str:
    if options.json:
        from kiosk.commands.plan import as_json as plan_json

        return _json_text(plan_json.of_plan(plan, loaded.job, past, supply, options.names))
    from kiosk.commands.plan import text as plan_text

    return plan_text.of_plan(plan, loaded, past, supply, options.names)


def _refusal(refusal: PanelRefusal, options: Namespace, loaded: LoadedJob) -> str:
    if options.json:
        from kiosk.commands.plan import as_json as plan_json

        return _json_text(plan_json.of_refusal(refusal))
    from kiosk.commands.plan import text as plan_text

    return plan_text.of_refusal(refusal, loaded.words)


def _json_text(content: object) -> str:
    return json.dumps(content, ensure_ascii=False, indent=1)


def _outputs(options: Namespace, loaded: LoadedJob) -> Iterator[tuple[Output, str]]:
    """Yield the files asked for, each with the key of its maker and message."""
    if options.picks is not None:
        names_of = Path(loaded.job.folder) if options.names else None
        yield Output(options.picks, PICK_PAGE, names_of), "picks"
    if options.html is not None:
        yield Output(options.html, PLAN_PAGE), "page"
    if options.png is not None:
        yield Output(options.png, PICTURE), "picture"


def _picks(plan: Plan, loaded: LoadedJob, _: PastByRun, supply: Supply, names: bool) -> str:
    from kiosk.commands.plan.page import pick_page

    return pick_page(plan, loaded, supply, names)


def _page(plan: Plan, loaded: LoadedJob, past: PastByRun, supply: Supply, _: bool) -> str:
    from kiosk.commands.plan.page import plan_page

    return plan_page(plan, loaded, past, supply)


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
