"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, content: str | bytes) -> None:
    """Put `content` into `path` (text as UTF-8, line ends as given), replacing it at once.

    Raises OSError; then `path` is as it was.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content.encode("utf-8") if isinstance(content, str) else content)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)  # mkstemp's own is for the owner alone
        Path(name).replace(path)
    except BaseException:
        with suppress(OSError):
            Path(name).unlink()
        raise
