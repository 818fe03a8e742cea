"""Puts a mended log in the place of the damaged one, which moves into a folder beside it."""

from __future__ import annotations

import os
import time
from pathlib import Path

from kiosk.log.store.standing import PARTS


def new_log(path: Path) -> Path:
    """Return where the mended log is made; nothing is left there of an earlier attempt."""
    new = path.with_name(path.name + ".mended")
    for part in PARTS:
        new.with_name(new.name + part).unlink(missing_ok=True)
    return new


def new_folder(path: Path, wall: float) -> Path:
    """Return a folder for the damaged log, named for the moment, not there yet."""
    stamp = time.strftime("%Y-%m-%d-%H%M%S", time.localtime(wall))
    nth, folder = 1, path.with_name(f"{path.name}.damaged-{stamp}")
    while folder.exists():
        nth += 1
        folder = path.with_name(f"{path.name}.damaged-{stamp}-{nth}")
    return folder


def replace(path: Path, folder: Path, new: Path) -> None:
    """Move the damaged log into `folder` and put `new` in its place."""
    folder.mkdir(exist_ok=True)
    for part in PARTS:  # the file first: while it stands, a tail beside it belongs to it
        file = path.with_name(path.name + part)
        if file.exists():
            file.rename(folder / file.name)
    new.rename(path)
    _settle(path.parent)


def unfinished(path: Path) -> None:
    """Complete a replacing that was killed after the damaged file had moved."""
    new = path.with_name(path.name + ".mended")
    if new.exists() and not path.exists():
        folders = sorted(path.parent.glob(path.name + ".damaged-*"))
        replace(path, folders[-1] if folders else new_folder(path, time.time()), new)


def _settle(folder: Path) -> None:
    """A renaming is on disk once its folder is; not every system can say so."""
    if hasattr(os, "O_DIRECTORY"):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
