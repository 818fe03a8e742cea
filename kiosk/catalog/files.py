"""Reads a file's bytes and text, refusing what cannot be one of ours."""

from __future__ import annotations

from pathlib import Path

from kiosk.catalog.message import say
from kiosk.catalog.notes import Notes, nearest_word

MOST_BYTES = 2_000_000


def read_bytes(path: Path, notes: Notes) -> bytes:
    """Return the content of the plain file `path`, at most MOST_BYTES.

    Raises Unsound, its fault noted, for a file that is missing, no plain file, not to be
    read, empty or too large; a large one is not read.
    """
    try:
        if not path.exists():
            raise notes.add(say("catalog.file.missing"), nearest=_neighbour(path))
        if not path.is_file():  # a folder, a pipe or a device: opening it could wait for ever
            raise notes.add(say("catalog.file.not_plain"))
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a NUL in the path
        raise notes.add(say("catalog.file.unreadable", why=_reason(error))) from error
    if len(data) > MOST_BYTES:
        raise notes.add(say("catalog.file.too_large", megabytes=MOST_BYTES // 1_000_000))
    if not data.strip():
        raise notes.add(say("catalog.file.empty"))
    return data


def read_text(path: Path, notes: Notes) -> str:
    """Return the UTF-8 text of `path`, a byte order mark taken off.

    Raises Unsound, its fault noted, as `read_bytes` does, and for what is no UTF-8 text.
    """
    data = read_bytes(path, notes)
    if b"\0" in data:
        raise notes.add(say("catalog.file.binary"))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise notes.add(say("catalog.file.not_utf8"), line=line) from error


def _reason(error: OSError | ValueError) -> str:
    return (error.strerror if isinstance(error, OSError) else None) or type(error).__name__


def _neighbour(path: Path) -> str:
    if not path.parent.is_dir():
        return ""
    names = [p.name for p in path.parent.iterdir() if p.suffix == path.suffix]
    return nearest_word(path.name, names)
