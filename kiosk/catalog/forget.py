"""Takes the names out of a closed job's roster: line, size, number and set stay."""

from __future__ import annotations

import csv
from io import BytesIO, StringIO
from pathlib import Path

from kiosk.catalog.files import read_bytes, read_text
from kiosk.catalog.headers import COLUMNS
from kiosk.catalog.leaves import leaves
from kiosk.catalog.message import Message, say
from kiosk.catalog.model import RosterLine
from kiosk.catalog.notes import Notes, Unsound
from kiosk.catalog.roster import roster
from kiosk.catalog.whole_file import write_whole
from kiosk.catalog.workbook import ENDING

JOB_FILE = "job.yaml"
MARK = "names_deleted"


class CannotForget(Exception):
    """A roster whose names could not be taken out; `message` says why."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


def forget_names(folder: Path) -> int:
    """Take the names out of the job in `folder`; return how many there were.

    job.yaml is marked first (`names_deleted: yes`), then the roster replaced, each whole or not
    at all: killed in between, the next call goes on. A folder that is gone has none. Raises
    CannotForget.
    """
    if not (folder / JOB_FILE).is_file():
        return 0
    try:
        return _forget(folder, Notes(folder.name))
    except (Unsound, KeyError) as problem:
        raise CannotForget(say("catalog.forget.unread", folder=folder.name)) from problem
    except OSError as problem:
        why = problem.strerror or type(problem).__name__
        wrong = say("catalog.forget.unwritten", folder=folder.name, why=why)
        raise CannotForget(wrong) from problem


def _forget(folder: Path, notes: Notes) -> int:
    text = read_text(folder / JOB_FILE, notes)
    known = leaves(text)
    path = folder / known["roster",].value
    data = read_bytes(path, notes)
    given = {f: known["columns", f].value for f in COLUMNS if ("columns", f) in known}
    if (MARK,) not in known:
        write_whole(folder / JOB_FILE, _marked(text).encode())
    try:
        found = roster(path.name, data, frozenset(), notes, given)
    except Unsound:  # replaced already: its headers are this program's own
        found = roster(path.name, data, frozenset(), notes)
    if any(column.field in ("", "name") for column in found.columns):
        write_whole(path, _without_names(path.name, found.lines))
    return sum(bool(line.name) for line in found.lines)


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
