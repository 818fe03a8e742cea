"""Read a job's folder: job.yaml, the roster, and the answers about it."""

import re
import shutil
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path, PureWindowsPath
from typing import NamedTuple

from kiosk.catalog.base.fields import Field, Values, read_fields
from kiosk.catalog.base.files import folder_problem, neighbour, read_bytes, read_text, surely
from kiosk.catalog.base.notes import (
    Fault,
    Notes,
    Unsound,
    check_name,
    listed,
    nearest_word,
    say,
    without_accents,
)
from kiosk.catalog.base.spots import Spot, root
from kiosk.catalog.base.tree import compose
from kiosk.catalog.base.values import day, flag, reference, word
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job, RosterLine
from kiosk.catalog.model.recipes import Recipe, colours_of
from kiosk.catalog.roster import questions
from kiosk.catalog.roster.answers import KEEP, NO_ANSWERS, Answers, read_answers
from kiosk.catalog.roster.cells import stops_job
from kiosk.catalog.roster.forget import JOB_FILE, MARK, lies_in
from kiosk.catalog.roster.roster import Roster, roster_digest
from kiosk.catalog.roster.rows import Placed
from kiosk.catalog.roster.settling import still_open

NO_COLOURS: Mapping[str, str] = {}
NAME_AND_NUMBER = frozenset({"name", "number"})
AS_READ = ("title", "recipe", "fabric", "press", "colours", "size_rule", "sport", "due", "lots")
"""Keys of job.yaml that a job keeps as they are."""


