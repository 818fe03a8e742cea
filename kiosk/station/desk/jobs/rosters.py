"""The roster of the job at the press with its names, which the record never holds."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import stamp_of
from kiosk.catalog.model import size_named
from kiosk.plan.place import Team
from kiosk.station.desk.jobs.library import Library, garment

if TYPE_CHECKING:
    from kiosk.catalog.model import RosterLine
    from kiosk.run.state import Garment

# Readers of jobs are imported where they are used: the first frame does not need them.


def nameless_of(roster: Iterable[RosterLine]) -> frozenset[str]:
    """Return the lines of a roster that have no name."""
    return frozenset(row.line for row in roster if not row.name)


class Rosters:
    """The names of the job at the press by line; read again when the file changes.

    While `waits` is set, nothing is read until `refresh`. `nameless` are the lines without a name.
    `is_new` is set by a reading, until the rows are checked against it.
    """

    def __init__(self, library: Library) -> None:
        self._library = library
        self._folder: Path | None = None
        self._stamp: object = None
        self._lines: dict[str, RosterLine] = {}
        self.nameless: frozenset[str] = frozenset()
        self.waits = False
        self.is_new = False

    def open(self, folder: Path) -> None:
        """Turn to another job's folder."""
        if folder != self._folder:
            self._folder, self._stamp = folder, None
        if not self.waits:
            self.refresh()

    def name(self, line: str) -> str:
        """Return the name on a line, or ""."""
        return self._lines[line].name if line in self._lines else ""

    def lacks(self, line: str) -> tuple[str, ...]:
        """Return the elements that a line has no value for."""
        return self._lines[line].lacks if line in self._lines else ()

    def row(self, line: str, sizes: Collection[str]) -> Garment | None:
        """Return what the record may hold of a line as it is now, or None.

        None if it is gone, or its size is none that is known or among the job's `sizes`: such a
        word may be a name.
        """
        row = self._lines.get(line)
        known = row is not None and (row.size in sizes or size_named(row.size) is not None)
        return garment(row) if row is not None and known else None

    def team(self) -> Team:
        """Return the order's names with their sizes: a team's names share one height."""
        return Team(tuple((row.size, row.name) for row in self._lines.values()))

    def digest(self, line: str) -> str:
        """Return the digest of a line as it was last read, or "" if it is gone."""
        from kiosk.catalog.read import line_digest

        row = self._lines.get(line)
        return line_digest(row) if row else ""

    def refresh(self) -> None:
        """Read the roster again if its folder changed; an unreadable one changes nothing.

        A row with a fault counts as gone: what it says now cannot be pressed.
        """
        from kiosk.catalog.read import read_sound_rows

        self.waits = False
        catalog, folder = self._library.catalog, self._folder
        files = None if folder is None else _stamp(folder)
        stamp = (files, id(catalog))
        if folder is None or files is None or stamp == self._stamp:
            return
        self._stamp = stamp
        roster = read_sound_rows(folder, catalog)
        if roster is not None:
            self.is_new = True
            self._lines = {row.line: row for row in roster}
            self.nameless = nameless_of(roster)


READ_ENDINGS = frozenset({".csv", ".xlsx", ".yaml"})


def _stamp(folder: Path) -> object:
    try:
        files = sorted(p for p in folder.iterdir() if p.suffix.lower() in READ_ENDINGS)
    except OSError:
        return None
    return tuple((path.name, stamp_of(path)) for path in files)
