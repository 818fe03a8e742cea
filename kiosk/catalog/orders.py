"""A team order: its files' content, and one line a garment."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class RosterLine:
    """One garment: its line in the order (text), size, name (may be empty) and number (text).

    `set` tells garments of one player apart, home and away; empty where the roster has none.
    `written` holds by field what stands in the file where that is not what was read.
    """

    line: str
    size: str
    name: str
    number: str
    set: str = ""
    written: tuple[tuple[str, str], ...] = field(default=(), compare=False)

    def as_written(self, field: str) -> str:
        """Return what stands in the file for a `field` (`size`, `name` …)."""
        return dict(self.written).get(field, str(getattr(self, field)))


@dataclass(frozen=True, slots=True)
class RosterColumn:
    """A column of a roster file: its header, and the field it was taken for, empty for none."""

    header: str
    field: str


@dataclass(frozen=True, slots=True)
class Job:
    """A team order: the files' content, read and checked.

    `columns` says which column of the roster file was taken for what, in the file's order.
    `size_rule` is the key of the rule on heights that the order keeps to, empty for none,
    `sport` that of the places of names and numbers; `due` its day, ISO 8601, empty for none.
    """

    key: str
    folder: str
    title: str
    recipe: str
    fabric: str
    press: str
    roster: tuple[RosterLine, ...]
    roster_digest: str
    columns: tuple[RosterColumn, ...] = ()
    size_rule: str = ""
    sport: str = ""
    due: str = ""