class JobNotFoundError(LookupError):
    """There is no job of that name; `fault` lists the jobs and the nearest name."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.found)
        self.fault = fault


def list_jobs(jobs: Path) -> tuple[Path, ...]:
    """Return the folders in `jobs` with a job.yaml, by name."""
    try:
        return tuple(sorted(filter(holds_job, _visible(jobs))))
    except OSError:  # missing or unreadable
        return ()


def _visible(folder: Path) -> Iterator[Path]:
    """Return the paths that are not hidden; unfinished orders are hidden."""
    return (path for path in folder.iterdir() if not path.name.startswith("."))


def find_job(name: str, jobs: Path) -> Path:
    """Return the folder of the job `name`: a job folder, its job.yaml, or a name in `jobs`.

    Raises JobNotFoundError.
    """
    for folder in (Path(name).parent if Path(name).name == JOB_FILE else Path(name), jobs / name):
        if name.strip() and holds_job(folder):
            return folder
    notes = Notes(str(jobs))
    if (problem := folder_problem(jobs)) is not None:
        notes.add(problem)
    names = [folder.name for folder in list_jobs(jobs)]
    notes.add(
        say("catalog.job.unknown"),
        found=name,
        allowed=listed(names),
        nearest=nearest_word(name, names),
    )
    raise JobNotFoundError(notes.faults[0])


def read_job(folder_or_yaml: Path, catalog: Catalog) -> tuple[Job | None, tuple[Fault, ...]]:
    """Return the job and all faults of its files.

    If there are only questions there is a job, its doubtful cells as written: it can be shown,
    but must not be pressed before a person has decided. With a hard fault the job is None, and with
    a question about the whole file if its present reading gives no garments.
    """
    notes, roster_notes, found = _read(folder_or_yaml, catalog)
    answers = NO_ANSWERS if found is None else found.answers
    faults = (*still_open(notes.faults, answers), *roster_notes.faults)
    return (None if found is None or notes.hard or roster_notes.hard else found.job), faults


def read_sound_rows(folder_or_yaml: Path, catalog: Catalog) -> tuple[RosterLine, ...] | None:
    """Return the garments whose rows have no fault, and no name in a column that is recorded.

    A job that has begun is compared with them: a fault in one row must not hide a change of
    another. None if the list as a whole cannot be read, its headings included.
    """
    _, notes, found = _read(folder_or_yaml, catalog)
    wrong = {each.line for each in notes.faults if not each.question or stops_job(each)}
    if found is None or (wrong and min(wrong) < found.placed[0][0].line):
        return None
    return tuple(line for row, line in found.placed if row.line not in wrong)


class JobFound(NamedTuple):
    """A job as far as its files can be read, with the row of each garment."""

    job: Job
    answers: Answers
    placed: tuple[Placed, ...]


def _read(folder_or_yaml: Path, catalog: Catalog) -> tuple[Notes, Notes, JobFound | None]:
    """Return the notes on job.yaml, those on the roster, and what was found."""
    path = folder_or_yaml / JOB_FILE if surely(folder_or_yaml.is_dir) else folder_or_yaml
    notes, roster_notes, found = Notes(str(path)), Notes(str(path.parent)), None
    with suppress(Unsound):
        text = read_text(path, notes)  # first, so that a missing path is not called a wrong name
        check_name(path.parent.resolve().name, notes)
        spot = root(compose(text, notes), notes)
        found = _job(path, spot, catalog, roster_notes)
    return notes, roster_notes, found


def holds_job(folder: Path) -> bool:
    """Return whether `folder` has a job.yaml, readable or not; True for a closed folder."""
    try:
        (folder / JOB_FILE).lstat()
    except (FileNotFoundError, NotADirectoryError, ValueError):  # ValueError: a NUL in it
        return False
    except OSError:  # a closed folder, or a name too long for the file system
        return surely(folder.is_dir)
    return True


UNFINISHED, PASSING = ".order", ".making"  # endings of an order's folder: to be continued, or not
OLD_SECONDS = 3600.0  # age at which leftovers of a killed command are deleted
LONGEST_KEY = 40


def sweep(jobs: Path) -> None:
    """Delete orders that a killed command left more than an hour ago."""
    with suppress(OSError):
        for folder in jobs.glob(f".*{PASSING}"):
            if time.time() - folder.stat().st_mtime > OLD_SECONDS:
                shutil.rmtree(folder, ignore_errors=True)


def free_key(title: str, jobs: Path, ending: str = UNFINISHED) -> str:
    """Return a folder name for a job called `title` that no job or unfinished order has."""
    plain = re.sub(r"[^a-z0-9]+", "-", without_accents(title)).strip("-")
    stem = plain[:LONGEST_KEY].strip("-") or "order"
    key, nth = stem, 1
    while surely((jobs / key).exists) or (
        ending == UNFINISHED and holds_job(jobs / f".{key}{UNFINISHED}")
    ):
        nth += 1
        key = f"{stem}-{nth}"
    return key


def _job_fields(folder: Path, catalog: Catalog) -> tuple[Field, ...]:
    def reference_to(kind: str) -> Callable[[Spot], str]:
        return reference(catalog.keys_of(kind), getattr(catalog, kind))

    return (
        Field("title", word, folder.resolve().name),
        Field("recipe", reference_to("recipes")),
        Field("fabric", reference_to("fabrics")),
        Field("press", reference_to("presses")),
        Field("roster", partial(_roster_file, folder)),
        Field("answers", partial(_own_file, folder), None),
        Field("due", day, ""),
        Field("lots", partial(_lots, catalog.keys_of("materials")), ()),
        Field("colours", _colours, NO_COLOURS),
        Field("size_rule", reference_to("size_rules"), ""),
        Field("sport", reference_to("sports"), ""),
        Field(MARK, flag, False),
        *questions.intake_fields(catalog),
    )


def _lots(materials: frozenset[str] | None, spot: Spot) -> tuple[tuple[str, str], ...]:
    """Return a job's lots: material key and the lot printed on its roll."""
    found = spot.entries()
    for name, each in found.items():
        if materials is not None and name not in materials:
            nearest = nearest_word(name, materials)
            raise each.wrong(say("catalog.asked.known"), allowed=listed(sorted(materials)),
                             nearest=nearest)  # fmt: skip
    return tuple((name, word(each)) for name, each in found.items())


