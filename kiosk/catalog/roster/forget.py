"""Takes the names out of a closed job's roster: line, size, number and set stay."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO, StringIO
from pathlib import Path

from kiosk.catalog.base.files import read_bytes, read_text, write_whole
from kiosk.catalog.base.message import Message, say
from kiosk.catalog.base.notes import Notes, Unsound, shown
from kiosk.catalog.base.tree import leaves
from kiosk.catalog.model.sheets import RosterLine
from kiosk.catalog.roster.headers import COLUMNS
from kiosk.catalog.roster.named_files import NOTE, delete_named_files
from kiosk.catalog.roster.roster import roster
from kiosk.catalog.roster.workbook import ENDING

JOB_FILE = "job.yaml"
MARK = "names_deleted"
OWN = frozenset({NOTE, ".claimed"})  # no name is in them


class CannotForget(Exception):
    """A roster whose names could not be taken out; `message` says why."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


@dataclass(frozen=True, slots=True)
class Forgotten:
    """How many names there were, and what is said of what may hold them still."""

    count: int
    left: tuple[Message, ...] = ()


def forget_names(folder: Path) -> Forgotten:
    """Take the names out of the job in `folder`, with the files that were written with them.

    job.yaml is marked first (`names_deleted: yes`), then the roster replaced, each whole or not
    at all: killed in between, the next call goes on. Raises CannotForget, where there is no job
    too.
    """
    try:
        if not (folder / JOB_FILE).is_file():
            raise CannotForget(say("catalog.forget.not_found", path=str(folder)))
        return _forget(folder, Notes(folder.name))
    except (Unsound, KeyError, RuntimeError) as problem:
        raise CannotForget(say("catalog.forget.unread", folder=folder.name)) from problem
    except OSError as problem:
        why = problem.strerror or type(problem).__name__
        wrong = say("catalog.forget.unwritten", folder=folder.name, why=why)
        raise CannotForget(wrong) from problem


def _forget(folder: Path, notes: Notes) -> Forgotten:
    text = read_text(folder / JOB_FILE, notes)
    known = leaves(text)
    path = folder / known["roster",].value
    if not path.resolve().is_relative_to(folder.resolve()):
        raise KeyError("roster")  # as one that is read: never out of the job's folder
    data, links = read_bytes(path, notes), path.stat().st_nlink
    given = {f: known["columns", f].value for f in COLUMNS if ("columns", f) in known}
    if (MARK,) not in known:
        write_whole(folder / JOB_FILE, _marked(text).encode())
    try:
        found = roster(path.name, data, frozenset(), notes, given)
    except Unsound:  # replaced already: its headers are this program's own
        found = roster(path.name, data, frozenset(), notes)
    if any(column.field in ("", "name") for column in found.columns):
        write_whole(path, _without_names(path.name, found.lines))
    count = sum(bool(line.name) for line in found.lines)
    twins = (say("catalog.forget.twin", path=str(path)),) if count and links > 1 else ()
    return Forgotten(count, (*twins, *delete_named_files(folder), *_others(folder, path)))


def _others(folder: Path, roster_file: Path) -> Iterator[Message]:
    """Say what else lies in the folder: nobody looks into it."""
    known = {JOB_FILE, roster_file.name, *OWN}
    names = sorted(path.name for path in folder.iterdir() if path.name not in known)
    if names:
        yield say("catalog.forget.others", folder=str(folder), files=tuple(map(shown, names)))


def _marked(text: str) -> str:
    """Return a job.yaml with the mark, whether it is written in lines or in braces."""
    bare = text.rstrip()
    made = f"{bare}\n{MARK}: yes\n"
    if (MARK,) not in leaves(made):
        made = f"{bare.removesuffix('}')}, {MARK}: yes}}\n"
    if (MARK,) not in leaves(made):
        raise KeyError(MARK)
    return made


def _without_names(file: str, lines: tuple[RosterLine, ...]) -> bytes:
    kept = ["line", "size", "number", *(["set"] if any(line.set for line in lines) else [])]
    rows = [kept, *([getattr(line, field) for field in kept] for line in lines)]
    return _as_workbook(rows) if file.lower().endswith(ENDING) else _as_csv(rows)


def _as_csv(rows: list[list[str]]) -> bytes:
    made = StringIO()
    csv.writer(made, lineterminator="\n").writerows(rows)
    return made.getvalue().encode()


def _as_workbook(rows: list[list[str]]) -> bytes:
    from openpyxl import Workbook  # only where a workbook was read

    book, made = Workbook(), BytesIO()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    book.save(made)
    return made.getvalue()
