"""Delete the names of a closed job: from its roster, and the files written with them."""

import csv
import json
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from io import BytesIO, StringIO
from pathlib import Path

from kiosk.catalog.base import (
    Leaf,
    Message,
    Notes,
    Unsound,
    alone_in,
    dataclass,
    leaves,
    one_line,
    say,
    temporary_paths,
)
from kiosk.catalog.base import files as disk
from kiosk.catalog.model.orders import RosterLine
from kiosk.catalog.roster.answers import NO_ANSWERS, Answers, read_answers
from kiosk.catalog.roster.headers import COLUMNS
from kiosk.catalog.roster.questions import Intake
from kiosk.catalog.roster.roster import Roster, read_table, roster_of
from kiosk.catalog.roster.settling import NO_EDITS, edits_of
from kiosk.catalog.roster.tables import by_line
from kiosk.catalog.roster.workbook import ENDING

NOTE = ".names-in.json"


def note_named_file(folder: Path, path: Path) -> None:
    """Note that `path` holds names of the job in `folder`. Raises OSError."""
    with alone_in(folder):
        try:
            known = _noted_files(folder)
        except disk.BrokenSideFile:
            known = ()
        files = sorted({*known, str(disk.behind_links(path))})
        note = {"files": files, "folder": str(folder.resolve())}
        disk.write_whole(folder / NOTE, json.dumps(note).encode(), disk.OWNERS_ALONE)


def delete_named_files(folder: Path) -> tuple[Message, ...]:
    """Delete every noted file; return messages about those that could not be deleted.

    A file that is no longer this program's own is not touched.
    """
    try:
        files = _noted_files(folder)
    except disk.BrokenSideFile:
        return (say("catalog.forget.note_broken", path=str(folder / NOTE)),)
    problems = tuple(each for file in files if (each := _delete(Path(file))) is not None)
    with suppress(OSError):
        (folder / NOTE).unlink(missing_ok=True)
    return problems


def _noted_files(folder: Path) -> tuple[str, ...]:
    """Return the noted files, none if the folder is a copy: they belong to the one copied from."""
    try:
        note = disk.read_side_file(folder / NOTE)
    except FileNotFoundError:
        return ()
    found, noted_in = note.get("files", ()), note.get("folder", "")
    if not isinstance(noted_in, str):
        raise disk.BrokenSideFile("no folder")
    other = noted_in and Path(noted_in) != folder.resolve()
    if other and disk.surely((Path(noted_in) / NOTE).exists):
        return ()
    if not isinstance(found, list) or not all(isinstance(each, str) for each in found):
        raise disk.BrokenSideFile("no list of files")
    return tuple(found)


def _delete(path: Path) -> Message | None:
    try:
        for leftover in temporary_paths(path):
            leftover.unlink(missing_ok=True)
        if not path.exists():
            return say("catalog.forget.moved", path=str(path))
        if not disk.is_own(path, *disk.KINDS_WITH_NAMES):
            return say("catalog.forget.changed", path=str(path))
        path.unlink()
    except (OSError, ValueError) as problem:
        return say("catalog.forget.not_deleted", path=str(path), why=str(problem))
    return None


JOB_FILE = "job.yaml"
MARK = "names_deleted"
PROOF = ".proof.json"  # the approved drawings, as digests of rows without names
OWN = frozenset({NOTE, ".claimed"})  # files of this program without names


