"""What the checker would say of a recipes folder with one of its files changed."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from kiosk.catalog.model import Fault
from kiosk.catalog.read import read_catalog


def new_faults(recipes: Path, file: str, text: str) -> tuple[Fault, ...]:
    """Return the faults that the folder would have with `text` in `file` and has not now.

    A copy is read: nothing of the shop's is touched. Raises OSError where it cannot be copied.
    """
    before = {_known(fault) for fault in read_catalog(recipes)[1]}
    with TemporaryDirectory(prefix="kiosk-trial-") as place:
        folder = Path(place) / "recipes"
        folder.mkdir()
        for path in recipes.glob("*.y*ml"):
            shutil.copyfile(path, folder / path.name)
        (folder / file).write_bytes(text.encode())
        found = [replace(f, file=Path(f.file).name) for f in read_catalog(folder)[1]]
    return tuple(fault for fault in found if _known(fault) not in before)


def _known(fault: Fault) -> tuple[str, str, str, str]:
    """What makes two faults the same although lines have moved."""
    return Path(fault.file).name, fault.key, fault.problem.id, fault.found
