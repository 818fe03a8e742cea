"""What is known of an order being taken: the files it may come in, its reading, its record."""

from collections import Counter
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from enum import Enum
from pathlib import Path

from kiosk.catalog.base import MOST_BYTES, Fault, Message, dataclass, is_plain, say
from kiosk.catalog.model import Catalog, Job, refilmed
from kiosk.catalog.read import list_jobs
from kiosk.catalog.recipe_copy import add_recipe
from kiosk.catalog.roster import ENDINGS as ORDERED_IN
from kiosk.catalog.roster import (
    LEAVE_OUT,
    Answer,
    CannotOrder,
    OrderColumns,
    OrderDetails,
    OrderDraft,
    OrderStatus,
)
from kiosk.plan.model import PanelRefusal
from kiosk.plan.procedure import GarmentProof
from kiosk.run.state import commands_shift
from kiosk.station.desk.desk import KEYS
from kiosk.station.desk.shell import Shell
from kiosk.words import Words

STICKS = (Path("/media"), Path("/run/media"))  # where desktops mount them, by user and name
INBOX = "inbox"  # beside the jobs
SHEETS = (*ORDERED_IN, ".xls", ".xlsm", ".xlsb", ".ods", ".numbers")  # on a stick, of many files
COLUMNS_RIGHT = "columns"  # answered by someone who looked at the columns
MOST_SIGNS = 6
PLAIN = frozenset({"size", "number"})  # answers to these are not names
FILM = "film."  # prefix of an element: the answer is its film
FACTS = ("recipe", "fabric", "press")


class OrderStep(Enum):
    """What to ask next about an order."""

    FILE = "file"
    READING = "reading"
    DROPPING = "dropping"
    NAME = "name"
    COLUMNS = "columns"
    COLUMN = "column"
    RECIPE = "recipe"
    FABRIC = "fabric"
    PRESS = "press"
    COLOURS = "colours"
    COLOUR = "colour"
    FILM = "film"
    DOUBT = "doubt"
    FAULTS = "faults"
    PROOF = "proof"


@dataclass(frozen=True, slots=True)
class OrderFile:
    """A file that an order may come in; `stick` names its stick, "" for the inbox.

    If it is not `readable`, its kind or its size has to be changed first. `job` is the title of a
    job already made from the same file, `since` its day (ISO 8601).
    """

    path: Path
    stick: str = ""
    readable: bool = True
    job: str = ""
    since: str = ""


@dataclass(frozen=True, slots=True)
class OrderReading:
    """An order as last read: its columns and questions, and its proof once none is open."""

    order: OrderDetails
    answers: dict[str, Answer]
    table: OrderColumns | None = None
    status: OrderStatus | None = None
    refusal: PanelRefusal | None = None
    proof: tuple[GarmentProof, ...] = ()
    problem: Message | None = None

    @property
    def lines(self) -> Mapping[int, tuple[str, ...]]:
        """The cells of each row as they are in the file, by line."""
        return {} if self.table is None else self.table.lines

    @property
    def above(self) -> tuple[str, ...]:
        """Ids of the questions about rows above the headings: the page of columns shows these."""
        return () if self.table is None else tuple(fault.id for fault in self.table.title_questions)

    def garment(self, line: object) -> tuple[str, ...]:
        """Return size, name and number of the garment on a line of the job's roster."""
        job = None if self.status is None else self.status.job
        lines = [each for each in job.roster if each.line == line] if job is not None else []
        return tuple(cell for each in lines for cell in (each.size, each.name, each.number) if cell)


def order_files(inbox: Path, sticks: Iterable[Path], jobs: Path) -> tuple[OrderFile, ...]:
    """Return the files that an order may come in, the newest first; a stick is only read.

    A file with the content of one of `jobs` carries that job's title.
    """
    found: list[tuple[float, OrderFile]] = []
    folders = [(inbox, "")]
    for root in sticks:
        with suppress(OSError):
            folders += [(f, f.name) for f in (*root.glob("*/*"), *root.glob("*")) if f.is_dir()]
    for folder, stick in folders:
        for path, size, mtime in _files_in(folder):
            readable = _is_ordered_in(path, size)
            if readable or not stick or path.suffix.lower() in SHEETS:
                found.append((-mtime, OrderFile(path, stick, readable)))
    files = [each for _, each in sorted(found, key=lambda pair: (pair[0], pair[1].path))]
    job_files = [
        each
        for folder in list_jobs(jobs)
        for each in _files_in(folder)
        if _is_ordered_in(*each[:2])
    ]
    return tuple(_with_job(file, job_files) if file.readable else file for file in files)


def _is_ordered_in(path: Path, size: int) -> bool:
    """Return whether the program reads an order from a file of this kind and size in bytes."""
    return path.suffix.lower() in ORDERED_IN and size <= MOST_BYTES


def _files_in(folder: Path) -> list[tuple[Path, int, float]]:
    """Return the files of a folder that people see, with size in bytes and mtime."""
    found = []
    with suppress(OSError):
        for path in folder.iterdir():
            if not path.name.startswith("."):
                stat = path.stat()
                if path.is_file():
                    found.append((path, stat.st_size, stat.st_mtime))
    return found


def _with_job(file: OrderFile, job_files: Iterable[tuple[Path, int, float]]) -> OrderFile:
    """Return the file, with the title of the job whose file has the same bytes."""
    with suppress(OSError, CannotOrder):
        data = file.path.read_bytes()
        for path, size, mtime in job_files:
            if size == len(data) and path.read_bytes() == data:
                day = datetime.fromtimestamp(mtime).astimezone().date().isoformat()
                return replace(file, job=OrderDraft(path.parent).order().title, since=day)
    return file


