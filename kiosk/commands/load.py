"""What commands read and write: shop, job and output files; `kiosk check` reads everything."""

import sys
from argparse import Namespace
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import (
    Fault,
    FileKind,
    Message,
    Notes,
    NotOurFile,
    behind_links,
    dataclass,
    folder_problem,
    must_be_free,
    must_be_own,
    say,
    surely,
    why_of,
    write_own,
)
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.read import JobNotFoundError, find_job, list_jobs, read_catalog, read_job
from kiosk.catalog.roster import JOB_FILE, note_named_file, twins
from kiosk.catalog.rules import read_face
from kiosk.catalog.sheets import holes
from kiosk.commands import DONE, FAULTS, JOBS, USAGE
from kiosk.plan.place import part_lines
from kiosk.plan.procedure import job_bed, placement_faults
from kiosk.plan.sources import shop_sources
from kiosk.words import Words, fault_text


def print_faults(faults: Iterable[Fault], words: Words) -> None:
    """Print each fault on its own line on stderr, without the contents of name cells."""
    for fault in faults:
        print(fault_text(nameless(fault), words), file=sys.stderr)


def nameless(fault: Fault) -> Fault:
    """Return `fault` without the contents of a name's cell and its suggested values.

    A comment on a cell, or a remark, may hold a name too.
    """
    if fault.key != "name" and fault.cause not in {"comments", "remarks", "remark"}:
        return fault
    return replace(fault, found="", nearest="", doubt=None)


def has_error(faults: Iterable[Fault]) -> bool:
    """Whether any of `faults` is an error, not merely a question for a person."""
    return any(not fault.question for fault in faults)


@dataclass(frozen=True, slots=True)
class LoadedJob:
    """A job that can be planned; `questions` stay open until a person answers them."""

    catalog: Catalog
    job: Job
    questions: tuple[Fault, ...]
    words: Words


def load(name: str, recipes: Path) -> LoadedJob | None:
    """Return the job and its catalog, questions printed; None if faults were printed on stderr."""
    catalog, faults = read_catalog(recipes)
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    try:
        job, job_faults = read_job(find_job(name, JOBS), catalog)
    except JobNotFoundError as error:
        job, job_faults = None, (error.fault,)
    faults = (*faults, *job_faults)
    if job is not None and not has_error(faults):
        faults = (*faults, *placement_faults(job, catalog, read_face()))
    print_faults(faults, words)
    if job is None or has_error(faults):
        return None
    return LoadedJob(catalog, job, faults, words)


def shop_words(options: Namespace) -> Words:
    """Return the shop's language; English if no recipes folder can be read."""
    return Words(read_catalog(options.recipes)[0].station.language)


MANY = 5_000  # fewer events are read too fast for progress to be shown


