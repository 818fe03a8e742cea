"""Writes a file whole or not at all."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

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
