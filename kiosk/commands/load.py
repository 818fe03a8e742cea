"""What commands read and write: the shop, a job with its faults, the files asked for."""

import sys
from argparse import Namespace
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import (
    Fault,
    Kind,
    NotOwn,
    behind_links,
    dataclass,
    must_be_free,
    must_be_own,
    say,
    write_own,
)
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.read import JobNotFoundError, find_job, read_catalog, read_job
from kiosk.catalog.roster import note_named_file
from kiosk.catalog.rules import read_face
from kiosk.commands import DONE, FAULTS, JOBS, USAGE
from kiosk.plan.procedure import placement_faults
from kiosk.words import Words, fault_text


def print_faults(faults: Iterable[Fault], words: Words) -> None:
    """Print each fault on stderr in a line of its own; what stands in a name's cell is left out."""
    for fault in faults:
        print(fault_text(nameless(fault), words), file=sys.stderr)


def nameless(fault: Fault) -> Fault:
    """Return `fault` without what stands in a name's cell, and what it could be instead."""
    if fault.key != "name":
        return fault
    return replace(fault, found="", nearest="", doubt=None)


def wrong(faults: Iterable[Fault]) -> bool:
    """Whether any of `faults` is wrong, not merely a question for a person."""
    return any(not fault.question for fault in faults)


@dataclass(frozen=True, slots=True)
class Loaded:
    """A job that can be planned; `questions` stay open until a person answers them."""

    catalog: Catalog
    job: Job
    questions: tuple[Fault, ...]
    words: Words


def load(name: str, recipes: Path) -> Loaded | None:
    """Return the job `name` and its catalog, questions printed; None once faults are on stderr."""
    catalog, faults = read_catalog(recipes)
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    try:
        job, job_faults = read_job(find_job(name, JOBS), catalog)
    except JobNotFoundError as error:
        job, job_faults = None, (error.fault,)
    faults = (*faults, *job_faults)
    if job is not None and not wrong(faults):
        faults = (*faults, *placement_faults(job, catalog, read_face()))
    print_faults(faults, words)
    if job is None or wrong(faults):
        return None
    return Loaded(catalog, job, faults, words)


def shop_words(asked: Namespace) -> Words:
    """Return the shop's language; English where no recipes folder can be read."""
    return Words(read_catalog(asked.recipes)[0].station.language)


MANY = 5_000  # events below which nobody waits


def telling(words: Callable[[], Words]) -> Callable[[int, int], None]:
    """Return what prints on stderr how much of a long record is read."""

    def tell(done: int, of: int) -> None:
        if of >= MANY:
            print(words()("command.telling", percent=100 * done // of), file=sys.stderr, flush=True)

    return tell


@dataclass(frozen=True, slots=True)
class Output:
    """A file that is asked for; `names_of` is the folder of the job whose names are in it."""

    path: Path
    kind: Kind
    names_of: Path | None = None


def looked_at(outputs: Iterable[Output], words: Words) -> int:
    """Return DONE where every file can be written, else print what stands there: 2, or 1."""
    places: set[Path] = set()

    def look() -> None:
        for each in outputs:
            must_be_own(each.path, each.kind)
            place = behind_links(each.path)
            if place in places:
                raise NotOwn(say("command.twice", path=str(each.path)))
            places.add(place)

    return _told(look, words)


def is_free(output: Output, words: Words) -> int:
    """Return DONE where nothing stands at the output's path, else print what: 2, or 1."""
    return _told(lambda: must_be_free(output.path, output.kind), words, output.path)


def written(output: Output, made: Callable[[], str | bytes | Iterable[bytes]], words: Words) -> int:
    """Write the file; return DONE, or 2 or 1 once it was said why it cannot be."""

    def write() -> None:
        content = made()
        if output.names_of is not None:  # first: a file that nothing knows of would stay for ever
            note_named_file(output.names_of, output.path)
        write_own(output.path, output.kind, content, output.names_of is not None)

    return _told(write, words, output.path)


def _told(act: Callable[[], None], words: Words, path: Path | None = None) -> int:
    try:
        act()
    except NotOwn as problem:
        print(words.say(problem.message), file=sys.stderr)
        return USAGE
    except OSError as problem:
        why = problem.strerror or type(problem).__name__
        named = str(path or problem.filename or "")
        print(words("command.cannot_write", path=named, why=why), file=sys.stderr)
        return FAULTS
    return DONE
