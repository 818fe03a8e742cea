"""`kiosk run`: the station on the whole screen; `kiosk demo`: a short shift through its screens."""

import sys
from argparse import Namespace
from functools import partial
from pathlib import Path

from kiosk.catalog.read import JobNotFoundError, find_job, list_jobs, read_catalog
from kiosk.commands import DONE, FAULTS
from kiosk.commands.load import JOBS, print_faults, shop_words, telling, wrong
from kiosk.log import default_log
from kiosk.log.store import LogFault
from kiosk.words import Words


def run(asked: Namespace) -> int:
    """Open the station and stay until its supervisor leaves it, or play the demo."""
    return _demo(asked) if asked.command == "demo" else _station(asked)


def _station(asked: Namespace) -> int:
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


def _demo(asked: Namespace) -> int:
    """Play the demo on copies of recipes and jobs; print the path of each picture."""
    from kiosk.station.demo.play import BY_NAME, LOOKS, DemoFailed, play

    catalog, faults = read_catalog(asked.recipes)
    words = Words(catalog.station.language)
    print_faults(faults, words)
    if wrong(faults):
        return FAULTS
    if not list_jobs(JOBS):
        print(words("command.demo.no_jobs", jobs=str(JOBS)), file=sys.stderr)
        return FAULTS
    if asked.shots is not None and not _can_write(asked.shots, words):
        return FAULTS
    try:
        looks = (BY_NAME[asked.size],) if asked.size else LOOKS
        play(asked.recipes, JOBS, asked.shots, partial(print, flush=True), looks)
    except DemoFailed as failed:
        print(failed, file=sys.stderr)
        return FAULTS
    return DONE


def _can_write(folder: Path, words: Words) -> bool:
    """Make the pictures' folder, or say why not before anything is played."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = error.strerror or type(error).__name__
        print(words("command.cannot_write", path=str(folder), why=why), file=sys.stderr)
        return False
    return True