def films_of(answers: dict[str, Answer]) -> dict[str, str]:
    """Return the films chosen in place of the recipe's, by element."""
    return {n.removeprefix(FILM): a.text for n, a in answers.items() if n.startswith(FILM)}


def without_films(answers: dict[str, Answer]) -> dict[str, Answer]:
    """Return the answers except those that choose a film."""
    return {name: each for name, each in answers.items() if not name.startswith(FILM)}


def with_films(catalog: Catalog, key: str, films: dict[str, str]) -> Catalog:
    """Return the catalog with this recipe made of these films."""
    recipe, materials = catalog.recipes.get(key), catalog.materials
    if recipe is None or not films:
        return catalog
    own = refilmed(recipe, {e: materials[film] for e, film in films.items() if film in materials})
    return replace(catalog, recipes={**catalog.recipes, key: own})


def own_recipe(draft: OrderDraft, recipes: Path, catalog: Catalog, words: Words) -> None:
    """Write the recipe of an order in other films than the shop's; raises CannotOrder."""
    order, answers = draft.order(), draft.answers()
    films = films_of(answers)
    if not films:
        return
    titles = tuple(dict.fromkeys(catalog.materials[film].title for film in films.values()))
    title = words("order.film_title", films=titles, recipe=catalog.recipes[order.recipe].title)
    try:
        key, faults = add_recipe(recipes, order.recipe, films, title, catalog)
    except (OSError, UnicodeDecodeError, KeyError) as problem:
        why = type(problem).__name__
        raise CannotOrder(say("catalog.order.unwritten", why=why)) from problem
    if faults:
        raise CannotOrder(faults[0].problem)
    draft.save(replace(order, recipe=key))
    draft.save_answers(without_films(answers))


def read(draft: OrderDraft, catalog: Catalog) -> OrderReading:
    """Return an order as it is on disk, with its proof if no question is open."""
    from kiosk.catalog.rules import read_face
    from kiosk.plan.procedure import placement_faults, plan_job, proofs

    def further(job: Job) -> tuple[Fault, ...]:
        return placement_faults(job, catalog, read_face())

    try:
        reading = OrderReading(draft.order(), draft.answers(), draft.columns())
        catalog = with_films(catalog, reading.order.recipe, films_of(reading.answers))
        complete = all(getattr(reading.order, name) for name in FACTS)
        if COLUMNS_RIGHT not in reading.answers or not complete:
            return reading
        status = draft.status(catalog, further)
        if status.open or status.job is None or any(not fault.question for fault in status.faults):
            return replace(reading, status=status)
        plan = plan_job(status.job, catalog, read_face())
        if isinstance(plan, PanelRefusal):
            return replace(reading, status=status, refusal=plan)
        return replace(reading, status=status, proof=proofs(plan, status.job.roster, read_face()))
    except CannotOrder as problem:
        return OrderReading(OrderDetails(), {}, problem=problem.message)
    except Exception as problem:  # whatever a file holds, the station must keep running
        return OrderReading(
            OrderDetails(), {}, problem=say("catalog.order.lost", why=type(problem).__name__)
        )


def still_open(reading: OrderReading, answered: Mapping[str, Answer]) -> tuple[Fault, ...]:
    """Return the open questions, except those about cells answered just now."""
    first = () if reading.table is None else reading.table.first_questions
    questions = first if reading.status is None else reading.status.open
    just_answered = [(f, answered[f.id]) for f in questions if f.id in answered]
    cells = {(f.line, f.key) for f, _ in just_answered}
    rows = {f.line for f, answer in just_answered if f.key and answer.decision == LEAVE_OUT}
    return tuple(f for f in questions if (f.line, f.key) not in cells and f.line not in rows)


def with_fact(order: OrderDetails, name: str, key: str) -> OrderDetails:
    """Return an order with its recipe, fabric or press set; a new recipe clears the colours."""
    if name == "recipe":
        return replace(order, recipe=key, colours={})
    return replace(order, fabric=key) if name == "fabric" else replace(order, press=key)


def without(order: OrderDetails, name: str) -> OrderDetails:
    """Return an order with this answer cleared, to be asked again."""
    return replace(order, colours={}) if name == "colours" else with_fact(order, name, "")


def order_command(job: Job, folder: str, answers: dict[str, Answer]) -> commands_shift.TakeOrder:
    """Return what the record gets of an order: no name, and no text in place of one."""
    decisions = tuple(
        (name, answer.decision or (answer.text if name.split(".")[1] in PLAIN else "written"))
        for name, answer in without_films(answers).items()
        if name != COLUMNS_RIGHT
    )
    columns = tuple((each.header, each.field) for each in job.columns if each.field)
    return commands_shift.TakeOrder(folder, columns, job.roster_digest, len(job.roster), decisions)


def signs_of(table: OrderColumns) -> tuple[str, ...]:
    """Return the signs in the names that are on no key, the most frequent first."""
    places = [n for n, column in enumerate(table.columns) if column.field == "name"]
    cells = (row[n] for row in table.lines.values() for n in places if n < len(row))
    letters = (c for cell in cells for c in cell.upper() if is_plain(c) and c != " ")
    counted = Counter(c for c in letters if c not in KEYS)
    return tuple(sign for sign, _ in counted.most_common(MOST_SIGNS))


class RefusalNotice:
    """Shows on the page why something about the order cannot be done."""

    def __init__(self, shell: Shell) -> None:
        self._shell = shell

    def __enter__(self) -> None:
        return None

    def __exit__(self, _: object, problem: object, __: object) -> bool:
        if isinstance(problem, CannotOrder):
            self._shell.say(problem.message)
            return True
        return False