class CannotForget(Exception):
    """The names could not be deleted; `message` says why."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


@dataclass(frozen=True, slots=True)
class Forgotten:
    """The number of names deleted, and messages about files that may still hold names."""

    count: int
    warnings: tuple[Message, ...] = ()


def forget_names(folder: Path) -> Forgotten:
    """Delete the names from the job in `folder`, and the files that were written with them.

    First job.yaml is marked (`names_deleted: yes`), then the roster is replaced, each whole or
    not at all: if killed in between, the next call continues. Raises CannotForget, also if there
    is no job.
    """
    try:
        if not (folder / JOB_FILE).is_file():
            raise CannotForget(say("catalog.forget.not_found", path=str(folder)))
        return _forget(folder, Notes(folder.name))
    except (Unsound, KeyError, RuntimeError) as problem:
        raise CannotForget(say("catalog.forget.unread", folder=folder.name)) from problem
    except OSError as problem:
        message = say("catalog.forget.unwritten", folder=folder.name, why=disk.why_of(problem))
        raise CannotForget(message) from problem


def _forget(folder: Path, notes: Notes) -> Forgotten:
    text = disk.read_text(folder / JOB_FILE, notes)
    values = leaves(text)
    path = folder / values["roster",].value
    if not lies_in(folder, path):
        raise KeyError("roster")  # never outside the job's folder, as when reading
    data, links = disk.read_bytes(path, notes), path.stat().st_nlink
    answers, marked = _answers(folder, values, notes), (MARK,) in values
    if not marked:
        disk.write_whole(folder / JOB_FILE, _with_mark(text).encode())
    columns = {f: values["columns", f].value for f in COLUMNS if ("columns", f) in values}
    unused = frozenset(leaf.value for place, leaf in values.items() if place[0] == "unused")
    intake = Intake(columns, unused)
    try:
        roster = _read(path.name, data, intake, answers[1], notes)
    except Unsound:  # already replaced: its headers are this program's own
        roster = _read(path.name, data, Intake(), NO_ANSWERS, notes)
    has_names = any(column.field in ("", "name") for column in roster.columns)
    if has_names or (answers[1] and not marked):
        disk.write_whole(path, _without_names(path.name, roster.lines))
    if answers[0] is not None:
        answers[0].unlink(missing_ok=True)
    count = sum(bool(line.name) for line in roster.lines)
    (folder / PROOF).unlink(missing_ok=True)  # short names could be guessed from digests
    twins = (say("catalog.forget.twin", path=str(path)),) if count and links > 1 else ()
    return Forgotten(count, (*twins, *delete_named_files(folder), *_others(folder, path)))


def lies_in(folder: Path, path: Path) -> bool:
    """Return whether `path` leads into a job's folder; False for a ring of links."""
    try:
        return disk.behind_links(path).is_relative_to(folder.resolve())
    except OSError:
        return False


def _answers(
    folder: Path, values: Mapping[tuple[str, ...], Leaf], notes: Notes
) -> tuple[Path | None, Answers]:
    """Return the file of answers, which holds names too, and its answers."""
    if ("answers",) not in values:
        return None, NO_ANSWERS
    path = folder / values["answers",].value
    if not lies_in(folder, path):
        raise KeyError("answers")
    return path, read_answers(path, notes) if path.exists() else NO_ANSWERS


def _read(name: str, data: bytes, intake: Intake, answers: Answers, notes: Notes) -> Roster:
    """Return the roster with all answers applied, whatever the recipe asks for."""
    edits = NO_EDITS
    for _ in range(3):  # the answers about sheet, list and letters change the next reading
        own = Notes("")
        table = read_table(name, data, intake.columns, own, edits.choices)
        edits = edits_of(answers, by_line(table), own.faults)
    edits = replace(edits, unused=edits.unused | intake.unused)
    return roster_of(table, frozenset(), notes, intake.columns, edits)


def _others(folder: Path, roster_file: Path) -> Iterator[Message]:
    """Yield a message about other files in the folder, which are not searched for names."""
    known = {JOB_FILE, roster_file.name, *OWN}
    names = sorted(path.name for path in folder.iterdir() if path.name not in known)
    if names:
        yield say("catalog.forget.others", folder=str(folder), files=tuple(map(one_line, names)))


def _with_mark(text: str) -> str:
    """Return a job.yaml with the mark added, whether it is written in lines or in braces."""
    bare = text.rstrip()
    marked = f"{bare}\n{MARK}: yes\n"
    if (MARK,) not in leaves(marked):
        marked = f"{bare.removesuffix('}')}, {MARK}: yes}}\n"
    if (MARK,) not in leaves(marked):
        raise KeyError(MARK)
    return marked


def _without_names(file: str, lines: tuple[RosterLine, ...]) -> bytes:
    fields = ["line", "size", "number", *(["set"] if any(line.set for line in lines) else [])]
    rows = [fields, *([getattr(line, field) for field in fields] for line in lines)]
    return _as_workbook(rows) if file.lower().endswith(ENDING) else _as_csv(rows)


def _as_csv(rows: list[list[str]]) -> bytes:
    buffer = StringIO()
    csv.writer(buffer, lineterminator="\n").writerows(rows)
    return buffer.getvalue().encode()


def _as_workbook(rows: list[list[str]]) -> bytes:
    from openpyxl import Workbook  # optional; installed if a workbook was read

    book, buffer = Workbook(), BytesIO()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    book.save(buffer)
    return buffer.getvalue()
