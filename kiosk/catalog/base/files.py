"""Reads a file's bytes and text, and writes one whole or not at all."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import Notes, nearest_word

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


OWNERS_ALONE = 0o600


def write_whole(path: Path, data: bytes | Iterable[bytes], mode: int | None = None) -> None:
    """Put `data` at `path`: on disk under another name first, then renamed.

    What comes in parts is written as it comes. A link stays one: the file it leads to is
    replaced. `mode` are the new file's rights; without, those of the file before. Raises OSError,
    or what the parts raise; nothing is changed then.
    """
    parts = (data,) if isinstance(data, bytes) else data
    path = behind_links(path)
    fresh = beside(path)
    if mode is None:
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    fresh.unlink(missing_ok=True)  # what a killed process left
    try:
        descriptor = os.open(fresh, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode)
        with os.fdopen(descriptor, "wb") as file:
            file.writelines(parts)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
    except BaseException:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)


def beside(path: Path) -> Path:
    """Return where the file at `path` stands until it is whole: a process killed may leave it."""
    return path.with_name(f".{path.name}.new")


def behind_links(path: Path) -> Path:
    """Return the file that `path` leads to. Raises OSError for links in a ring."""
    try:
        return path.resolve()
    except RuntimeError as ring:  # Python before 3.13 has no better name for it
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from ring


def _sync_folder(folder: Path) -> None:
    """Put the new name on disk too, where a folder can be opened for that."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
