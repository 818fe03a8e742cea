"""An order in the making: a hidden folder among the jobs, whole after every step, a job at last."""

import shutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import field, replace
from pathlib import Path

import yaml

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.files import read_bytes, sync_folder, write_whole
from kiosk.catalog.base.notes import Fault, Message, Notes, Unsound, question_id, say
from kiosk.catalog.base.system_faults import why_of
from kiosk.catalog.base.tree import values_by_path
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job, RosterColumn
from kiosk.catalog.roster import headers
from kiosk.catalog.roster.answers import (
    ANSWERS,
    LEAVE_OUT,
    Answer,
    Answers,
    allowed,
    of_whole_file,
    read_answers,
    write_answers,
)
from kiosk.catalog.roster.forget import JOB_FILE
from kiosk.catalog.roster.header_row import header_place, likely_header, misplaced
from kiosk.catalog.roster.job import read_job
from kiosk.catalog.roster.roster import read_table
from kiosk.catalog.roster.tables import Row, by_line, in_its_row

ENDINGS = (".csv", ".xlsx", ".txt", ".tsv")
FIRST_CELLS = 4
WHAT = ("recipe", "fabric", "press")


class CannotOrder(Exception):
    """The order cannot be begun, kept or made a job; `message` says why."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


@dataclass(frozen=True, slots=True)
class Order:
    """What was said of an order so far, empty where it was not: as its job.yaml has it.

    `columns` are headers by field, `unused` those of columns that are left out, `colours` the
    films used by the colours that the recipe has.
    """

    title: str = ""
    file: str = ""
    recipe: str = ""
    fabric: str = ""
    press: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    unused: tuple[str, ...] = ()
    colours: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Heads:
    """The columns of a file as they were read, and its rows down to the headings.

    `header` is the place of the row of headings among `rows`; where none is known it is only
    likely to be one, and `asked` are the questions about it. `below` holds the first cells under
    each heading, `lines` the cells of every row by its line. `first` has to be answered before
    columns mean anything: which sheet it is, or by which letters. `made`: the file has no
    headings, its first row is a garment already. `above` is what is asked of the rows above them.
    """

    columns: tuple[RosterColumn, ...]
    below: tuple[tuple[str, ...], ...]
    rows: tuple[tuple[str, ...], ...]
    header: int
    garments: int
    lines: Mapping[int, tuple[str, ...]]
    asked: tuple[Fault, ...] = ()
    first: tuple[Fault, ...] = ()
    made: bool = False
    above: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Look:
    """An order as it stands: its job where it can be read, what no answer helps, what is open.

    `guessed`: no heading is known, what stands there may be a player, and all that is open is
    which column is which.
    """

    job: Job | None
    faults: tuple[Fault, ...]
    open: tuple[Fault, ...]
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class Draft:
    """An order in the making, kept in `folder`."""

    folder: Path

    @property
    def key(self) -> str:
        """The name of the job's folder it will be."""
        return self.folder.name.split(".")[1]

    def order(self) -> Order:
        """Return what was said so far. Raises CannotOrder where it cannot be read."""
        try:
            known = values_by_path((self.folder / JOB_FILE).read_text("utf-8"))
        except (OSError, UnicodeDecodeError) as problem:
            raise cannot("catalog.order.lost", problem) from problem
        said = {name: known.get((name,), "") for name in ("title", *WHAT)}
        return Order(
            **said,
            file=known.get(("roster",), ""),
            columns={f: known["columns", f] for f in headers.COLUMNS if ("columns", f) in known},
            unused=tuple(value for place, value in known.items() if place[0] == "unused"),
            colours={place[1]: v for place, v in known.items() if place[0] == "colours"},
        )

    def say(self, order: Order) -> None:
        """Keep what was said, whole or not at all. Raises CannotOrder."""
        text = {"title": order.title, **{w: getattr(order, w) for w in WHAT}, "roster": order.file}
        made: dict[str, object] = {key: each for key, each in text.items() if each}
        made |= {"columns": dict(order.columns)} if order.columns else {}
        made |= {"unused": list(order.unused)} if order.unused else {}
        made |= {"colours": dict(order.colours)} if order.colours else {}
        made["answers"] = ANSWERS
        sheet: str = yaml.safe_dump(made, sort_keys=False, allow_unicode=True, width=100_000)
        writing(lambda: write_whole(self.folder / JOB_FILE, sheet.encode()))

    def answers(self) -> dict[str, Answer]:
        """Return what was answered so far."""
        with suppress(Unsound):
            return read_answers(self.folder / ANSWERS, Notes(""))
        return {}

    def answer(self, *answered: tuple[Fault, Answer]) -> None:
        """Keep answers; one that says which column a heading is, is said of the order.

        Raises CannotOrder.
        """
        order, answers = self.order(), self.answers()
        for fault, answer in answered:
            header = "" if fault.doubt is None else fault.doubt.written
            if fault.problem.id != "catalog.roster.unknown_column" or not header:
                answers[fault.id] = answer
            elif answer.decision == LEAVE_OUT:
                order = replace(order, unused=(*order.unused, header))
            elif answer.text in headers.COLUMNS:
                order = replace(order, columns={**order.columns, answer.text: header})
        if order != self.order():
            self.say(order)
        self.put(answers)

    def put(self, answers: Answers) -> None:
        """Keep these answers in place of those before. Raises CannotOrder."""
        writing(lambda: write_answers(self.folder / ANSWERS, answers))

    def heads(self) -> Heads:
        """Return the file's columns as they are read. Raises CannotOrder for what is no roster."""
        order, answers, notes = self.order(), self.answers(), Notes("")
        meant = frozenset(a.text for name, a in answers.items() if of_whole_file(name))
        try:
            data = read_bytes(self.folder / order.file, notes)
            table = read_table(order.file, data, order.columns, notes, meant)
        except Unsound as problem:
            raise CannotOrder(in_its_row(notes.faults[0])) from problem
        place = likely_header(table, order.columns)
        guessed = place is None
        if place is None:
            place = next((n for n, row in enumerate(table) if sum(map(bool, row.cells)) > 1), 0)
        below = table[place:]
        given = headers.settled(below, order.columns)
        columns = headers.recognised(below[0].cells, given, frozenset(order.unused))
        named = tuple(replace(f, id=question_id(f)) for f in notes.faults)
        first = tuple(f for f in named if of_whole_file(f.id) and f.id not in answers)
        wrong = None if first else misplaced(table, order.columns)
        if wrong is not None:
            raise CannotOrder(wrong)
        own = Notes("")
        if guessed:
            headers.ask_all(below, own)
        row = below[0].cells if below[0].line else ()
        asked = tuple(replace(f, id=question_id(f, row)) for f in own.faults)
        rows = tuple(each.cells for each in table[: place + 1])
        cells = tuple(_first_cells(below, n) for n in range(len(columns)))
        made, title = not below[0].line, Notes("")
        if place and not guessed:
            header_place(table, order.columns, title)
        above = tuple(replace(f, id=question_id(f, table[0].cells)) for f in title.faults)
        return Heads(
            columns, cells, rows, place, len(below) - 1, by_line(table), asked, first, made, above
        )

    def look(self, catalog: Catalog, further: Callable[[Job], tuple[Fault, ...]]) -> Look:
        """Return the order as it stands; `further` are questions that its places raise.

        Where no heading is known all of them are asked about.
        """
        job, found = read_job(self.folder, catalog)
        if job is not None:
            found = (*found, *further(job))
        if any(fault.problem.id == "catalog.roster.no_header" for fault in found):
            heads = self.heads()
            return Look(None, (), heads.asked, guessed=not heads.made)
        open_, rest = _parted(found)
        if first := tuple(fault for fault in open_ if of_whole_file(fault.id)):
            return Look(None, (), first)  # its rows are others then
        # What is asked of the whole order depends on the answers about its rows.
        return Look(job, rest, tuple(sorted(open_, key=lambda fault: not fault.line)))

    def finish(self) -> Path:
        """Make the order a job, at once or not at all, and return its folder.

        Raises CannotOrder where one of that name is there, or it cannot be written.
        """
        folder = self.folder.with_name(self.key)
        if folder.exists():
            raise CannotOrder(say("catalog.order.there", name=self.key))
        sync_folder(self.folder)
        writing(lambda: self.folder.rename(folder))
        sync_folder(folder.parent)
        return folder

    def drop(self) -> None:
        """Throw the order away."""
        shutil.rmtree(self.folder, ignore_errors=True)


def _parted(faults: Iterable[Fault]) -> tuple[tuple[Fault, ...], tuple[Fault, ...]]:
    """What can be answered, and what no answer helps."""
    parts: tuple[list[Fault], list[Fault]] = ([], [])
    for fault in faults:
        parts[not (fault.id and allowed(fault).any)].append(fault)
    return tuple(parts[0]), tuple(parts[1])


def _first_cells(rows: Sequence[Row], place: int) -> tuple[str, ...]:
    """The first cells of a column that hold anything, below the heading."""
    cells = (row.cells[place] for row in rows[1:] if place < len(row.cells))
    return tuple(filter(None, cells))[:FIRST_CELLS]


def writing(act: Callable[[], object]) -> None:
    """Write something of an order. Raises CannotOrder."""
    try:
        act()
    except OSError as problem:
        raise cannot("catalog.order.unwritten", problem) from problem


def cannot(id_: str, problem: Exception) -> CannotOrder:
    """Return that an order cannot go on, and why."""
    return CannotOrder(say(id_, why=why_of(problem)))
