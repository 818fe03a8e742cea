"""Which files that this program wrote elsewhere hold the names of a job, kept beside its roster."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path

from kiosk.catalog.base.files import OWNERS_ALONE, behind_links, beside, write_whole
from kiosk.catalog.base.message import Message, say
from kiosk.catalog.base.own_files import NAMED, is_own
from kiosk.catalog.base.side_file import BrokenSideFile, read_side_file

NOTE = ".names-in.json"


def note_named_file(folder: Path, path: Path) -> None:
    """Note that `path` holds names of the job in `folder`. Raises OSError where it cannot be."""
    try:
        known = _noted(folder)
    except BrokenSideFile:
        known = ()
    files = sorted({*known, str(behind_links(path))})
    write_whole(folder / NOTE, json.dumps({"files": files}).encode(), OWNERS_ALONE)


def delete_named_files(folder: Path) -> tuple[Message, ...]:
    """Delete every file that was noted; return what is said of those out of reach.

    A file that is no longer one of this program's is not touched.
    """
    try:
        files = _noted(folder)
    except BrokenSideFile:
        return (say("catalog.forget.note_broken", path=str(folder / NOTE)),)
    left = tuple(each for file in files if (each := _deleted(Path(file))) is not None)
    with suppress(OSError):
        (folder / NOTE).unlink(missing_ok=True)
    return left


def _noted(folder: Path) -> tuple[str, ...]:
    try:
        found = read_side_file(folder / NOTE).get("files", ())
    except FileNotFoundError:
        return ()
    if not isinstance(found, list) or not all(isinstance(each, str) for each in found):
        raise BrokenSideFile("no list of files")
    return tuple(found)


def _deleted(path: Path) -> Message | None:
    try:
        beside(path).unlink(missing_ok=True)
        if not path.exists():
            return say("catalog.forget.moved", path=str(path))
        if not is_own(path, *NAMED):
            return say("catalog.forget.changed", path=str(path))
        path.unlink()
    except (OSError, ValueError) as problem:
        return say("catalog.forget.not_deleted", path=str(path), why=str(problem))
    return None