def progress_to_stderr(words: Callable[[], Words]) -> Callable[[int, int], None]:
    """Return a callback that prints on stderr how far a long record has been read."""

    def tell(done: int, total: int) -> None:
        if total >= MANY:
            print(
                words()("command.telling", percent=100 * done // total), file=sys.stderr, flush=True
            )

    return tell


def messages_to_stderr(words: Words) -> Callable[[Message], None]:
    """Return a function that prints a message on stderr."""
    return lambda message: print(words.say(message), file=sys.stderr, flush=True)


@dataclass(frozen=True, slots=True)
class Output:
    """An output file; `names_of` is the folder of the job whose names it contains."""

    path: Path
    kind: FileKind
    names_of: Path | None = None


def check_outputs(outputs: Iterable[Output], words: Words) -> int:
    """Return DONE if every file can be written; otherwise print why not and return 2 or 1."""
    places: set[Path] = set()

    def check() -> None:
        for each in outputs:
            must_be_own(each.path, each.kind)
            place = behind_links(each.path)
            if place in places:
                raise NotOurFile(say("command.twice", path=str(each.path)))
            places.add(place)

    return _done_or_fault(check, words)


def is_free(output: Output, words: Words) -> int:
    """Return DONE if the output's path is free; otherwise print what is there and return 2 or 1."""
    return _done_or_fault(lambda: must_be_free(output.path, output.kind), words, output.path)


def write_output(
    output: Output, make: Callable[[], str | bytes | Iterable[bytes]], words: Words
) -> int:
    """Write the file and return DONE, or print why it cannot be written and return 2 or 1."""

    def write_content() -> None:
        content = make()
        if output.names_of is not None:  # first: a crash must not leave an unlisted file
            note_named_file(output.names_of, output.path)
        write_own(output.path, output.kind, content, output.names_of is not None)

    return _done_or_fault(write_content, words, output.path)


def _done_or_fault(act: Callable[[], None], words: Words, path: Path | None = None) -> int:
    try:
        act()
    except NotOurFile as problem:
        print(words.say(problem.message), file=sys.stderr)
        return USAGE
    except OSError as problem:
        file_name = str(path or problem.filename or "")
        print(words("command.cannot_write", path=file_name, why=why_of(problem)), file=sys.stderr)
        return FAULTS
    return DONE


DEEPEST = 3  # levels of folders: shared, a year, a season
CATALOG_FILES = ("materials.yaml", "fabrics.yaml", "shop.yaml")


def run(options: Namespace) -> int:
    """Check the paths given; an open question counts as a fault here.

    Jobs are read against the first recipes folder among the paths, or else against --recipes.
    """
    jobs, folders = _sort_out(options.paths) if options.paths else (list(list_jobs(JOBS)), [])
    unreadable = () if options.paths else _unreadable_folder(JOBS)
    catalogs = [read_catalog(folder) for folder in folders or [options.recipes]]
    catalog = catalogs[0][0]
    read_jobs = [_read_job(job, catalog) for job in jobs]
    faults = [
        *unreadable,
        *_flat(faults for _, faults in catalogs),
        *_flat(faults for _, faults in read_jobs),
    ]
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    for job, _ in read_jobs:
        if job is not None:
            print_notices(job, catalog, words)
    for each, _ in catalogs:
        for line in holes(each.materials.values()):
            print(words.say(line))
    print_faults(faults, words)
    if faults:
        return FAULTS
    for each, _ in catalogs:
        for line in shop_sources(each):
            print(words.say(line))
    recipe_count = sum(len(each.recipes) for each, _ in catalogs)
    print(words("command.check.clean", recipes=recipe_count, jobs=len(jobs)))
    return DONE


def _unreadable_folder(jobs: Path) -> tuple[Fault, ...]:
    """Return the fault that a folder of jobs exists but cannot be read, if so."""
    notes, why = Notes(str(jobs)), folder_problem(jobs)
    if why is not None:
        notes.add(why)
    return notes.faults


def _sort_out(paths: Sequence[Path]) -> tuple[list[Path], list[Path]]:
    """Return the jobs and the recipes folders among `paths`."""
    jobs: list[Path] = []
    folders: list[Path] = []
    for path in paths:
        if _is_recipes(path):
            folders.append(path)
        elif surely(path.is_file) and path.name != JOB_FILE and _is_recipes(path.parent):
            folders.append(path.parent)
        elif surely((path / JOB_FILE).exists):
            jobs.append(path)
        else:
            jobs += _jobs_below(path, DEEPEST) or [path]
    return jobs, list(dict.fromkeys(folders))


def _jobs_below(path: Path, levels: int) -> list[Path]:
    """Return the job folders in a folder, or in its subfolders down to `levels`."""
    found = list(list_jobs(path))
    if levels and not found:
        for folder in sorted(_folders(path)):
            found += _jobs_below(folder, levels - 1)
    return found


def _folders(path: Path) -> list[Path]:
    try:
        return [p for p in path.iterdir() if p.is_dir() and not p.name.startswith(".")]
    except OSError:  # missing or unreadable
        return []


def _is_recipes(path: Path) -> bool:
    return any(surely((path / name).is_file) for name in CATALOG_FILES)


def _read_job(job: Path, catalog: Catalog) -> tuple[Job | None, tuple[Fault, ...]]:
    """Return a job given as a path or by its name under shared/jobs, with its faults."""
    try:
        is_path = surely(job.exists) or len(job.parts) > 1
        read, faults = read_job(job if is_path else find_job(str(job), JOBS), catalog)
    except JobNotFoundError as error:
        return None, (error.fault,)
    if read is None:
        return None, faults
    return read, (*faults, *placement_faults(read, catalog, read_face()))


def _flat(faults: Iterable[tuple[Fault, ...]]) -> list[Fault]:
    return [fault for some in faults for fault in some]


def print_notices(job: Job, catalog: Catalog, words: Words) -> None:
    """Print how unusual column headings were read, twin numbers, and panel parts.

    A panel that is too long for the platen is pressed in parts.
    """
    columns = [each for each in job.columns if each.header]
    used = tuple(
        words("command.check.taken", header=each.header, field=each.field)
        for each in columns
        if each.field
    )
    unused = tuple(each.header for each in columns if not each.field)
    if unused or any(each.header.casefold() != each.field for each in columns):
        print(words("command.check.columns", file=job.folder, taken=used))
    if unused:
        print(words("command.check.columns_left", file=job.folder, left=unused))
    pairs = tuple(" / ".join(pair) for pair in twins({line.number for line in job.roster}))
    if pairs:
        print(words("command.check.twins", file=job.folder, pairs=pairs))
    for line in part_lines(job_bed(job, catalog), job.roster, read_face()):
        print(f"{job.folder}: {words.say(line)}")
