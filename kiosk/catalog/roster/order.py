"""An unfinished order: a hidden folder among the jobs, consistent after every step."""

import shutil
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import field, replace
from pathlib import Path

import yaml

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.files import sync_folder, write_whole
from kiosk.catalog.base.notes import Fault, Notes, Unsound, say
from kiosk.catalog.base.system_faults import why_of
from kiosk.catalog.base.tree import values_by_path
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job
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
from kiosk.catalog.roster.job import read_job
from kiosk.catalog.roster.order_columns import CannotOrder, ColumnsWish, OrderColumns, read_columns

ENDINGS = (".csv", ".xlsx", ".txt", ".tsv")
CATALOG_KEYS = ("recipe", "fabric", "press")


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
        order = self.order()
        wish = ColumnsWish(self.folder / order.file, order.columns, frozenset(order.unused))
        return read_columns(wish, self.answers())

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


def writing(act: Callable[[], object]) -> None:
    """Call `act`, which writes part of an order. Raises CannotOrder for an OSError."""
    try:
        act()
    except OSError as problem:
        raise cannot("catalog.order.unwritten", problem) from problem


def cannot(id_: str, problem: Exception) -> CannotOrder:
    """Return the exception that an order cannot go on because of `problem`."""
    return CannotOrder(say(id_, why=why_of(problem)))
