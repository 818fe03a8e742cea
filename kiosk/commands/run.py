"""`kiosk run`: the station on the whole screen; `kiosk demo`: a short shift through its screens."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.commands import DONE, FAULTS, JOBS

if TYPE_CHECKING:
    from kiosk.words import Words


def run(asked: Namespace) -> int:
    """Open the station and stay until its supervisor leaves it, or play the demo."""
    return _demo(asked) if asked.command == "demo" else _station(asked)


def _station(asked: Namespace) -> int:
    """What is read of the shop for words is read only where there is something to say."""
    from kiosk.log import default_log
    from kiosk.log.store import LogFault
    from kiosk.station.glass.open import run_station  # a window: only once it is wanted

    def words() -> Words:
        from kiosk.commands.load import shop_words

        return shop_words(asked)

    def progress(done: int, of: int) -> None:
        from kiosk.commands.load import telling

        telling(words)(done, of)

    job = None if asked.job is None else _wanted(asked.job, words)
    if asked.job is not None and job is None:
        return FAULTS
    try:
        mended = run_station(asked.recipes, JOBS, asked.log or default_log(), job, progress)
    except LogFault as fault:
        print(words().say(fault.message), file=sys.stderr)
        return FAULTS
    if mended is not None:
        print(words().say(mended.message), file=sys.stderr)
    return DONE


def _wanted(name: str, words: Callable[[], Words]) -> Path | None:
    """Return the folder of a job, None once it was said that there is none."""
    from kiosk.catalog.read import JobNotFoundError, find_job
    from kiosk.commands.load import print_faults

    try:
        return find_job(name, JOBS)
    except JobNotFoundError as error:
        print_faults((error.fault,), words())
        return None


def _demo(asked: Namespace) -> int:
    """Play the demo on copies of recipes and jobs; print the path of each picture."""
    from kiosk.catalog.read import list_jobs, read_catalog
    from kiosk.commands.load import print_faults, wrong
    from kiosk.station.demo.play import BY_NAME, LOOKS, DemoFailed, play
    from kiosk.words import Words

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
