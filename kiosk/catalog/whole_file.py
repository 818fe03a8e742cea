"""Writes a file whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, data: bytes | Iterable[bytes]) -> None:
    """Put `data` at `path`: on disk under another name first, then renamed.

    What comes in parts is written as it comes. Raises OSError, or what the parts raise; nothing
    is changed then.
    """
    parts = (data,) if isinstance(data, bytes) else data
    fresh = path.with_name(f".{path.name}.new")
    mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    try:
        descriptor = os.open(fresh, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, mode)
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


def _sync_folder(folder: Path) -> None:
    """Put the new name on disk too, where a folder can be opened for that."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
