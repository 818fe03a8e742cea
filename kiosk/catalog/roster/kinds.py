"""What a column holds, judged by its cells rather than its heading."""

import re
from collections.abc import Callable, Mapping, Sequence
from itertools import combinations

from kiosk.catalog.base import Notes, say
from kiosk.catalog.model.orders import (
    BY_CODE,
    YOUTH_STEPS,
    RosterLine,
    SizeClass,
    bare_step,
    size_named,
)
from kiosk.catalog.roster.suggestions import ADULT_WORDS, YOUTH_WORDS
from kiosk.catalog.roster.tables import TableRow


def _is_number(cell: str) -> bool:
    return re.fullmatch(r"[0-9]{1,2}(?:[.,]0)?", cell) is not None


def _is_size(cell: str) -> bool:
    return size_named(cell) is not None


def _is_name(cell: str) -> bool:
    return any(map(str.isalpha, cell)) and not _is_size(cell)


_KINDS: Mapping[str, Callable[[str], bool]] = {
    "name": _is_name, "number": _is_number, "size": _is_size,
}  # fmt: skip
FEWEST = 2  # filled cells needed to judge a column


def swapped_fields(rows: Sequence[TableRow], places: Mapping[str, int]) -> frozenset[str]:
    """Return the fields of two columns with swapped headings, as names below Number.

    At least three quarters of the cells are of the other's kind, and under a quarter of their own.
    """
    cells = {field: _below(rows, places[field]) for field in _KINDS if field in places}
    for one, other in combinations(cells, 2):
        both = ((one, other), (other, one))
        if all(_is_like(cells[a], b) and not _is_like(cells[a], a, 0.25) for a, b in both):
            return frozenset({one, other})
    return frozenset()


def _below(rows: Sequence[TableRow], place: int) -> list[str]:
    cells = (row.cells[place] for row in rows[1:] if place < len(row.cells))
    return [cell for cell in cells if cell]


def _is_like(cells: Sequence[str], field: str, share: float = 0.75) -> bool:
    return len(cells) >= FEWEST and sum(map(_KINDS[field], cells)) >= share * len(cells)


_AGES = {
    **dict.fromkeys(YOUTH_WORDS | {"y"}, SizeClass.YOUTH),
    **dict.fromkeys(ADULT_WORDS | {"a"}, SizeClass.ADULT),
}


def ages_by_line(rows: Sequence[TableRow], places: Mapping[str, int]) -> Mapping[int, SizeClass]:
    """Return the size class by line, from a column outside `places` of youth and adult words.

    All its filled cells must be such words, of both classes or with a full word for youth.
    """
    for place in range(len(rows[0].cells)):
        words = {
            row.line: row.cells[place].casefold().strip(".")
            for row in rows[1:]
            if place < len(row.cells) and row.cells[place]
        }
        ages = {line: _AGES[word] for line, word in words.items() if word in _AGES}
        sure = len(set(ages.values())) > 1 or not YOUTH_WORDS.isdisjoint(words.values())
        if place not in places.values() and sure and len(ages) == len(words):
            return ages
    return {}


def ask_bare_sizes(
    rows: Sequence[tuple[TableRow, RosterLine]],
    notes: Notes,
    youth: bool,
    ages: Mapping[int, SizeClass],
) -> None:
    """Ask about sizes without youth or adult, read as adult, if the order has youth sizes.

    Not asked if `ages` says adult.
    """
    youth = youth or SizeClass.YOUTH in ages.values()
    sizes = (BY_CODE.get(line.size) for _, line in rows)
    youth = youth or any(s is not None and s.size_class is SizeClass.YOUTH for s in sizes)
    if not youth:
        return
    for row, line in rows:
        step = bare_step(line.as_written("size"))
        sure = ages.get(row.line) is SizeClass.ADULT
        if step in YOUTH_STEPS and line.size == f"A{step}" and not sure:
            notes.add(
                say("catalog.roster.bare_size"), line=row.line, key="size", question=True,
                found=line.as_written("size"), read_as=line.size, could_be=(f"Y{step}", line.size),
            )  # fmt: skip
