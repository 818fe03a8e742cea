"""`kiosk demo`: a short shift through the real screens, with pictures where asked."""

import sys
from argparse import Namespace
from functools import partial
from pathlib import Path

from kiosk.catalog.read import list_jobs, read_catalog
from kiosk.commands import DONE, FAULTS
from kiosk.commands.load import JOBS, print_faults, wrong
from kiosk.station.demo.play import BY_NAME, LOOKS, DemoFailed, play
from kiosk.words import Words


def run(asked: Namespace) -> int:
    """Play the demo on copies of recipes and jobs; print the path of each picture."""
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
