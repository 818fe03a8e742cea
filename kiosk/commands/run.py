"""`kiosk run`: the station on the whole screen."""

import sys
from argparse import Namespace

from kiosk.catalog.read import JobNotFoundError, find_job
from kiosk.commands import DONE, FAULTS
from kiosk.commands.load import JOBS, print_faults, shop_words, telling
from kiosk.log import default_log
from kiosk.log.store import LogFault


def run(asked: Namespace) -> int:
    """Open the station and stay until its supervisor leaves it."""
    words = shop_words(asked)
    try:
        job = None if asked.job is None else find_job(asked.job, JOBS)
    except JobNotFoundError as error:
        print_faults((error.fault,), words)
        return FAULTS
    from kiosk.station.glass.open import run_station  # a window: only once it is wanted

    try:
        log = asked.log or default_log()
        mended = run_station(asked.recipes, JOBS, log, job, telling(words))
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS
    if mended is not None:
        print(words.say(mended.message), file=sys.stderr)
    return DONE
