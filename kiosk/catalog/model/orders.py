"""Team orders, their roster lines (one per garment), and sizes."""

import re
from collections.abc import Mapping
from dataclasses import field
from enum import Enum
from itertools import pairwise

from kiosk.catalog.base import dataclass


@dataclass(frozen=True, slots=True)
class RosterLine:
    """One garment: its line in the order (text), size, name (may be empty) and number (text).

    `set` tells a player's garments apart, as home and away; empty if the roster has no sets.
    `written` holds, by field, the file's text where the value differs from it. `row` is the
    row in the file, 0 if there is none.
    """

    line: str
    size: str
    name: str
    number: str
    set: str = ""
    written: tuple[tuple[str, str], ...] = field(default=(), compare=False)
    row: int = field(default=0, compare=False)

    def as_written(self, field: str) -> str:
        """Return the file's text for a `field` (`size`, `name` …)."""
        return dict(self.written).get(field, str(getattr(self, field)))

    def text_of(self, element: str) -> str | None:
        """Return an element's text on the garment, or None if it is not from the roster."""
        return {"name": self.name, "number": self.number}.get(element)

    @property
    def lacks(self) -> tuple[str, ...]:
        """The elements, of name and number, that this garment lacks."""
        return tuple(element for element in ("name", "number") if not self.text_of(element))


@dataclass(frozen=True, slots=True)
class RosterColumn:
    """A column of a roster file: its header, and the field it was read as, empty for none."""

    header: str
    field: str


@dataclass(frozen=True, slots=True)
class Job:
    """A team order: the files' content, read and checked.

    `columns` are the roster file's columns in its order. `size_rule` is the key of the order's
    rule on heights and `sport` that of the places of names and numbers, each empty for none.
    `due` is its due date, ISO 8601, empty for none; `lots` the (material key, lot) pairs that the
    shop noted. `kept` are the ids of questions answered "right as written"; `doubtful` the
    cells, by line and field, with an open question; `colours` the order's colours that replace
    the recipe's.
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
    """The people a size is cut for; default heights and placement depend on it."""

    YOUTH = "youth"
    ADULT = "adult"


@dataclass(frozen=True, slots=True)
class Size:
    """One size: its code as the kiosk writes it, its class, and its rank from small to large."""

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


UNKNOWN_RANK = 100  # unknown sizes come last, by name


def size_rank(code: str) -> tuple[int, str]:
    """Return a sort key for sizes: youth before adult, small to large."""
    size = BY_CODE.get(code)
    return (UNKNOWN_RANK, code) if size is None else (size.rank, "")


def size_named(text: str) -> Size | None:
    """Return the size that `text` spells (`Youth M`, `Adult L`, `a2xl`), or None.

    A step alone (`L`) is adult, though an order with youth sizes has a question about it.
    Blanks, dots, hyphens and brackets are ignored. `S/M` is two sizes, so None.
    """
    found = _BY_SPELLING.get(_plain(text))
    return None if found is None or _is_two(text) else found


def _is_two(text: str) -> bool:
    """Return whether `text` names two separate sizes: `S/M`, which joined would read `sm`."""
    words = re.findall(r"[^\W_]+", text.casefold())
    steps = [_STEP_OF.get(word) for word in words]
    return any(a and b and a != b and b != "L" for a, b in pairwise(steps))


def bare_step(text: str) -> str:
    """Return the step (`L`) that `text` spells without youth or adult, or an empty text."""
    return _STEP_OF.get(_plain(text), "")


def _plain(text: str) -> str:
    return re.sub(r"[\s._()\[\]/-]+", "", text).casefold()


def _spellings() -> dict[str, Size]:
    found = {}
    for size in SIZES:
        for spelling in STEPS[size.code[1:]]:
            for prefix in CLASSES[size.size_class]:
                found[prefix + spelling] = size
                if len(prefix) > 1:  # `SY` is ambiguous
                    found[spelling + prefix] = size
            if size.size_class is SizeClass.ADULT:
                found[spelling] = size
    return found


_BY_SPELLING = _spellings()
