"""Whether a log's files still stand at their paths: what is written elsewhere nobody finds."""

from __future__ import annotations

import os
from pathlib import Path

PARTS = ("", "-wal", "-shm")  # the file, its tail and the tail's index belong together


class Standing:
    """The files of a log as they stood when it was opened, told by device and inode.

    A file that was unlinked or replaced is still written to by whoever has it open: all seems
    well, and all is gone with the process.
    """

    def __init__(self, path: Path) -> None:
        files = [f"{path}{part}" for part in PARTS]
        self._files = {file: found for file in files if (found := _identity(file)) is not None}

    def missing(self) -> Path | None:
        """Return the first path where that file no longer stands; None where all do."""
        for file, was in self._files.items():
            if _identity(file) != was:
                return Path(file)
        return None


def _identity(file: str) -> tuple[int, int] | None:
    try:
        found = os.stat(file)  # noqa: PTH116 # three at each commit: Path.stat takes twice as long
    except OSError:
        return None
    return found.st_dev, found.st_ino
