"""A team order: its files' content, and one line a garment."""

import re
from collections.abc import Mapping
from dataclasses import field
from enum import Enum
from itertools import pairwise

from kiosk.catalog.base import dataclass


@dataclass(frozen=True, slots=True)
class RosterLine:
    """One garment: its line in the order (text), size, name (may be empty) and number (text).

    `set` tells garments of one player apart, home and away; empty where the roster has none.
    `written` holds by field what stands in the file where that is not what was read, `row` is
    the file's row, 0 where there is none.
    """

    line: str
    size: str
    name: str
    number: str
    set: str = ""
    written: tuple[tuple[str, str], ...] = field(default=(), compare=False)
    row: int = field(default=0, compare=False)

    def as_written(self, field: str) -> str:
        """Return what stands in the file for a `field` (`size`, `name` …)."""
        return dict(self.written).get(field, str(getattr(self, field)))

    def text_of(self, element: str) -> str | None:
        """Return what an element shows on the garment, None where it is not from the roster."""
        return {"name": self.name, "number": self.number}.get(element)

    @property
    def lacks(self) -> tuple[str, ...]:
        """Return the elements of the roster that this garment has not."""
        return tuple(element for element in ("name", "number") if not self.text_of(element))


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
    `sport` that of the places of names and numbers; `due` its day, ISO 8601, empty for none;
    `lots` the lot of each material that the shop noted, by key. `kept` are the questions by id
    that a person answered so: it is right as it stands; `doubtful` the cells, by line and
    field, of which that is still asked; `colours` the films that the order has in place of the
    recipe's colours.
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
    lots: tuple[tuple[str, str], ...] = ()
    kept: frozenset[str] = frozenset()
    doubtful: frozenset[tuple[str, str]] = frozenset()
    colours: Mapping[str, str] = field(default_factory=dict)


class SizeClass(Enum):
    """Who a size is cut for; heights and placement have defaults by it."""

    YOUTH = "youth"
    ADULT = "adult"


@dataclass(frozen=True, slots=True)
class Size:
    """One size: its code as the kiosk writes it, its class, its place from small to large."""

    code: str
    size_class: SizeClass
    rank: int


CLASSES = {
    SizeClass.YOUTH: ("y", "youth", "yth", "juvenil"),
    SizeClass.ADULT: ("a", "adult", "adulto"),
}
STEPS = {
    "XS": ("xs", "xsmall", "extrasmall", "xch", "extrachica", "extrachico"),
    "S": ("s", "sm", "sml", "small", "ch", "chica", "chico", "pequeña", "pequeño"),
    "M": ("m", "med", "medium", "mediana", "mediano"),
    "L": ("l", "lg", "lrg", "large", "g", "gde", "grande"),
    "XL": ("xl", "xlarge", "extralarge", "eg", "xg", "extragrande"),
    "2X": ("2x", "2xl", "2xlarge", "xxl", "xxlarge", "doublexl", "xxg"),
    "3X": ("3x", "3xl", "3xlarge", "xxxl", "xxxlarge", "triplexl", "xxxg"),
    "4X": ("4x", "4xl", "4xlarge", "xxxxl", "xxxxlarge"),
}
_STEP_OF = {spelling: step for step, spellings in STEPS.items() for spelling in spellings}
YOUTH_STEPS = ("XS", "S", "M", "L", "XL")

SIZES: tuple[Size, ...] = (
    *(Size(f"Y{step}", SizeClass.YOUTH, rank) for rank, step in enumerate(YOUTH_STEPS)),
    *(Size(f"A{step}", SizeClass.ADULT, 10 + rank) for rank, step in enumerate(STEPS)),
)
BY_CODE: dict[str, Size] = {size.code: size for size in SIZES}


UNKNOWN_RANK = 100  # sizes of no table come last, by name


def size_rank(code: str) -> tuple[int, str]:
    """Return by what sizes are put in order: youth to adult, small to large."""
    size = BY_CODE.get(code)
    return (UNKNOWN_RANK, code) if size is None else (size.rank, "")


def size_named(text: str) -> Size | None:
    """Return the size that `text` spells (`Youth M`, `Adult L`, `a2xl`), None if none does.

    A step alone (`L`) is an adult's, and asked about where an order has youth sizes; blanks,
    dots, hyphens and brackets do not matter. `S/M` is two sizes, and none of them.
    """
    found = _BY_SPELLING.get(_plain(text))
    return None if found is None or _is_two(text) else found


def _is_two(text: str) -> bool:
    """Whether two sizes follow each other that are parted: `S/M`, which joined is `sm`."""
    words = re.findall(r"[^\W_]+", text.casefold())
    named = [_STEP_OF.get(word) for word in words]
    return any(a and b and a != b and b != "L" for a, b in pairwise(named))


def bare_step(text: str) -> str:
    """Return the step (`L`) that `text` spells without saying youth or adult, empty for none."""
    return _STEP_OF.get(_plain(text), "")


def _plain(text: str) -> str:
    return re.sub(r"[\s._()\[\]/-]+", "", text).casefold()


def _spellings() -> dict[str, Size]:
    found = {}
    for size in SIZES:
        for spelling in STEPS[size.code[1:]]:
            for prefix in CLASSES[size.size_class]:
                found[prefix + spelling] = size
                if len(prefix) > 1:  # `SY` could be read in more than one way
                    found[spelling + prefix] = size
            if size.size_class is SizeClass.ADULT:
                found[spelling] = size
    return found


_BY_SPELLING = _spellings()
