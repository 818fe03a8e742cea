"""Reads a job folder: job.yaml and the roster beside it."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from pathlib import Path, PureWindowsPath

from kiosk.catalog.base.files import read_bytes, read_text
from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import Fault, Notes, Unsound, check_name, listed, nearest_word
from kiosk.catalog.base.spots import Spot, root
from kiosk.catalog.base.tree import compose
from kiosk.catalog.base.values import day, flag, reference, word
from kiosk.catalog.model.sheets import Catalog, Job, Recipe
from kiosk.catalog.roster.forget import MARK
from kiosk.catalog.roster.intake import INTAKE, intake
from kiosk.catalog.roster.questions import check_roster, letter_sets
from kiosk.catalog.roster.roster import roster, roster_digest

JOB_FILE = "job.yaml"
REQUIRED = ("recipe", "fabric", "press", "roster")
OPTIONAL = ("title", "due", "size_rule", "sport", MARK, *INTAKE)
NAME_AND_NUMBER = frozenset({"name", "number"})


class JobNotFoundError(LookupError):
    """No job goes by that name; `fault` says which ones do, and which is nearest."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.found)
        self.fault = fault


def list_jobs(jobs: Path) -> tuple[Path, ...]:
    """Return the job folders in `jobs` by name: those that hold a job.yaml."""
    try:
        return tuple(sorted(filter(holds_job, jobs.iterdir())))
    except OSError:  # no such folder, or not to be read: there are no jobs in it
        return ()


def find_job(name: str, jobs: Path) -> Path:
    """Return the folder of the job `name`: a job folder, its job.yaml, or a name in `jobs`.

    Raises JobNotFoundError.
    """
    for folder in (Path(name).parent if Path(name).name == JOB_FILE else Path(name), jobs / name):
        if name.strip() and holds_job(folder):
            return folder
    names = [folder.name for folder in list_jobs(jobs)]
    notes = Notes(str(jobs))
    notes.add(
        say("catalog.job.unknown"),
        found=name,
        allowed=listed(names),
        nearest=nearest_word(name, names),
    )
    raise JobNotFoundError(notes.faults[0])


def read_job(folder_or_yaml: Path, catalog: Catalog) -> tuple[Job | None, tuple[Fault, ...]]:
    """Return the job and all faults of its two files.

    With questions alone there is a job, its doubtful cells as written: it may be shown, and
    must not be pressed before a person has decided. With a fault there is none.
    """
    path = folder_or_yaml / JOB_FILE if folder_or_yaml.is_dir() else folder_or_yaml
    notes, roster_notes = Notes(str(path)), Notes(str(path.parent))
    job = None
    with suppress(Unsound):
        text = read_text(path, notes)  # first: a path that is not there has no wrong name
        check_name(path.parent.resolve().name, notes)
        spot = root(compose(text, notes), notes)
        job = _job(path, spot, catalog, roster_notes)
    faults = (*notes.faults, *roster_notes.faults)
    return (None if notes.hard or roster_notes.hard else job), faults


def holds_job(folder: Path) -> bool:
    """Return whether a job.yaml is in `folder`, and the folder may be looked into."""
    try:
        return (folder / JOB_FILE).is_file()
    except OSError:  # a name too long for the file system is nobody's
        return False


def _job(path: Path, spot: Spot, catalog: Catalog, roster_notes: Notes) -> Job:
    folder = path.parent
    key = folder.resolve().name
    f = spot.fields(REQUIRED, OPTIONAL)
    title = f.get_or("title", word, key)
    recipe = f.get("recipe", reference(catalog.known("recipes"), catalog.recipes))
    fabric = f.get("fabric", reference(catalog.known("fabrics"), catalog.fabrics))
    press = f.get("press", reference(catalog.known("presses"), catalog.presses))
    file = f.get("roster", partial(_roster_file, folder))
    asked = intake(f, catalog)
    rule = f.get_or("size_rule", reference(catalog.known("size_rules"), catalog.size_rules), "")
    due = f.get_or("due", day, "")
    sport = f.get_or("sport", reference(catalog.known("sports"), catalog.sports), "")
    own = catalog.recipes.get(recipe.value) if recipe.sound else None
    roster_notes.file = str(file.value)
    data = read_bytes(file.value, roster_notes)
    wanted, given = _elements(own), asked.columns
    if f.get_or(MARK, flag, False).value:  # closed long ago: what the garments wore is not kept
        wanted, given = wanted - {"name"}, {}
    found = roster(file.value.name, data, wanted, roster_notes, given)
    check_roster(found.placed, asked, letter_sets(own, catalog.materials), roster_notes)
    return Job(
        key=key,
        folder=str(folder),
        title=title.value,
        recipe=recipe.value,
        fabric=fabric.value,
        press=press.value,
        roster=found.lines,
        roster_digest=roster_digest(data),
        columns=found.columns,
        size_rule=rule.value,
        sport=sport.value,
        due=due.value,
    )


def _elements(recipe: Recipe | None) -> frozenset[str]:
    if recipe is None:
        return NAME_AND_NUMBER
    return frozenset(element.name for panel in recipe.panels for element in panel.elements)


def _roster_file(folder: Path, spot: Spot) -> Path:
    """Return the roster's path; Unsound for one that leads out of the job's folder."""
    name = word(spot)
    path = folder / name
    written = PureWindowsPath(name)  # knows both slashes and drive letters
    if written.anchor or ".." in written.parts:
        raise spot.wrong(say("catalog.job.outside"))
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # RuntimeError: a ring of symbolic links
        inside = False
    if not inside:
        raise spot.wrong(say("catalog.job.outside"))
    return path
