"""`kiosk check`: reads recipes and jobs, prints every fault, and how each roster was read."""

from argparse import Namespace
from collections.abc import Iterable, Sequence
from pathlib import Path

from kiosk.catalog.base import Fault
from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.read import JobNotFoundError, find_job, list_jobs, read_catalog, read_job
from kiosk.catalog.roster import JOB_FILE
from kiosk.catalog.rules import read_face
from kiosk.commands import DONE, FAULTS, JOBS
from kiosk.commands.load import print_faults
from kiosk.commands.plan.supply import twins
from kiosk.plan.place import told_parts
from kiosk.plan.procedure import job_bed, placement_faults
from kiosk.plan.sources import shop_sources
from kiosk.words import Words

DEEPEST = 3  # folders of folders: what is shared, the shop's years, a season
CATALOG_FILES = ("materials.yaml", "fabrics.yaml", "shop.yaml")


def run(asked: Namespace) -> int:
    """Check what was asked for; a question is one more thing to settle, so it counts.

    Jobs are read against the first recipes folder among the paths, without one against
    --recipes.
    """
    jobs, folders = _sort_out(asked.paths) if asked.paths else (list(list_jobs(JOBS)), [])
    read = [read_catalog(folder) for folder in folders or [asked.recipes]]
    catalog = read[0][0]
    read_jobs = [_read_job(job, catalog) for job in jobs]
    faults = [*_each(faults for _, faults in read), *_each(faults for _, faults in read_jobs)]
    words = Words(catalog.station.language, metric=catalog.station.millimetres)
    for found, _ in read_jobs:
        if found is not None:
            print_notices(found, catalog, words)
    print_faults(faults, words)
    if faults:
        return FAULTS
    for each, _ in read:
        for line in shop_sources(each):
            print(words.say(line))
    recipes = sum(len(each.recipes) for each, _ in read)
    print(words("command.check.clean", recipes=recipes, jobs=len(jobs)))
    return DONE


def _sort_out(paths: Sequence[Path]) -> tuple[list[Path], list[Path]]:
    """Return the jobs and the recipes folders among `paths`."""
    jobs: list[Path] = []
    folders: list[Path] = []
    for path in paths:
        if _is_recipes(path):
            folders.append(path)
        elif path.is_file() and path.name != JOB_FILE and _is_recipes(path.parent):
            folders.append(path.parent)
        elif (path / JOB_FILE).exists():
            jobs.append(path)
        else:
            jobs += _jobs_below(path, DEEPEST) or [path]
    return jobs, list(dict.fromkeys(folders))


def _jobs_below(path: Path, levels: int) -> list[Path]:
    """The job folders in a folder of jobs, or in the folders of one that holds such."""
    found = list(list_jobs(path))
    if levels and not found:
        for folder in sorted(_folders(path)):
            found += _jobs_below(folder, levels - 1)
    return found


def _folders(path: Path) -> list[Path]:
    try:
        return [p for p in path.iterdir() if p.is_dir() and not p.name.startswith(".")]
    except OSError:  # no such folder, or not to be read
        return []


def _is_recipes(path: Path) -> bool:
    return any((path / name).is_file() for name in CATALOG_FILES)


def _read_job(job: Path, catalog: Catalog) -> tuple[Job | None, tuple[Fault, ...]]:
    """A job given as a path, or by its name under shared/jobs, with its faults."""
    try:
        named = job.exists() or len(job.parts) > 1
        read, faults = read_job(job if named else find_job(str(job), JOBS), catalog)
    except JobNotFoundError as error:
        return None, (error.fault,)
    if read is None:
        return None, faults
    return read, (*faults, *placement_faults(read, catalog, read_face()))


def _each(faults: Iterable[tuple[Fault, ...]]) -> list[Fault]:
    return [fault for some in faults for fault in some]


def print_notices(job: Job, catalog: Catalog, words: Words) -> None:
    """Print which column was taken for what, unless each is headed so, the twins, and the parts.

    Parts are those of a panel that is too long for the platen.
    """
    columns = [each for each in job.columns if each.header]
    taken = tuple(
        words("command.check.taken", header=each.header, field=each.field)
        for each in columns
        if each.field
    )
    left = tuple(each.header for each in columns if not each.field)
    if left or any(each.header.casefold() != each.field for each in columns):
        print(words("command.check.columns", file=job.folder, taken=taken))
    if left:
        print(words("command.check.columns_left", file=job.folder, left=left))
    pairs = tuple(" / ".join(pair) for pair in twins(job.roster))
    if pairs:
        print(words("command.check.twins", file=job.folder, pairs=pairs))
    for told in told_parts(job_bed(job, catalog), job.roster, read_face()):
        print(f"{job.folder}: {words.say(told)}")
