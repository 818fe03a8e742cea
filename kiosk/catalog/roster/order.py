"""An unfinished order: a hidden folder among the jobs, consistent after every step."""

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
from kiosk.catalog.roster.header_row import header_place, likely_header, misplacement_of
from kiosk.catalog.roster.job import read_job
from kiosk.catalog.roster.roster import read_table
from kiosk.catalog.roster.tables import TableRow, by_line, message_with_row

ENDINGS = (".csv", ".xlsx", ".txt", ".tsv")
FIRST_CELLS = 4
CATALOG_KEYS = ("recipe", "fabric", "press")


class CannotOrder(Exception):
    """The order cannot be begun, saved or made a job; `message` says why."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


@dataclass(frozen=True, slots=True)
class OrderDetails:
    """The order's details so far, as in its job.yaml, each empty if not yet given.

    `columns` are headers by field, `unused` the headers left out, `colours` the order's colours
    by the recipe's colours that they replace.
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
class OrderColumns:
    """The columns of a file as read, and its rows down to the headings.

    `header` is the place of the row of headings among `rows`; if no heading is known it is a
    guess, and `questions` are those about it. `first_cells` holds the first cells under each
    heading, `lines` the cells of every row by line. `first_questions` are to be answered before the
    columns mean anything: which sheet, or which letters. `headless`: the file has no headings, its
    first row is already a garment. `title_questions` are about the rows above the headings.
    """

    columns: tuple[RosterColumn, ...]
    first_cells: tuple[tuple[str, ...], ...]
    rows: tuple[tuple[str, ...], ...]
    header: int
    garments: int
    lines: Mapping[int, tuple[str, ...]]
    questions: tuple[Fault, ...] = ()
    first_questions: tuple[Fault, ...] = ()
    headless: bool = False
    title_questions: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class OrderStatus:
    """The order's present state: its job if readable, unanswerable faults, open questions.

    `guessed`: no heading is known, the row taken for headings may be a player, and the only
    open questions are which column is which.
    """

    job: Job | None
    faults: tuple[Fault, ...]
    open: tuple[Fault, ...]
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class OrderDraft:
    """An unfinished order, kept in `folder`."""

    folder: Path

    @property
    def key(self) -> str:
        """The folder name of the future job."""
        return self.folder.name.split(".")[1]

    def order(self) -> OrderDetails:
        """Return the details given so far. Raises CannotOrder if they cannot be read."""
        try:
            values = values_by_path((self.folder / JOB_FILE).read_text("utf-8"))
        except (OSError, UnicodeDecodeError) as problem:
            raise cannot("catalog.order.lost", problem) from problem
        texts = {name: values.get((name,), "") for name in ("title", *CATALOG_KEYS)}
        return OrderDetails(
            **texts,
            file=values.get(("roster",), ""),
            columns={f: values["columns", f] for f in headers.COLUMNS if ("columns", f) in values},
            unused=tuple(value for place, value in values.items() if place[0] == "unused"),
            colours={place[1]: v for place, v in values.items() if place[0] == "colours"},
        )

    def save(self, order: OrderDetails) -> None:
        """Save the details, whole or not at all. Raises CannotOrder."""
        text = {
            "title": order.title,
            **{w: getattr(order, w) for w in CATALOG_KEYS},
            "roster": order.file,
        }
        content: dict[str, object] = {key: each for key, each in text.items() if each}
        content |= {"columns": dict(order.columns)} if order.columns else {}
        content |= {"unused": list(order.unused)} if order.unused else {}
        content |= {"colours": dict(order.colours)} if order.colours else {}
        content["answers"] = ANSWERS
        sheet: str = yaml.safe_dump(content, sort_keys=False, allow_unicode=True, width=100_000)
        writing(lambda: write_whole(self.folder / JOB_FILE, sheet.encode()))

    def answers(self) -> dict[str, Answer]:
        """Return the answers given so far."""
        with suppress(Unsound):
            return read_answers(self.folder / ANSWERS, Notes(""))
        return {}

    def answer(self, *answered: tuple[Fault, Answer]) -> None:
        """Save answers; an answer about a heading goes into the order's details instead.

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
            self.save(order)
        self.save_answers(answers)

    def save_answers(self, answers: Answers) -> None:
        """Save these answers in place of all earlier ones. Raises CannotOrder."""
        writing(lambda: write_answers(self.folder / ANSWERS, answers))

    def columns(self) -> OrderColumns:
        """Return the file's columns as read. Raises CannotOrder if it is not a roster."""
        order, answers, notes = self.order(), self.answers(), Notes("")
        choices = frozenset(a.text for name, a in answers.items() if of_whole_file(name))
        try:
            data = read_bytes(self.folder / order.file, notes)
            table = read_table(order.file, data, order.columns, notes, choices)
        except Unsound as problem:
            raise CannotOrder(message_with_row(notes.faults[0])) from problem
        place = likely_header(table, order.columns)
        guessed = place is None
        if place is None:
            place = next((n for n, row in enumerate(table) if sum(map(bool, row.cells)) > 1), 0)
        below = table[place:]
        given = headers.assign_doubtful(below, order.columns)
        columns = headers.read_header(below[0].cells, given, frozenset(order.unused))
        questions = tuple(replace(f, id=question_id(f)) for f in notes.faults)
        first = tuple(f for f in questions if of_whole_file(f.id) and f.id not in answers)
        misplacement = None if first else misplacement_of(table, order.columns)
        if misplacement is not None:
            raise CannotOrder(misplacement)
        own = Notes("")
        if guessed:
            headers.ask_all(below, own)
        row = below[0].cells if below[0].line else ()
        column_questions = tuple(replace(f, id=question_id(f, row)) for f in own.faults)
        rows = tuple(each.cells for each in table[: place + 1])
        cells = tuple(_first_cells(below, n) for n in range(len(columns)))
        content, title_notes = not below[0].line, Notes("")
        if place and not guessed:
            header_place(table, order.columns, title_notes)
        above = tuple(replace(f, id=question_id(f, table[0].cells)) for f in title_notes.faults)
        return OrderColumns(
            columns,
            cells,
            rows,
            place,
            len(below) - 1,
            by_line(table),
            column_questions,
            first,
            content,
            above,
        )

    def status(
        self, catalog: Catalog, placement_questions: Callable[[Job], tuple[Fault, ...]]
    ) -> OrderStatus:
        """Return the order's present state, with the `placement_questions` of its job.

        If no heading is known, all columns are asked about.
        """
        job, faults = read_job(self.folder, catalog)
        if job is not None:
            faults = (*faults, *placement_questions(job))
        if any(fault.problem.id == "catalog.roster.no_header" for fault in faults):
            columns = self.columns()
            return OrderStatus(None, (), columns.questions, guessed=not columns.headless)
        answerable, unanswerable = _by_answerable(faults)
        if first := tuple(fault for fault in answerable if of_whole_file(fault.id)):
            return OrderStatus(None, (), first)  # the answer changes the rows
        # Questions about the whole order come last: they depend on the answers about its rows.
        return OrderStatus(
            job, unanswerable, tuple(sorted(answerable, key=lambda fault: not fault.line))
        )

    def finish(self) -> Path:
        """Make the order a job in one step, and return its folder.

        Raises CannotOrder if a job of that name exists or it cannot be written.
        """
        folder = self.folder.with_name(self.key)
        if folder.exists():
            raise CannotOrder(say("catalog.order.there", name=self.key))
        sync_folder(self.folder)
        writing(lambda: self.folder.rename(folder))
        sync_folder(folder.parent)
        return folder

    def delete(self) -> None:
        """Delete the order's folder."""
        shutil.rmtree(self.folder, ignore_errors=True)


def _by_answerable(faults: Iterable[Fault]) -> tuple[tuple[Fault, ...], tuple[Fault, ...]]:
    """Return the faults that can be answered, and those that cannot."""
    parts: tuple[list[Fault], list[Fault]] = ([], [])
    for fault in faults:
        parts[not (fault.id and allowed(fault).any)].append(fault)
    return tuple(parts[0]), tuple(parts[1])


def _first_cells(rows: Sequence[TableRow], place: int) -> tuple[str, ...]:
    """Return the first filled cells of a column below the heading."""
    cells = (row.cells[place] for row in rows[1:] if place < len(row.cells))
    return tuple(filter(None, cells))[:FIRST_CELLS]


def writing(act: Callable[[], object]) -> None:
    """Call `act`, which writes part of an order. Raises CannotOrder for an OSError."""
    try:
        act()
    except OSError as problem:
        raise cannot("catalog.order.unwritten", problem) from problem


def cannot(id_: str, problem: Exception) -> CannotOrder:
    """Return the exception that an order cannot go on because of `problem`."""
    return CannotOrder(say(id_, why=why_of(problem)))
