"""`kiosk simulate`: a made-up operator, the real state machine, the real log, simulated time."""

import sys
from argparse import Namespace
from pathlib import Path

from kiosk.catalog.read import line_digest
from kiosk.catalog.rules import read_face
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS
from kiosk.commands.load import Loaded, load, telling
from kiosk.commands.plan import text as plan_text
from kiosk.log import default_log
from kiosk.log.record import start
from kiosk.log.store import LogFault, now
from kiosk.peel.worker import follow
from kiosk.plan.fingerprint import fingerprint
from kiosk.plan.model import Plan, Refusal
from kiosk.plan.procedure import plan_job
from kiosk.plan.time import in_order
from kiosk.run.state import Garment, rules_of
from kiosk.train.made_up_operator import Order, simulate


def run(asked: Namespace) -> int:
    """Press the job in simulated time; go on where the log left off."""
    loaded = load(asked.job, asked.recipes)
    if loaded is None:
        return FAULTS
    plan = plan_job(loaded.job, loaded.catalog, read_face())
    if isinstance(plan, Refusal):
        print(plan_text.of_refusal(plan, loaded.words))
        return CANNOT_BE_PRESSED
    path = asked.log or default_simulated_log()
    try:
        made = _simulate(asked, order_of(loaded, plan), path, loaded)
    except LogFault as fault:
        print(loaded.words.say(fault.message), file=sys.stderr)
        return FAULTS
    if not asked.acks:
        print(loaded.words("command.simulate.made", count=made, path=str(path)))
    return DONE


def default_simulated_log() -> Path:
    """Return where a simulation is recorded: beside the station's log, never in it."""
    return default_log().with_name("simulated.sqlite3")


def order_of(loaded: Loaded, plan: Plan) -> Order:
    """Return the job as the log may know it, no name, in the order of work."""
    return Order(
        loaded.job.key,
        plan,
        fingerprint(plan),
        tuple(
            Garment(line.line, line.number, line.size, line_digest(line), line.set)
            for line in in_order(loaded.job.roster).garments
        ),
        rules_of(loaded.catalog.policy, loaded.catalog.presses[loaded.job.press]),
        loaded.job.due,
        loaded.job.lots,
    )


def _simulate(asked: Namespace, order: Order, path: Path, loaded: Loaded) -> int:
    recorder, mended = start(path, now(), simulated=True, progress=telling(lambda: loaded.words))
    try:
        if mended is not None:
            print(loaded.words.say(mended.message), file=sys.stderr)
        acks = _acknowledge if asked.acks else _stay_quiet
        return simulate(recorder, order, asked.seed, asked.garments, acks, follow=follow)
    finally:
        recorder.close()


def _acknowledge(seq: int) -> None:
    print(seq, flush=True)


def _stay_quiet(seq: int) -> None:
    pass