def _job(path: Path, spot: Spot, catalog: Catalog, notes: Notes) -> JobFound:
    folder = path.parent
    values = read_fields(spot, _job_fields(folder, catalog))
    intake, recipe = questions.read_intake(values, catalog), values.results["recipe"]
    own = catalog.recipes.get(recipe.value) if recipe.sound else None
    file, answers = values["roster"], _answers(values, spot.notes)
    notes.file = str(file)
    data = read_bytes(file, notes)
    elements = _elements(own)
    if values[MARK]:  # its names have been deleted
        elements, intake = elements - {"name"}, replace(intake, columns={})
    reading = questions.RosterReading(
        file.name, data, elements, intake, questions.letter_sets(own, catalog.materials)
    )
    roster = reading.read(answers, notes)
    if intake.received is not None:
        questions.check_received(roster.lines, intake.received)
    if own is not None and values.results["colours"].sound:
        _check_colours(values, own)
    job = Job(
        key=folder.resolve().name,
        folder=str(folder),
        roster=roster.lines,
        roster_digest=roster_digest(data),
        columns=roster.columns,
        kept=frozenset(name for name, each in answers.items() if each.decision == KEEP),
        doubtful=_doubtful(roster, notes),
        **{name: values[name] for name in AS_READ},
    )
    return JobFound(job, answers, roster.placed)


def _doubtful(roster: Roster, notes: Notes) -> frozenset[tuple[str, str]]:
    """Return the cells with open questions, by line id and field."""
    ids = {row.line: line.line for row, line in roster.placed}
    return frozenset((ids[each.line], each.key) for each in notes.faults if each.line in ids)


def _colours(spot: Spot) -> dict[str, str]:
    """Return the order's colours by the recipe's colours that they replace."""
    return {name: word(entry) for name, entry in spot.entries().items()}


def _check_colours(values: Values, recipe: Recipe) -> None:
    """Note colours that are not in the recipe."""
    known = colours_of(recipe)
    entries = values.entries["colours"].entries() if "colours" in values.entries else {}
    for name, entry in entries.items():
        if name not in known:
            problem, near = say("catalog.job.colour"), nearest_word(name, known)
            entry.notes.add(
                problem, line=entry.line, key=entry.key, allowed=listed(known), nearest=near
            )


def _answers(values: Values, notes: Notes) -> Answers:
    """Return the answers about the roster; none if no file is named or it was deleted."""
    path = values["answers"]
    if path is None or (values[MARK] and not path.exists()):
        return NO_ANSWERS
    own = Notes(str(path))
    try:
        return read_answers(path, own)
    finally:
        notes.take(own.faults)


def _elements(recipe: Recipe | None) -> frozenset[str]:
    if recipe is None:
        return NAME_AND_NUMBER
    return frozenset(element.name for panel in recipe.panels for element in panel.elements)


def _own_file(folder: Path, spot: Spot) -> Path:
    """Return a path named in job.yaml; raises Unsound if it leads out of the job's folder."""
    name = word(spot)
    path = folder / name
    written = PureWindowsPath(name)  # knows both slashes and drive letters
    if written.anchor or ".." in written.parts:
        raise spot.wrong(say("catalog.job.outside"))
    if not lies_in(folder, path):
        raise spot.wrong(say("catalog.job.outside"))
    return path


def _roster_file(folder: Path, spot: Spot) -> Path:
    """Return the roster's path; raises Unsound, noted at its line in job.yaml, if missing."""
    path = _own_file(folder, spot)
    if not surely(path.exists):
        like, near = say("catalog.like.roster"), neighbour(path)
        raise spot.notes.add(say("catalog.file.missing"), line=spot.line, key=spot.key,
                             found=path.name, allowed=like, nearest=near)  # fmt: skip
    return path
